"""The same empty register on a real git store, for tests of what only bytes on a disk can show."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

from tests.fakes import MORNING
from vault.actions.context import Vault
from vault.index.memory_index import MemoryIndex
from vault.interfaces import Change
from vault.store.opening import create_store


@contextmanager
def on_git(vault: Vault, folder: Path) -> Iterator[Vault]:
    """Make a git register in `folder` with the cards of an empty register in memory, in the same person's hands."""
    snapshot = vault.store.at()
    cards = dict(snapshot.read_many(snapshot.walk()))
    store = create_store(folder, Change("New register", "ona", MORNING, cards=cards), {"writer": "A"})
    with replace(vault, folder=folder, store=store, index=MemoryIndex(store)) as opened:
        yield opened
