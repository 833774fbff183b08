"""Bring records into the tables: all of them at once, or only those that changed."""

from collections.abc import Iterable, Iterator, Sequence

from sqlalchemy import Connection, bindparam, func
from sqlmodel import col, delete, select, update

from vault.errors import Damaged, NotFound
from vault.index.described import BORROWED, LENDERS
from vault.index.extract import Extract, Sought, extract, is_record
from vault.index.folding import plain
from vault.index.generations import SCHEMA
from vault.index.sqlite import insert_statement
from vault.index.tables import LinkRow, RecordRow, SoughtRow, StateRow, TextRow, UnreadableRow
from vault.interfaces import CommitId, HowChanged, PathChange, Snapshot
from vault.model.cards import Material
from vault.records.paths import customer_card, shop_card

_BATCH = 5_000
_WINDOW_AFTER_A_MISS = 1_000
Lender = tuple[str, str]
"""(thing, name) of a customer or a material whose name others are found by."""


def _card_of(lender: Lender) -> str:
    thing, name = lender
    return customer_card(name) if thing == "customer" else shop_card(Material, name)


class LentNames:
    """The folded names of customers and materials, read once each. Only the card in its own place lends a name."""

    def __init__(self, connection: Connection | None) -> None:
        """Look names up in the tables of `connection`; without one, only those that were told are known."""
        self._connection = connection
        self._known: dict[Lender, str] = {}

    def tell(self, record: Extract) -> None:
        """Take note of a card that is being written."""
        if record.kind in LENDERS and record.name is not None and record.sought is not None:
            lender = (record.kind, record.name)
            if record.path == _card_of(lender):
                self._known[lender] = " ".join(plain(text) for field, text, _ in record.sought.texts if field == "name")

    def line(self, lenders: Iterable[Lender]) -> str:
        """Return the names of all lenders as one line."""
        return " ".join(name for name in map(self._name, lenders) if name)

    def _name(self, lender: Lender) -> str:
        if lender not in self._known:
            self._known[lender] = self._look_up(lender)
        return self._known[lender]

    def _look_up(self, lender: Lender) -> str:
        if self._connection is None:
            return ""
        query = (
            select(TextRow.text)
            .join(RecordRow, col(RecordRow.id) == TextRow.record)
            .where(RecordRow.path == _card_of(lender), RecordRow.kind == lender[0], TextRow.field == "name")
            .order_by(col(TextRow.id))
        )
        return " ".join(plain(name) for (name,) in self._connection.execute(query))


class Rows:
    """Rows that wait to be written together."""

    _RECORD, _LINK = insert_statement(RecordRow), insert_statement(LinkRow)
    _SOUGHT, _TEXT = insert_statement(SoughtRow), insert_statement(TextRow)
    _UNREADABLE = insert_statement(UnreadableRow)

    def __init__(self, next_id: int, names: LentNames) -> None:
        """Number the records from `next_id`."""
        self._next_id = next_id
        self._names = names
        self._clear()

    def _clear(self) -> None:
        self._records: list[tuple[object, ...]] = []
        self._links: list[tuple[object, ...]] = []
        self._sought: list[tuple[object, ...]] = []
        self._texts: list[tuple[object, ...]] = []
        self._unreadable: list[tuple[str, str]] = []

    def add(self, path: str, data: bytes) -> None:
        """Take in one record; what cannot be read is remembered by its path."""
        try:
            record = extract(path, data)
        except Damaged as why:
            self.add_unreadable(path, why)
            return
        number = self._next_id
        self._next_id += 1
        self._names.tell(record)
        self._records.append((number, *record[:8]))
        self._links.extend([(None, number, *arrow) for arrow in record.arrows])
        if record.sought is not None:
            self._add_sought(number, record.sought)

    def _add_sought(self, number: int, sought: Sought) -> None:
        self._sought.append((number, *sought[:3], self._names.line(sought.borrows)))
        self._texts.extend([(None, number, *text) for text in sought.texts])

    def add_unreadable(self, path: str, why: Exception) -> None:
        """Remember a path that should hold a record and does not."""
        self._unreadable.append((path, str(why)))

    def write(self, connection: Connection) -> None:
        """Write all rows that wait."""
        for statement, rows in (
            (self._RECORD, self._records),
            (self._LINK, self._links),
            (self._SOUGHT, self._sought),
            (self._TEXT, self._texts),
            (self._UNREADABLE, self._unreadable),
        ):
            if rows:
                connection.exec_driver_sql(statement, rows)
        self._clear()


