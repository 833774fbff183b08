"""Where the index lives: in files of a folder, or in memory where the folder cannot be written."""

import logging
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path
from typing import Protocol

from filelock import FileLock, Timeout
from sqlalchemy import Connection, Engine

from vault.errors import Fault
from vault.index.finder import Finder
from vault.index.generations import current_database, new_database, switch_to
from vault.index.sqlite import create_indexes, create_tables, driver_connection, open_lasting, open_passing

Fill = Callable[[Connection], None]
_BUILD_WAIT_S = 600.0
_log = logging.getLogger(__name__)


class Home(Protocol):
    """What the index needs to know about its database."""

    def engine(self) -> Engine | None:
        """Return the database in use, or None where there is none yet."""
        ...

    def finder(self) -> Finder | None:
        """Return the search over the database in use, or None where there is none yet."""
        ...

    def building(self) -> AbstractContextManager[None]:
        """Keep other processes from building at the same time."""
        ...

    def build(self, fill: Fill) -> None:
        """Make a new database, let `fill` write its tables, and put it to use."""
        ...

    def close(self) -> None:
        """Release the database."""
        ...


def _fill_new(engine: Engine, fill: Fill) -> None:
    with engine.begin() as connection:
        create_tables(connection)
        fill(connection)
        create_indexes(connection)


class FolderHome:
    """Generations of database files in a folder that several processes share."""

    def __init__(self, folder: Path) -> None:
        """Use `folder`, which exists and can be written."""
        self._folder = folder
        self._database: Path | None = None
        self._engine: Engine | None = None
        self._finder: Finder | None = None

    def engine(self) -> Engine | None:
        """Return the generation in use now; another process may have made a new one since the last call."""
        database = current_database(self._folder)
        if database != self._database:
            self.close()
            self._database = database
        if database is not None and self._engine is None:
            self._engine = open_lasting(database)
        return self._engine

    def finder(self) -> Finder | None:
        """Return the search over the generation in use now."""
        if self.engine() is None:
            return None
        if self._finder is None and self._database is not None:
            self._finder = Finder(self._database)
        return self._finder

    @contextmanager
    def building(self) -> Iterator[None]:
        """Hold the lock under which one process builds. Raises Fault where another one takes ten minutes and more."""
        try:
            with FileLock(self._folder / "index-build.lock", timeout=_BUILD_WAIT_S):
                yield
        except Timeout:
            raise Fault(
                f"another program has been making the index in {self._folder} for long; try again later"
            ) from None

    def build(self, fill: Fill) -> None:
        """Fill a new generation and switch to it; a half-made one is removed."""
        database = new_database(self._folder)
        engine = open_passing(database)
        try:
            _fill_new(engine, fill)
            engine.dispose()
            self.close()
            switch_to(database)
        except BaseException:
            engine.dispose()
            database.unlink(missing_ok=True)
            raise

    def close(self) -> None:
        """Release the files."""
        if self._finder is not None:
            self._finder.close()
        if self._engine is not None:
            self._engine.dispose()
        self._database = self._engine = self._finder = None


class MemoryHome:
    """A database that lasts as long as this process."""

    def __init__(self) -> None:
        """Begin without a database."""
        self._engine: Engine | None = None

    def engine(self) -> Engine | None:
        """Return the database."""
        return self._engine

    def finder(self) -> Finder | None:
        """Return the search over the database."""
        return None if self._engine is None else Finder(driver_connection(self._engine))

    @contextmanager
    def building(self) -> Iterator[None]:
        """Nobody else sees this memory."""
        yield

    def build(self, fill: Fill) -> None:
        """Fill a new database and use it instead."""
        engine = open_lasting(None)
        _fill_new(engine, fill)
        self.close()
        self._engine = engine

    def close(self) -> None:
        """Give the memory back."""
        if self._engine is not None:
            self._engine.dispose()
        self._engine = None


def home_in(folder: Path) -> Home:
    """Return a home in `folder`, or in memory, with a warning, where the folder cannot be written."""
    trial = folder / "index-trial"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        trial.touch()
        trial.unlink(missing_ok=True)
    except OSError as error:
        _log.warning("the index cannot be kept in %s (%s); it is made in memory for this run", folder, error)
        return MemoryHome()
    return FolderHome(folder)
