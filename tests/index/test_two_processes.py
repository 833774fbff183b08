"""Several processes catch up with one register at once, from nothing and while it grows."""

import multiprocessing
import sqlite3
from contextlib import closing
from pathlib import Path

from tests.index.dumps import check_whole, dumped
from tests.index.growing_store import COMMITS, GrowingStore, follow, grow
from vault.index.generations import current_database
from vault.index.sql_index import open_index


def test_processes_that_catch_up_at_once_leave_the_rows_of_a_rebuild(tmp_path: Path) -> None:
    head_file, folder = tmp_path / "head", tmp_path / "local"
    grow(head_file, 0)
    spawn = multiprocessing.get_context("spawn")
    processes = [spawn.Process(target=follow, args=(head_file, folder)) for _ in range(3)]
    for process in processes:
        process.start()
    store = GrowingStore(head_file)
    index = open_index(folder, store)
    for number in range(COMMITS):
        grow(head_file, number)
        index.catch_up()
    for process in processes:
        process.join(timeout=60)
    assert [process.exitcode for process in processes] == [0, 0, 0]
    followed = _rows(folder)
    index.rebuild()
    assert followed == _rows(folder)
    assert len(list(folder.glob("index.*.sqlite"))) == 1


def _rows(folder: Path) -> dict[str, object]:
    database = current_database(folder)
    assert database is not None
    with closing(sqlite3.connect(database)) as connection:
        check_whole(connection)
        return dumped(connection)
