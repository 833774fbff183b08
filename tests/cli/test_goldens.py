"""What people see, kept as files: a change of these texts is meant, or it is a mistake.

`GOLDENS=write pytest tests/cli/test_goldens.py` writes the files anew; look at the difference before it is committed.
"""

import os
import re
from pathlib import Path

import pytest

from tests.cli.shop import Shop, with_cards, with_revisions, with_settings

GOLDENS = Path(__file__).parents[1] / "goldens" / "cli"

SEEN: dict[str, tuple[str, ...]] = {
    "help": ("--help",),
    "help-reorder": ("reorder", "--help"),
    "help-part-add": ("part", "add", "--help"),
    "show-part": ("show", "BRK-204"),
    "show-revision": ("show", "BRK-204@C"),
    "part-show": ("part", "show", "BRK-204"),
    "machine-list": ("machine", "list"),
    "requirements-show": ("requirements", "show", "BRK-204@C"),
    "settings-form": ("settings", "form"),
    "settings-list": ("settings", "list", "BRK-204"),
    "compare": ("compare", "BRK-204@B", "BRK-204@C"),
    "ready": ("ready", "BRK-204@C", "--qty", "200"),
    "ready-json": ("ready", "BRK-204@C", "--qty", "200", "--json"),
    "ready-stop": ("ready", "BRK-204@C", "--po-rev", "B"),
    "plan": ("plan", "BRK-204", "--qty", "200"),
    "find": ("find", "northfell"),
    "find-json": ("find", "4471", "--json"),
    "bad-quantity": ("plan", "BRK-204", "--qty", "2.5"),
    "not-found": ("show", "NOPE-1"),
    "usage": ("hold", "BRK-204"),
}


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Shop:
    return with_settings(with_revisions(with_cards(Shop(tmp_path_factory.mktemp("goldens")).start())))


def settled(text: str) -> str:
    """Return a text with what differs from run to run taken out: commits, ids made of chance, and the time of day."""
    text = re.sub(r"\b[0-9a-f]{40}\b|(?<=, )[0-9a-f]{12}(?=;)", "<commit>", text)
    return re.sub(r"\b[0-7][0-9A-HJKMNP-TV-Z]{25}\b", "<ulid>", text)


@pytest.mark.parametrize("name", SEEN)
def test_what_people_see_is_as_it_was(shop: Shop, name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("TERMINAL_WIDTH", "80")
    ran = shop(*SEEN[name])
    seen = settled(f"$ partstead {' '.join(SEEN[name])}\n{ran.out}--- stderr, exit code {ran.code}\n{ran.err}")
    place = GOLDENS / f"{name}.txt"
    if os.environ.get("GOLDENS") == "write":
        place.write_text(seen, encoding="utf-8", newline="\n")
    assert seen == place.read_text("utf-8")


def test_every_golden_belongs_to_a_test() -> None:
    assert {path.stem for path in GOLDENS.iterdir()} == set(SEEN)
