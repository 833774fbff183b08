"""The search starts light, and reads a database that others write."""

import subprocess
import sys
from pathlib import Path
from threading import Thread

import pytest

from tests.index.records import a_part, a_small_shop, an_order, written
from tests.index.scripted_store import ScriptedStore
from vault.errors import Damaged
from vault.index.finder import Finder
from vault.index.generations import current_database
from vault.index.sql_index import SqlIndex, open_index
from vault.interfaces import Hit

_START = """
import sys
from pathlib import Path
from vault.index.finder import Finder
from vault.index.generations import current_database
hits = Finder(current_database(Path(sys.argv[1]))).find("hinj brackett")
assert hits, "nothing found"
heavy = {"sqlmodel", "sqlalchemy", "pydantic", "filelock", "git", "numpy", "trimesh", "typer"}
print(sorted(heavy & {name.partition(".")[0] for name in sys.modules}))
"""


@pytest.fixture
def store() -> ScriptedStore:
    return ScriptedStore(written(a_small_shop()))


@pytest.fixture
def index(tmp_path: Path, store: ScriptedStore) -> SqlIndex:
    opened = open_index(tmp_path, store)
    opened.catch_up()
    return opened


def _finder(folder: Path) -> Finder:
    database = current_database(folder)
    assert database is not None
    return Finder(database)


@pytest.mark.usefixtures("index")
def test_a_search_loads_none_of_the_heavy_libraries(tmp_path: Path) -> None:
    root = Path(__file__).parents[2]
    ran = subprocess.run(
        [sys.executable, "-c", _START, str(tmp_path)], cwd=root, check=True, capture_output=True, text=True
    )
    assert ran.stdout.strip() == "[]"


def test_the_finder_finds_what_the_index_finds(tmp_path: Path, index: SqlIndex) -> None:
    finder = _finder(tmp_path)
    for typed in ("brk 204-c", "hinge", "4500", "orrin gehause", "hinj brackett"):
        assert finder.find(typed) == index.find(typed) != ()


def test_the_finder_says_which_commit_it_shows(tmp_path: Path, index: SqlIndex, store: ScriptedStore) -> None:
    finder = _finder(tmp_path)
    assert finder.commit() == store.head()
    store.commit(written([an_order(2, po="AX-1")]))
    assert finder.commit() != store.head()
    index.catch_up()
    assert finder.commit() == store.head()
    assert [hit.name for hit in finder.find("ax1")] == ["O-26A0002"]


def test_a_file_that_is_no_index_is_damage(tmp_path: Path) -> None:
    for name, data in {"empty": b"", "other": b"no database at all" * 500}.items():
        (tmp_path / name).write_bytes(data)
        with pytest.raises(Damaged):
            Finder(tmp_path / name).find("brk")
    with pytest.raises(Damaged):
        Finder(tmp_path / "absent")


def test_the_finder_writes_nothing(tmp_path: Path, index: SqlIndex) -> None:
    index.close()
    database = current_database(tmp_path)
    assert database is not None
    before = database.read_bytes()
    Finder(database).find("hinj brackett")
    assert database.read_bytes() == before


def test_threads_may_share_a_finder(tmp_path: Path, index: SqlIndex) -> None:
    finder = _finder(tmp_path)
    found: list[tuple[Hit, ...]] = []
    threads = [Thread(target=lambda: found.append(finder.find("hinj brackett"))) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(found) == 8
    assert len(set(found)) == 1


def test_a_folder_with_signs_of_its_own_in_its_name_is_only_a_folder(tmp_path: Path, store: ScriptedStore) -> None:
    folder = tmp_path / "50% of #1 ?mode=rw"
    open_index(folder, store).catch_up()
    assert _finder(folder).find("BRK-204")


def test_a_thousand_parts_alike_still_show_the_exact_one_first(tmp_path: Path) -> None:
    parts = [a_part(f"AB-{number}", customer_number=f"T-{number}") for number in range(1, 1000)]
    index = open_index(tmp_path, ScriptedStore(written(parts)))
    assert index.find("ab 7")[0].name == "AB-7"
    assert index.find("t-99")[0].name == "AB-99"
    assert len(index.find("ab", 500)) == 500
