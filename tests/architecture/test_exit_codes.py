"""Exit codes are unique, told in the help, and nobody but the command line's `run` turns an error into one."""

import ast
from pathlib import Path

import pytest

from vault.actions.context import Vault
from vault.cli.main import run
from vault.errors import VaultError, exit_codes

ROOT = Path(__file__).parents[2]


def families() -> list[type[VaultError]]:
    return [VaultError, *VaultError.__subclasses__()]


def test_every_kind_of_error_has_a_code_of_its_own() -> None:
    own = [family for family in families() if "exit_code" in vars(family)]
    codes = [family.exit_code for family in own]
    assert len(set(codes)) == len(codes)
    assert 0 not in codes


def test_no_error_below_a_family_changes_its_code() -> None:
    below = [kind for family in VaultError.__subclasses__() for kind in family.__subclasses__()]
    assert [kind.__name__ for kind in below if "exit_code" in vars(kind)] == []


def never_opened(folder: Path, me: str | None, shared_folder: bool) -> Vault:
    raise AssertionError(f"{folder} was opened")


def test_the_help_tells_every_code(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(never_opened, ["--help"]) == 0
    told = capsys.readouterr().out
    assert [code for code, meaning in exit_codes() if f"{code}  {meaning}" not in told] == []


def test_only_run_reads_an_exit_code_from_an_error() -> None:
    """`exit_code` of an instance is read in one place; commands name the class whose code they end with."""
    readers = set()
    for path in (ROOT / "vault").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Attribute) and node.attr == "exit_code" and ast.unparse(node.value).islower():
                readers.add(path.relative_to(ROOT).as_posix())
    assert readers == {"vault/cli/main.py", "vault/errors.py"}
