"""`run`: the one place where an error becomes an exit code, and everything else stays what it is."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.shop import Shop
from tests.guarantees.registers import python_environment
from vault.actions.context import Vault
from vault.cli.main import run
from vault.errors import VaultError


def never_opened(folder: Path, me: str | None, shared_folder: bool) -> Vault:
    raise AssertionError(f"{folder} was opened")


def opening_with(error: BaseException) -> object:
    def open_vault(folder: Path, me: str | None, shared_folder: bool) -> Vault:
        raise error

    return open_vault


@pytest.mark.parametrize("family", [VaultError, *VaultError.__subclasses__()])
def test_each_error_ends_with_its_own_code(family: type[VaultError], capsys: pytest.CaptureFixture[str]) -> None:
    code = run(opening_with(family("what is wrong with BRK-204")), ["--register", "x", "find", "bracket"])  # type: ignore[arg-type]
    assert code == family.exit_code
    assert capsys.readouterr().err == "partstead: what is wrong with BRK-204\n"


def test_an_interrupt_ends_with_one_line(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(opening_with(KeyboardInterrupt()), ["--register", "x", "find", "bracket"]) == 130  # type: ignore[arg-type]
    assert capsys.readouterr().err.count("\n") == 1


def test_a_fault_of_the_program_is_not_hidden() -> None:
    with pytest.raises(ZeroDivisionError):
        run(opening_with(ZeroDivisionError()), ["--register", "x", "find", "bracket"])  # type: ignore[arg-type]


def test_an_error_cannot_paint_the_terminal(capsys: pytest.CaptureFixture[str]) -> None:
    run(opening_with(VaultError("file \x1b]0;x\x07")), ["--register", "x", "find", "bracket"])  # type: ignore[arg-type]
    assert capsys.readouterr().err == "partstead: file \\u001b]0;x\\u0007\n"


@pytest.mark.parametrize(
    "argv",
    [
        ["--help"],
        ["ready", "--help"],
        ["schema"],
        ["schema", "order"],
        ["settings", "form"],
        ["requirements", "template"],
    ],
    ids=" ".join,
)
def test_what_needs_no_register_opens_none(argv: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert run(never_opened, argv) == 0
    assert capsys.readouterr().out


def test_a_register_and_a_person_may_be_named_by_the_environment(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PARTSTEAD_REGISTER", str(shop.register))
    monkeypatch.setenv("PARTSTEAD_ME", "rolf")
    assert "rolf" in shop.bare("writer", "show").out
    assert "quin" in shop.bare("--me", "quin", "writer", "show").out


def test_an_empty_environment_names_nobody(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PARTSTEAD_ME", "")
    assert "mira" in shop("writer", "show").out


@pytest.mark.skipif(os.name != "posix", reason="pipes end otherwise elsewhere")
def test_a_reader_that_goes_away_is_no_fault() -> None:
    with subprocess.Popen(
        [sys.executable, "-m", "vault", "schema", "order"],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=python_environment(),
    ) as program:  # fmt: skip
        assert program.stdout is not None
        assert program.stderr is not None
        program.stdout.close()
        assert program.stderr.read() == b""
