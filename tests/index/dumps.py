"""All rows of an index, table by table, as they compare: the numbers that a database gave its rows left out."""

import sqlite3
from typing import Any

_NAMED = {
    "record": "SELECT path, kind, thing, name, owner_thing, owner_name, at_us, label FROM record",
    "link": "SELECT r.path, l.field, l.thing, l.name FROM link l JOIN record r ON r.id = l.record",
    "sought": "SELECT r.path, s.shown, s.title, s.own, s.borrowed FROM sought s JOIN record r ON r.id = s.record",
    "text": "SELECT r.path, t.field, t.text, t.number FROM text t JOIN record r ON r.id = t.record",
    "unreadable": "SELECT path, why FROM unreadable",
    "state": 'SELECT "commit", schema_number FROM state',
    "pieces of text": "SELECT term, col, doc, cnt FROM dumped",
}
_COUNTED = ("record", "link", "sought", "text")


def dumped(connection: sqlite3.Connection) -> dict[str, Any]:
    """Return every table's rows, sorted, and how many each table holds (so that no row without a record hides)."""
    connection.execute("CREATE VIRTUAL TABLE IF NOT EXISTS temp.dumped USING fts5vocab(main, sought_text, col)")
    rows: dict[str, Any] = {name: sorted(map(repr, connection.execute(query))) for name, query in _NAMED.items()}
    for table in _COUNTED:
        rows[f"{table}, counted"] = connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0]
    return rows


def check_whole(connection: sqlite3.Connection) -> None:
    """Let SQLite check its text index, its arrows between tables and its pages; raises or fails where one is wrong."""
    connection.execute("INSERT INTO sought_text(sought_text, rank) VALUES ('integrity-check', 1)")
    assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
    assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
