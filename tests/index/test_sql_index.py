"""The index in SQLite keeps the contract, and mends itself where it can."""

import logging
import sqlite3
from pathlib import Path

import pytest

from tests.contracts.index_contract import IndexContract
from tests.index.records import a_customer, a_part, a_small_shop, an_order, written
from tests.index.scripted_store import ScriptedStore
from vault.errors import Fault
from vault.index.generations import CURRENT, current_database
from vault.index.home import MemoryHome
from vault.index.sql_index import SqlIndex, open_index
from vault.interfaces import Index
from vault.records.paths import customer_card, part_card


class TestSqlIndexInAFolder(IndexContract):
    @pytest.fixture(autouse=True)
    def _folder(self, tmp_path: Path) -> None:
        self._folder_of_index = tmp_path

    def open(self, store: ScriptedStore) -> Index:
        return open_index(self._folder_of_index, store)


class TestSqlIndexInMemory(IndexContract):
    def open(self, store: ScriptedStore) -> Index:
        return SqlIndex(MemoryHome(), store)


@pytest.fixture
def store() -> ScriptedStore:
    return ScriptedStore(written(a_small_shop()))


def _database(folder: Path) -> Path:
    database = current_database(folder)
    assert database is not None
    return database


def test_catching_up_keeps_the_database_and_a_rebuild_replaces_it(tmp_path: Path, store: ScriptedStore) -> None:
    index = open_index(tmp_path, store)
    index.catch_up()
    first = _database(tmp_path)
    store.commit(written([an_order(2)]))
    index.catch_up()
    assert _database(tmp_path) == first
    index.rebuild()
    assert _database(tmp_path) != first
    assert not first.exists()


def test_an_index_opened_again_goes_on_where_it_was(tmp_path: Path, store: ScriptedStore) -> None:
    open_index(tmp_path, store).catch_up()
    first = _database(tmp_path)
    index = open_index(tmp_path, store)
    assert index.find("BRK-204")[0].name == "BRK-204"
    assert _database(tmp_path) == first


def test_a_restored_register_is_indexed_anew(tmp_path: Path, store: ScriptedStore) -> None:
    before = store.head()
    store.commit(written([an_order(2, po="GONE-1")]))
    index = open_index(tmp_path, store)
    index.catch_up()
    store.move_head(before)
    store.commit(written([an_order(3, po="NEW-1")]))
    assert index.catch_up() == store.head()
    assert [hit.name for hit in index.find("new1")] == ["O-26A0003"]
    assert index.locate("order", "O-26A0002") is None


def test_the_index_of_another_register_is_not_used(tmp_path: Path, store: ScriptedStore) -> None:
    open_index(tmp_path, ScriptedStore(written([a_part("OTHER-1")]))).catch_up()
    index = open_index(tmp_path, store)
    index.catch_up()
    assert index.locate("part", "OTHER-1") is None
    assert index.locate("part", "BRK-204") == part_card("BRK-204")


@pytest.mark.parametrize("ask", ["catch_up", "find", "locate"])
def test_an_index_of_another_version_is_made_anew(tmp_path: Path, store: ScriptedStore, ask: str) -> None:
    index = open_index(tmp_path, store)
    index.catch_up()
    index.close()
    with sqlite3.connect(_database(tmp_path)) as connection:
        connection.execute("UPDATE state SET schema_number = schema_number + 1")
    connection.close()
    first = _database(tmp_path)
    index = open_index(tmp_path, store)
    ways = {
        "catch_up": index.catch_up,
        "find": lambda: index.find("BRK-204"),
        "locate": lambda: index.locate("part", "BRK-204"),
    }
    assert ways[ask]()
    assert _database(tmp_path) != first


@pytest.mark.parametrize("whole_bytes", [0, 100, 5000])
def test_a_damaged_database_is_made_anew_and_that_is_said(
    tmp_path: Path, store: ScriptedStore, whole_bytes: int, caplog: pytest.LogCaptureFixture
) -> None:
    index = open_index(tmp_path, store)
    index.catch_up()
    index.close()
    database = _database(tmp_path)
    whole = database.read_bytes()
    database.write_bytes(whole[:whole_bytes] + b"\xa5" * (len(whole) - whole_bytes))
    store.commit(written([an_order(2)]))
    with caplog.at_level(logging.WARNING):
        index = open_index(tmp_path, store)
        assert index.catch_up() == store.head()
    assert "made anew" in caplog.text
    assert index.find("BRK-204")[0].name == "BRK-204"
    assert list(index.damage()) == []


def test_a_search_in_a_damaged_database_answers_all_the_same(tmp_path: Path, store: ScriptedStore) -> None:
    index = open_index(tmp_path, store)
    index.catch_up()
    index.close()
    _database(tmp_path).write_bytes(b"no database at all" * 500)
    assert open_index(tmp_path, store).find("BRK-204")[0].name == "BRK-204"
    _database(tmp_path).write_bytes(b"")
    assert open_index(tmp_path, store).locate("part", "BRK-204") == part_card("BRK-204")


def test_a_pointer_to_a_file_outside_is_not_followed(tmp_path: Path, store: ScriptedStore) -> None:
    inside = tmp_path / "inside"
    inside.mkdir()
    (tmp_path / "index.0000000000000000.sqlite").write_bytes(b"")
    (inside / CURRENT).write_text("../index.0000000000000000.sqlite", encoding="ascii")
    assert current_database(inside) is None
    assert open_index(inside, store).catch_up() == store.head()


