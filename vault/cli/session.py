"""The register of one run of the program: found and opened only when a command needs it, and closed once."""

import sys
from collections.abc import Callable
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Self

import typer

from vault.errors import NotFound

if TYPE_CHECKING:
    from vault.actions.context import Vault
    from vault.actions.reading import Reader

OpenVault = Callable[[Path, str | None, bool], "Vault"]
"""Opens the register in a folder, for a person (or the one recorded for this copy), on a network share or not."""

_MARK = "register.git"  # what every register's folder holds; the store alone knows what is in it


def register_folder(named: Path | None) -> Path:
    """Return the register's folder: the one named, or the current one, or the nearest above. Raises NotFound."""
    if named is not None:
        return named
    here = Path.cwd()
    for folder in (here, *here.parents):
        if (folder / _MARK).is_dir():
            return folder
    raise NotFound(
        f"no register at {here} or above; name one with --register DIR or in PARTSTEAD_REGISTER, "
        "or start one with `partstead new DIR --name NAME --me HANDLE --person NAME`"
    )


class Session:
    """Where the register is, whose hands it is in, and the register itself once it was asked for."""

    def __init__(self, open_vault: OpenVault, named: Path | None, me: str | None, shared_folder: bool) -> None:
        self._open_vault = open_vault
        self._named = named
        self._me = me
        self._shared_folder = shared_folder
        self._vault: Vault | None = None

    @property
    def folder(self) -> Path:
        """The register's folder: the one named, or the current one, or the nearest above. Raises NotFound."""
        return register_folder(self._named)

    @property
    def out(self) -> Path:
        """Where packages are written unless another folder is named."""
        return self.folder / "out"

    @property
    def vault(self) -> "Vault":
        """The open register. Raises NotFound, BadInput, Fault."""
        if self._vault is None:
            from vault.model.ids import parse_handle

            me = parse_handle(self._me) if self._me is not None else None
            self._vault = self._open_vault(self.folder, me, self._shared_folder)
        return self._vault

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._vault is not None:
            self._vault.close()


def session_of(ctx: typer.Context) -> Session:
    """Return the session that the program's own options made."""
    session = ctx.obj
    assert isinstance(session, Session)  # the callback of the program runs before every command
    return session


def reading(ctx: typer.Context) -> "Vault":
    """Return the register, to look at."""
    return session_of(ctx).vault


def writing(ctx: typer.Context) -> "Vault":
    """Return the register, to write to. Raises Clash where the folder was copied or moved."""
    from vault.wiring import refuse_other_place

    vault = session_of(ctx).vault
    refuse_other_place(vault)
    return vault


def reader_of(vault: "Vault") -> "Reader":
    """Return a reader of the newest records."""
    from vault.actions.reading import Reader

    return Reader(vault.store.at(), vault.index)


def asking() -> Callable[[str], bool] | None:
    """Return how to ask the person at the terminal a yes-or-no question, or None where nobody sits there."""
    if not sys.stdin.isatty():
        return None
    return lambda question: typer.confirm(question, default=False, err=True)
