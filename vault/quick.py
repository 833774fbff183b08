"""Searching the index as it lies on the disk, without loading what opens or writes a register.

The clerk's first keystroke of the day is a search: it must not wait for libraries that it does not need.
"""

from contextlib import closing
from pathlib import Path

from vault.errors import Damaged
from vault.index.finder import Finder
from vault.index.generations import current_database
from vault.interfaces import Hit
from vault.store.layout import head_on_disk, local_folder


def quick_find(folder: Path, text: str, limit: int) -> tuple[Hit, ...] | None:
    """Search the register in a folder; None where its index is absent, damaged or behind the newest commit."""
    database = current_database(local_folder(folder))
    if database is None:
        return None
    try:
        with closing(Finder(database)) as finder:
            return finder.find(text, limit) if finder.commit() == head_on_disk(folder) else None
    except Damaged:
        return None