def _lenders_first(paths: Iterable[str]) -> list[str]:
    """Sort so that names are known before the parts that are found by them."""
    return sorted(paths, key=lambda path: (not path.startswith(("customers/", "shop/materials/")), path))


def _read(connection: Connection, snapshot: Snapshot, paths: Sequence[str], rows: Rows) -> None:
    """Read records and write their rows, thousands at a time; what cannot be read is remembered and passed over."""
    done, window = 0, len(paths)  # a store reads fastest when it sees all that is wanted
    while done < len(paths):
        try:
            for path, data in snapshot.read_many(paths[done : done + window]):
                rows.add(path, data)
                done += 1
                if done % _BATCH == 0:
                    rows.write(connection)
        except (NotFound, Damaged) as why:
            rows.add_unreadable(paths[done], why)
            done, window = done + 1, _WINDOW_AFTER_A_MISS
    rows.write(connection)


def write_all(connection: Connection, snapshot: Snapshot) -> None:
    """Write every record of the register into empty tables."""
    rows = Rows(1, LentNames(None))
    _read(connection, snapshot, _lenders_first(filter(is_record, snapshot.walk())), rows)
    set_state(connection, snapshot.commit)


def write_changes(connection: Connection, snapshot: Snapshot, changes: Iterable[PathChange]) -> None:
    """Replace the rows of the records that changed, and what others are found by because of them."""
    changed = [change for change in changes if is_record(change.path)]
    _forget(connection, [change.path for change in changed if change.how is not HowChanged.ADDED])
    names = LentNames(connection)
    rows = Rows(_next_id(connection), names)
    present = (change.path for change in changed if change.how is not HowChanged.DELETED)
    _read(connection, snapshot, _lenders_first(present), rows)
    for lender in _lenders_in(change.path for change in changed):
        _lend_again(connection, lender, names)
    set_state(connection, snapshot.commit)


def _forget(connection: Connection, paths: Sequence[str]) -> None:
    if paths:
        gone = [{"gone": path} for path in paths]
        for table in (RecordRow, UnreadableRow):
            connection.execute(delete(table).where(col(table.path) == bindparam("gone")), gone)


def _next_id(connection: Connection) -> int:
    return (connection.execute(select(func.max(RecordRow.id))).scalar() or 0) + 1


def _lenders_in(paths: Iterable[str]) -> Iterator[Lender]:
    """Yield the customers and materials whose cards are among `paths`."""
    for path in paths:
        name = path.rpartition("/")[2].removesuffix(".json")
        yield from (lender for thing in sorted(LENDERS) if _card_of(lender := (thing, name)) == path)


def _lend_again(connection: Connection, lender: Lender, names: LentNames) -> None:
    """Write anew what the borrowers of a changed name are found by."""
    thing, name = lender
    query = (
        select(LinkRow.record)
        .join(RecordRow, col(RecordRow.id) == LinkRow.record)
        .where(LinkRow.thing == thing, LinkRow.name == name, col(RecordRow.kind).in_(BORROWED))
        .distinct()
    )
    for (record,) in connection.execute(query).all():
        connection.execute(
            update(SoughtRow)
            .where(col(SoughtRow.record) == record)
            .values(borrowed=names.line(_lenders_of(connection, record)))
        )


def _lenders_of(connection: Connection, record: int) -> list[Lender]:
    """Return whose names a record is found by, in the order in which `described.BORROWED` names them."""
    kind = connection.execute(select(RecordRow.kind).where(RecordRow.id == record)).scalar_one()
    found = []
    for field, _ in BORROWED[kind]:
        query = select(LinkRow.thing, LinkRow.name).where(LinkRow.record == record, LinkRow.field == field)
        found += [(thing, name) for thing, name in connection.execute(query)]
    return found


def set_state(connection: Connection, commit: CommitId) -> None:
    """Say which commit the rows show."""
    connection.execute(delete(StateRow))
    connection.exec_driver_sql(insert_statement(StateRow), (1, commit, SCHEMA))
