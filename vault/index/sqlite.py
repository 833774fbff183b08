"""What SQLModel has no words for: how SQLite is opened, its transactions, and its text index."""

import sqlite3
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, Insert, event, text
from sqlalchemy.dialects.sqlite.pysqlite import SQLiteDialect_pysqlite
from sqlalchemy.engine import URL
from sqlalchemy.pool import StaticPool
from sqlalchemy.schema import CreateIndex, CreateTable
from sqlmodel import create_engine, insert

from vault.errors import Damaged
from vault.index.tables import Row

WAIT_S = 60.0
"""How long a writer waits for another one that is catching up."""

_LASTING = ("foreign_keys=ON", "journal_mode=WAL", "synchronous=NORMAL")
_PASSING = ("foreign_keys=OFF", "journal_mode=OFF", "synchronous=OFF", "cache_size=-200000", "temp_store=MEMORY")

_TEXT_INDEX = (
    "CREATE VIRTUAL TABLE sought_text USING fts5(own, borrowed, content='sought', content_rowid='record', "
    "tokenize='trigram')"
)
_FILL_TEXT_INDEX = "INSERT INTO sought_text(sought_text) VALUES ('rebuild')"
_CHECK_TEXT_INDEX = "INSERT INTO sought_text(sought_text, rank) VALUES ('integrity-check', 1)"
_PUT = "INSERT INTO sought_text(rowid, own, borrowed) VALUES (new.record, new.own, new.borrowed);"
_TAKE = (
    "INSERT INTO sought_text(sought_text, rowid, own, borrowed) VALUES ('delete', old.record, old.own, old.borrowed);"
)
_FOLLOW = (
    f"CREATE TRIGGER sought_added AFTER INSERT ON sought BEGIN {_PUT} END",
    f"CREATE TRIGGER sought_removed AFTER DELETE ON sought BEGIN {_TAKE} END",
    f"CREATE TRIGGER sought_changed AFTER UPDATE ON sought BEGIN {_TAKE} {_PUT} END",
)


def open_engine(database: Path | None, pragmas: Sequence[str]) -> Engine:
    """Open a database file, or one in memory where `database` is None."""
    url = URL.create("sqlite", database=str(database) if database else ":memory:")
    arguments: dict[str, Any] = {"timeout": WAIT_S, "check_same_thread": False}
    pool = {} if database else {"poolclass": StaticPool}
    engine = create_engine(url, connect_args=arguments, **pool)

    @event.listens_for(engine, "connect")
    def _prepare(connection: Any, _: object) -> None:
        connection.isolation_level = None  # else the driver begins transactions by itself, and never immediate ones
        for pragma in pragmas:
            connection.execute(f"PRAGMA {pragma}")

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        writes = connection.get_execution_options().get("writes", False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")

    return engine


def open_lasting(database: Path | None) -> Engine:
    """Open a database that readers and writers share."""
    return open_engine(database, _LASTING)


def open_passing(database: Path) -> Engine:
    """Open a database that is being filled and that nobody else sees yet: nothing is kept safe, all is fast."""
    return open_engine(database, _PASSING)


def driver_connection(engine: Engine) -> sqlite3.Connection:
    """Return the one connection of a database in memory."""
    with engine.connect() as connection:
        raw = connection.connection.driver_connection
    assert isinstance(raw, sqlite3.Connection)  # we opened it with this driver
    return raw


def writing(engine: Engine) -> Engine:
    """Return the engine so that a transaction holds the write lock from its first moment (two readers that both want
    to write later would shut each other out)."""
    return engine.execution_options(writes=True)


def create_tables(connection: Connection) -> None:
    """Create the tables without their indexes: a table is filled fastest before it has any."""
    for table in Row.metadata.sorted_tables:
        connection.execute(CreateTable(table))


def create_indexes(connection: Connection) -> None:
    """Create every index, fill the text index, and let it follow its table from now on."""
    for table in Row.metadata.sorted_tables:
        for index in sorted(table.indexes, key=lambda index: str(index.name)):
            connection.execute(CreateIndex(index))
    for statement in (_TEXT_INDEX, _FILL_TEXT_INDEX, *_FOLLOW):
        connection.execute(text(statement))
    connection.execute(text("ANALYZE"))


def insert_statement(table: type[Row]) -> str:
    """Return the INSERT of a table as the driver takes it, its values in the order of the columns.

    Rows go straight to the driver: per-row work in Python would take longer than SQLite itself.
    """
    statement: Insert = insert(table.__table__)  # type: ignore[attr-defined]
    return str(statement.compile(dialect=SQLiteDialect_pysqlite()))


def check_text_index(connection: Connection) -> None:
    """Hold the text index against the table that it follows. Raises a DatabaseError where they differ."""
    connection.execute(text(_CHECK_TEXT_INDEX))


def check_pages(connection: Connection) -> None:
    """Let SQLite check its own file. Raises Damaged where it finds something."""
    answers = [str(row[0]) for row in connection.execute(text("PRAGMA quick_check(5)"))]
    if answers != ["ok"]:
        raise Damaged("; ".join(answers))
