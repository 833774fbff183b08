"""G9: whatever is handed in, the answer is a sentence and an exit code, and the register is as it was."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.fakes import FakeClock
from tests.given import given_makeable
from vault.cli.main import run
from vault.errors import exit_codes
from vault.wiring import new_vault, open_vault

REFUSALS = {code for code, _ in exit_codes()} - {0, 1}
WORDS = st.text(max_size=40)
FILES = st.binary(max_size=400)
ENDINGS = st.sampled_from(["stl", "3mf", "obj", "ply", "off", "glb", "step", "txt"])


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("g9") / "register"
    with new_vault(place, "Shop of the tests", "edda", "Edda", clock=FakeClock()) as vault:
        given_makeable(vault)
    return place


def typed(folder: Path, *arguments: str) -> int:
    def opened(where: Path, me: str | None, shared: bool) -> object:
        return open_vault(where, me, FakeClock(), shared)

    return run(opened, ["--register", str(folder), *arguments])  # type: ignore[arg-type]


def head(folder: Path) -> str:
    with open_vault(folder) as vault:
        return vault.store.head()


QUICK = settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


@QUICK
@given(part=WORDS, label=WORDS, reason=WORDS, content=FILES, ending=ENDINGS)
def test_no_rubbish_becomes_a_revision(
    folder: Path, capsys: pytest.CaptureFixture[str], part: str, label: str, reason: str, content: bytes, ending: str
) -> None:
    before, file = head(folder), folder.parent / f"rubbish.{ending}"
    file.write_bytes(content)
    code = typed(folder, "revise", f"BRK-204{part}", str(file), f"--label={label}", f"--because={reason}")
    said = capsys.readouterr().err
    assert code in REFUSALS
    assert said.strip()
    assert "Traceback" not in said
    assert head(folder) == before


@QUICK
@given(quantity=WORDS, po=WORDS, revision=WORDS, due=WORDS)
def test_no_rubbish_becomes_an_order(
    folder: Path, capsys: pytest.CaptureFixture[str], quantity: str, po: str, revision: str, due: str
) -> None:
    before = head(folder)
    order = ("--po-line=10", f"--po={po}", f"--po-rev={revision}", f"--due={due}", f"--qty={quantity}")
    code = typed(folder, "reorder", "BRK-204", *order, "--yes")
    assert code in REFUSALS
    assert "Traceback" not in capsys.readouterr().err
    assert head(folder) == before


@pytest.mark.parametrize("quantity", ["0", "-5", "2.5", "1e3", "99999999999", "ten", "", " ", "1_000", "\u0662"])
def test_a_quantity_that_is_none(folder: Path, capsys: pytest.CaptureFixture[str], quantity: str) -> None:
    before = head(folder)
    order = ("--po=1", "--po-line=1", "--po-rev=C", "--due=2027-01-01", f"--qty={quantity}")
    assert typed(folder, "reorder", "BRK-204", *order, "--yes") in REFUSALS
    assert capsys.readouterr().err.strip()
    assert head(folder) == before
