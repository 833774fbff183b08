"""The files of the index in a folder: one generation in use, named in `index-current`.

A new generation gets a file of its own, because Windows lets nobody replace a file that a reader holds open. Standard
library only: a search starts here.
"""

import logging
import os
import re
import secrets
from pathlib import Path

SCHEMA = 1
"""Raised whenever a table or what is written into it changes; an index of another number is made anew."""

CURRENT = "index-current"
_NAME = re.compile(r"index\.[0-9a-f]{16}\.sqlite")
_log = logging.getLogger(__name__)


def current_database(folder: Path) -> Path | None:
    """Return the database in use, or None where there is none yet."""
    try:
        name = (folder / CURRENT).read_text(encoding="ascii").strip()
    except (OSError, UnicodeDecodeError):
        return None
    database = folder / name
    return database if _NAME.fullmatch(name) and database.is_file() else None


def new_database(folder: Path) -> Path:
    """Return the path of a generation that does not exist yet."""
    return folder / f"index.{secrets.token_hex(8)}.sqlite"


def switch_to(database: Path) -> None:
    """Make `database`, complete and closed, the one in use, and remove older ones that nobody holds open.

    Raises:
        OSError: The folder cannot be written.
    """
    with database.open("r+b") as file:
        os.fsync(file.fileno())
    waiting = database.with_name(f"{CURRENT}.{database.name}")
    waiting.write_text(f"{database.name}\n", encoding="ascii")
    waiting.replace(database.with_name(CURRENT))
    sweep(database.parent, keep=database)


def sweep(folder: Path, keep: Path) -> None:
    """Remove every generation but one. What a reader on Windows holds open stays until the next sweep."""
    for path in folder.glob("index*"):
        name = path.name.removeprefix(f"{CURRENT}.").removesuffix("-wal").removesuffix("-shm").removesuffix("-journal")
        if _NAME.fullmatch(name) and name != keep.name:
            try:
                path.unlink(missing_ok=True)
            except OSError as error:
                _log.info("the old index %s is still in use: %s", path, error)
