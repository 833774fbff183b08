"""The one module that names every implementation: opening a register, and making a new one."""

import socket
from collections.abc import Callable
from contextlib import ExitStack, closing
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from vault.actions.context import NewUlids, Vault
from vault.actions.reading import Reader
from vault.actions.shapes import ChildShapes
from vault.actions.starting import check_format, check_place, first_records
from vault.actions.writing import WRITER
from vault.errors import NotFound
from vault.interfaces import Clock
from vault.model.ids import Handle, Ulid, parse_handle

ME = "me"
"""Local setting: whose hands this copy of the register is in."""

PLACE = "place"
"""Local setting: where this copy's writer code was claimed."""


@dataclass(frozen=True)
class SystemClock:
    """The computer's clock, to the millisecond."""

    def now(self) -> datetime:
        """Return the present moment in UTC."""
        now = datetime.now(UTC)
        return now.replace(microsecond=now.microsecond // 1000 * 1000)


def place_of(folder: Path) -> str:
    """Return where a copy of a register lies: computer and folder."""
    return f"{socket.gethostname()}:{folder.resolve()}"


def open_vault(folder: Path, me: str | None = None, clock: Clock | None = None, shared_folder: bool = False) -> Vault:
    """Open a register.

    Args:
        folder: The register's folder.
        me: Handle of the person; without one, the person recorded for this copy.
        clock: The computer's clock unless another is given.
        shared_folder: Allow writing to a register on a network share.

    Raises:
        NotFound: The folder is no register, or nobody is named.
        BadInput: The register has a newer form.
        Fault: git is missing or too old.
    """
    from vault.index.sql_index import open_index
    from vault.store.layout import local_folder
    from vault.store.opening import open_store

    with ExitStack() as opened:
        store = opened.enter_context(closing(open_store(folder, shared_folder=shared_folder)))
        handle = me or store.local(ME)
        if handle is None:
            raise NotFound("nobody is named for this copy of the register; say who you are with --me HANDLE")
        index = opened.enter_context(closing(open_index(local_folder(folder), store)))
        check_format(Reader(store.at(), index).register())
        used_clock = clock or SystemClock()
        vault = Vault(folder, store, index, used_clock, NewUlids(used_clock), ChildShapes(), parse_handle(handle))
        opened.pop_all()  # all is well: what was opened now closes with the register
        return vault


def new_vault(
    folder: Path, name: str, me: str, person: str, writer: str = "A", clock: Clock | None = None, demo: bool = False
) -> Vault:
    """Make a new register in an empty or absent folder and open it.

    Raises:
        BadInput: A name or code cannot be used.
        Refused: The folder is not empty.
        Fault: The folder cannot be written, or git is missing or too old.
    """
    from vault.store.opening import create_store

    used_clock = clock or SystemClock()
    register_id: Ulid = NewUlids(used_clock)()
    first = first_records(used_clock, register_id, name, Handle(me), person, writer, socket.gethostname(), demo)
    settings = {WRITER: writer.strip().upper(), ME: first.by, PLACE: place_of(folder)}
    create_store(folder, first, settings).close()
    return open_vault(folder, clock=used_clock)


def refuse_other_place(vault: Vault) -> None:
    """Refuse to write from a copied or moved register. Raises Clash."""
    check_place(vault.store.local(PLACE), place_of(vault.folder))


def settle_here(vault: Vault) -> None:
    """Record that this copy's writer code belongs to this folder on this computer."""
    vault.store.set_local(PLACE, place_of(vault.folder))


OpenVault = Callable[[], Vault]
"""Opens the register that a command or a screen works on; each thread opens its own."""
