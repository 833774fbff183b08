"""What a cold start really loads: asked of a fresh process, because `sys.modules` cannot be talked into anything."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.shop import Shop, with_cards
from tests.guarantees.registers import python_environment

HEAVY = {"trimesh", "numpy", "scipy", "git", "gitdb", "sqlmodel", "sqlalchemy", "textual", "typst", "jinja2", "PIL"}

_ASKED = """
import json, sys
from vault.__main__ import _open
from vault.cli.main import run
code = run(_open, sys.argv[1:])
print(json.dumps([code, sorted({name.partition(".")[0] for name in sys.modules}), len(sys.modules)]), file=sys.stderr)
"""


def loaded(*argv: str) -> tuple[int, set[str], int]:
    """Run a command in a fresh process; return its exit code, the packages it loaded, and how many modules."""
    program = [sys.executable, "-c", _ASKED, *argv]
    done = subprocess.run(program, capture_output=True, check=True, env=python_environment(), text=True)
    code, packages, modules = json.loads(done.stderr.splitlines()[-1])
    return code, set(packages), modules


def test_help_loads_nothing_heavy() -> None:
    code, packages, modules = loaded("--help")
    assert code == 0
    assert packages & (HEAVY | {"pydantic", "sqlite3"}) == set()
    assert modules < 300


@pytest.mark.parametrize(
    "argv", [["reorder", "--help"], ["part", "add", "--help"], ["check", "--colour"]], ids=" ".join
)
def test_help_on_a_command_and_a_wrong_option_load_nothing_heavy(argv: list[str]) -> None:
    assert loaded(*argv)[1] & HEAVY == set()


def test_verify_needs_neither_store_nor_geometry(tmp_path: Path) -> None:
    code, packages, _ = loaded("verify", str(tmp_path))
    assert code == 6
    assert packages & HEAVY == set()


def test_a_search_in_an_index_that_is_up_to_date_loads_nothing_heavy(tmp_path: Path) -> None:
    shop = with_cards(Shop(tmp_path).start())
    shop.done("find", "bracket")
    code, packages, modules = loaded("--register", str(shop.register), "find", "bracket")
    assert code == 0
    assert packages & HEAVY == set()
    assert modules < 500


def test_a_search_that_must_catch_up_first_loads_neither_geometry_nor_paper(tmp_path: Path) -> None:
    shop = with_cards(Shop(tmp_path).start())
    code, packages, _ = loaded("--register", str(shop.register), "find", "bracket")
    assert code == 0
    assert packages & {"trimesh", "numpy", "scipy", "textual", "typst", "jinja2", "PIL"} == set()
