"""The index in SQLite: caught up where it can be, made anew where it cannot."""

import logging
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import RLock
from typing import Any

from sqlalchemy import Connection, Engine, Executable, or_
from sqlalchemy.exc import DatabaseError
from sqlmodel import col, select

from vault.errors import Damaged, Fault
from vault.index.finder import Finder
from vault.index.generations import SCHEMA
from vault.index.home import Home, home_in
from vault.index.sqlite import check_pages, check_text_index, writing
from vault.index.tables import LinkRow, RecordRow, StateRow, UnreadableRow
from vault.index.writing import write_all, write_changes
from vault.interfaces import CommitId, Damage, Hit, Index, Store
from vault.model.ids import Thing

_log = logging.getLogger(__name__)
_BUSY = frozenset({sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED})
_MACHINE = frozenset({sqlite3.SQLITE_FULL, sqlite3.SQLITE_READONLY, sqlite3.SQLITE_PERM, sqlite3.SQLITE_CANTOPEN})
_OWNING = tuple(thing.value for thing in (Thing.LOT, Thing.ORDER, Thing.NONCONFORMANCE, Thing.DELIVERY, Thing.PACKAGE))


class _UnusableError(Exception):
    """The database cannot be used as it is; a new one answers."""


def open_index(folder: Path, store: Store) -> "SqlIndex":
    """Return the index of `store` that is kept in `folder`; nothing is read before it is asked for."""
    return SqlIndex(home_in(folder), store)


class SqlIndex(Index):
    """Rows of SQLite over one store."""

    def __init__(self, home: Home, store: Store) -> None:
        """Use the database at `home`."""
        self._home = home
        self._store = store
        self._lock = RLock()

    def catch_up(self) -> CommitId:
        """Bring the rows up to the head and return that commit.

        Raises:
            Fault: The index cannot be written, or another program keeps it locked.
        """
        with self._lock:
            try:
                return self._caught_up()
            except _UnusableError as why:
                is_first = self._home.engine() is None
                _log.log(logging.INFO if is_first else logging.WARNING, "the index is made anew: %s", why)
            with self._home.building():
                try:
                    return self._caught_up()  # another process may have built it while we waited
                except _UnusableError:
                    return self._built()

    def rebuild(self) -> CommitId:
        """Make all rows anew, in a database of their own, and switch to it. Raises Fault as `catch_up`."""
        with self._lock, self._home.building():
            return self._built()

    def find(self, text: str, limit: int = 20) -> tuple[Hit, ...]:
        """Search numbers and texts, best first; see `finder.Finder`."""
        with self._lock:
            try:
                return self._finder().find(text, limit)
            except Damaged as why:
                _log.warning("the index is made anew: %s", why)
                self.rebuild()
                return self._finder().find(text, limit)

    def referrers(self, thing: str, name: str) -> tuple[str, ...]:
        """Return the paths of the records that point at this thing, sorted."""
        query = (
            select(RecordRow.path)
            .join(LinkRow, col(LinkRow.record) == RecordRow.id)
            .where(LinkRow.thing == thing, LinkRow.name == name)
            .distinct()
        )
        return tuple(sorted(path for (path,) in self._answer(query)))

    def locate(self, thing: str, name: str) -> str | None:
        """Return the path of the record that this name belongs to, or None."""
        query = select(RecordRow.path).where(RecordRow.thing == thing, RecordRow.name == name)
        return min((path for (path,) in self._answer(query)), default=None)

    def paths_of(self, kind: str, part: str | None = None) -> tuple[str, ...]:
        """Return the paths of all records of a kind, oldest first; of one part also those of its lots and orders."""
        query = select(RecordRow.path).where(RecordRow.kind == kind)
        if part is not None:
            query = query.where(_belongs_to(part))
        return tuple(path for (path,) in self._answer(query.order_by(col(RecordRow.at_us), col(RecordRow.path))))

    def damage(self) -> Iterator[Damage]:
        """Yield every path whose record could not be read, and what is wrong with the database itself."""
        for path, why in self._answer(select(UnreadableRow.path, UnreadableRow.why).order_by(UnreadableRow.path)):
            yield Damage(path, why)
        engine = self._ready()
        try:
            with writing(engine).begin() as connection:
                check_pages(connection)
                check_text_index(connection)
        except (DatabaseError, Damaged) as error:
            yield Damage("index", f"{error}; it is made anew from the register by a rebuild")

    def close(self) -> None:
        """Release the database."""
        with self._lock:
            self._home.close()

    def _caught_up(self) -> CommitId:
        engine = self._home.engine()
        if engine is None:
            raise _UnusableError("there is none yet")
        with _said_plainly():
            with engine.connect() as connection:
                indexed = _indexed_commit(connection)
            if indexed == self._store.head():
                return indexed
            with writing(engine).begin() as connection:
                return self._brought_up(connection)

    def _brought_up(self, connection: Connection) -> CommitId:
        # The head is read after the lock was taken: then it cannot be older than what another process wrote here.
        indexed = _indexed_commit(connection)
        head = self._store.head()
        if indexed == head:
            return head
        if not self._store.is_ancestor(indexed, head):
            raise _UnusableError(f"it shows {indexed[:10]}, which is not part of the history of {head[:10]}")
        write_changes(connection, self._store.at(head), self._store.changed(indexed, head))
        return head

    def _built(self) -> CommitId:
        snapshot = self._store.at()
        try:
            with _said_plainly():
                self._home.build(lambda connection: write_all(connection, snapshot))
        except (_UnusableError, OSError) as error:
            raise Fault(f"the index cannot be made: {error}; check the disk and the folder's permissions") from error
        return snapshot.commit

    def _ready(self) -> Engine:
        """Return the database, made first where there is none."""
        engine = self._home.engine()
        if engine is None:
            self.catch_up()
            engine = self._home.engine()
        assert engine is not None  # a build that fails raises
        return engine

    def _finder(self) -> Finder:
        self._ready()
        finder = self._home.finder()
        assert finder is not None  # there is a database now
        return finder

    def _answer(self, query: Executable) -> list[Any]:
        with self._lock:
            try:
                return self._asked(query)
            except _UnusableError as why:
                _log.warning("the index is made anew: %s", why)
                self.rebuild()
                return self._asked(query)

    def _asked(self, query: Executable) -> list[Any]:
        with _said_plainly(), self._ready().connect() as connection:
            _indexed_commit(connection)
            return list(connection.execute(query))