def test_where_the_folder_cannot_be_written_the_index_is_in_memory_and_that_is_said(
    tmp_path: Path, store: ScriptedStore, caplog: pytest.LogCaptureFixture
) -> None:
    (tmp_path / "a file").write_text("not a folder", encoding="ascii")
    with caplog.at_level(logging.WARNING):
        index = open_index(tmp_path / "a file" / "index", store)
    assert "in memory" in caplog.text
    assert index.catch_up() == store.head()
    assert index.find("BRK-204")[0].name == "BRK-204"


def test_a_failing_store_leaves_the_index_as_it_was(tmp_path: Path, store: ScriptedStore) -> None:
    index = open_index(tmp_path, store)
    shown = index.catch_up()

    class Broken(ScriptedStore):
        def changed(self, since: object, until: object) -> tuple[()]:
            raise Fault("the disk is gone")

    broken = Broken(written([a_customer()]))
    broken.__dict__.update(store.__dict__)
    broken.commit(written([an_order(2)]))
    with pytest.raises(Fault, match="disk is gone"):
        open_index(tmp_path, broken).catch_up()
    store.move_head(shown)
    assert index.catch_up() == shown
    assert index.locate("order", "O-26A0002") is None


def test_a_failed_rebuild_leaves_no_half_made_file(tmp_path: Path, store: ScriptedStore) -> None:
    class Broken(ScriptedStore):
        def at(self, commit: object = None) -> object:
            snapshot = ScriptedStore.at(self)
            snapshot.read_many = lambda paths: (_ for _ in ()).throw(Fault("the disk is gone"))  # type: ignore[method-assign]
            return snapshot

    with pytest.raises(Fault):
        open_index(tmp_path, Broken(written(a_small_shop()))).catch_up()
    assert list(tmp_path.glob("*.sqlite*")) == []


def test_two_open_indexes_follow_one_another_to_a_new_database(tmp_path: Path, store: ScriptedStore) -> None:
    one, other = open_index(tmp_path, store), open_index(tmp_path, store)
    assert one.find("BRK-204") == other.find("BRK-204")
    store.commit(written([an_order(2, po="AX-9")]))
    other.rebuild()
    assert [hit.name for hit in one.find("ax9")] == ["O-26A0002"]


_UNREADABLE = {
    "not JSON": b"{",
    "not UTF-8": b'{"kind": "part", "schema": 1, "number": "\xff"}',
    "no kind": b'{"schema": 1}',
    "unknown kind": b'{"kind": "spaceship", "schema": 1}',
    "of a newer program": b'{"kind": "part", "schema": 99}',
    "fields missing": b'{"kind": "part", "schema": 1, "number": "X-1", "at": "2026-01-01T00:00:00Z"}',
    "no time": b'{"kind": "writer", "schema": 1, "code": "A", "host": "desk", "by": "mira", "at": "soon"}',
    "half a character": b'{"kind": "writer", "schema": 1, "code": "\\ud83d", "at": "2026-01-01T00:00:00Z"}',
    "a list": b"[]",
    "deeply nested": b"[" * 90_000,
    "too long": b'{"kind": "part", "schema": 1, "note": "' + b"x" * 200_000 + b'"}',
}


def test_every_path_that_cannot_be_read_is_named(tmp_path: Path, store: ScriptedStore) -> None:
    paths = {f"customers/aa/BAD{number}.json": data for number, data in enumerate(_UNREADABLE.values())}
    index = open_index(tmp_path, store)
    index.catch_up()
    store.commit(paths)
    index.catch_up()
    assert {damage.where for damage in index.damage()} == set(paths)
    index.rebuild()
    assert {damage.where for damage in index.damage()} == set(paths)
    store.commit(dict.fromkeys(paths))
    index.catch_up()
    assert list(index.damage()) == []


def test_originals_and_signatures_are_no_records(tmp_path: Path, store: ScriptedStore) -> None:
    folder = part_card("BRK-204").rpartition("/")[0]
    store.commit({f"{folder}/receipts/x/files/{'a' * 64}.json": b"{", f"{folder}/entries/01HZ/x.json.sig": b"sig"})
    index = open_index(tmp_path, store)
    index.catch_up()
    assert list(index.damage()) == []


def test_a_part_numbered_files_is_a_part_like_any_other(tmp_path: Path) -> None:
    index = open_index(tmp_path, ScriptedStore(written([a_part("files")])))
    assert index.locate("part", "files") == part_card("files")


def test_only_the_card_in_its_own_place_lends_its_name(tmp_path: Path, store: ScriptedStore) -> None:
    elsewhere = {customer_card("ELSEWHERE"): written([a_customer(name="Zebedee Quarries")])[customer_card("NORTHFELL")]}
    store.commit(elsewhere)
    index = open_index(tmp_path, store)
    index.catch_up()
    assert not [hit for hit in index.find("zebedee hinge") if hit.thing == "part"]
    assert [hit.name for hit in index.find("boatworks hinge")] == ["BRK-204"]


def test_a_damaged_text_index_is_noticed(tmp_path: Path, store: ScriptedStore) -> None:
    index = open_index(tmp_path, store)
    index.catch_up()
    with sqlite3.connect(_database(tmp_path)) as connection:
        connection.execute("DROP TRIGGER sought_changed")
        connection.execute("UPDATE sought SET own = 'something else'")
    connection.close()
    assert [damage.where for damage in index.damage()] == ["index"]
    index.rebuild()
    assert list(index.damage()) == []