def _belongs_to(part: str) -> Any:
    """Return the condition that a record is of a part: the card, what names the part, or what names such a thing."""
    owned = (
        select(RecordRow.thing, RecordRow.name)
        .where(RecordRow.owner_thing == Thing.PART.value, RecordRow.owner_name == part)
        .where(col(RecordRow.thing).in_(_OWNING))
        .cte("owned", recursive=True)
    )
    deeper = (
        select(RecordRow.thing, RecordRow.name)
        .join(owned, (col(RecordRow.owner_thing) == owned.c.thing) & (col(RecordRow.owner_name) == owned.c.name))
        .where(col(RecordRow.thing).in_(_OWNING))
    )
    owned = owned.union(deeper)
    owner = (col(RecordRow.owner_thing), col(RecordRow.owner_name))
    return or_(
        (col(RecordRow.thing) == Thing.PART.value) & (col(RecordRow.name) == part),
        (owner[0] == Thing.PART.value) & (owner[1] == part),
        select(owned.c.name).where(owned.c.thing == owner[0], owned.c.name == owner[1]).exists(),
    )


def _indexed_commit(connection: Connection) -> CommitId:
    row = connection.execute(select(StateRow.commit, StateRow.schema_number)).one_or_none()
    if row is None or row[1] != SCHEMA:
        raise _UnusableError("it was made by another version of this program")
    return CommitId(row[0])


@contextmanager
def _said_plainly() -> Iterator[None]:
    """Turn what SQLite reports into a fault of the machine, or into the news that the database is unusable."""
    try:
        yield
    except DatabaseError as error:
        code = getattr(error.orig, "sqlite_errorcode", sqlite3.SQLITE_ERROR) & 0xFF
        if code in _BUSY:
            raise Fault("another program is writing the index; try again in a minute") from error
        if code in _MACHINE:
            raise Fault(
                f"the index cannot be written: {error.orig}; check the disk and the folder's permissions"
            ) from error
        raise _UnusableError(str(error.orig)) from error
