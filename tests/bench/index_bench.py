"""The index at 100,000 parts and 300,000 records: making it, catching up, searching, and starting cold."""

import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from statistics import median

from tests.bench.row import Row
from tests.index.records import a_customer, a_material, a_part, a_release, a_revision, an_order, ulid
from vault.index.generations import current_database
from vault.index.sql_index import SqlIndex, open_index
from vault.interfaces import Change
from vault.model.base import Record
from vault.records.codec import encode
from vault.records.paths import path_of
from vault.store.git_store import GitStore
from vault.store.layout import local_folder, repository_folder
from vault.store.opening import create_store

PARTS = 100_000
_NOW = datetime(2026, 9, 1, tzinfo=UTC)
_NOUNS = ("bracket", "manifold", "impeller", "clamp", "housing", "nozzle", "gear blank", "lever", "flange", "latch")
_SIDES = ("left", "right", "upper", "lower", "long", "short", "pump", "valve", "rudder", "spindle")


def _number(part: int) -> str:
    return f"{'BMVKT'[part % 5]}RK-{part:06d}"


def _a_part(part: int) -> Record:
    described = f"{_SIDES[part // 7 % 10]} {_NOUNS[part % 10]}, size {part % 997}"
    theirs = f"{'HQZ'[part % 3]}OL-{part % 8999 + 1000}-{part // 8999:02d}"
    customer = f"CUST{part % 300:03d}"
    return a_part(_number(part), customer=customer, customer_number=theirs, description=described)


def _records(parts: int) -> Iterator[Record]:
    """Yield three records a part: its card, a revision, and an order or a release."""
    yield a_material()
    yield from (a_customer(f"CUST{code:03d}", f"Invented Works {code}") for code in range(300))
    for part in range(parts):
        yield _a_part(part)
        yield a_revision(part, _number(part), "ABC"[part % 3], at=_NOW, drawing_number=f"DWG-{part}")
        if part % 5 < 3:
            yield an_order(part, _number(part), f"PO-{part // 4}", at=_NOW, revision=ulid(part))
        else:
            yield a_release(part + PARTS, _number(part), ulid(part)).model_copy(update={"at": _NOW})


def _change(records: Iterator[Record]) -> Change:
    files = {path_of(record): encode(record) for record in records}
    cards = {path: data for path, data in files.items() if path.endswith("/part.json")}
    return Change(
        message="bench",
        by="mira",
        at=_NOW,
        entries={path: data for path, data in files.items() if path not in cards},
        cards=cards,
    )


def _seconds(what: Callable[[], object], times: int = 1) -> float:
    taken = []
    for _ in range(times):
        started = time.perf_counter()
        what()
        taken.append(time.perf_counter() - started)
    return median(taken)


def _cat_file(store: GitStore) -> Callable[[], object]:
    """Return what the rebuild is held against: git alone reading the same blobs, in the order of their paths."""
    git = ("git", f"--git-dir={repository_folder(store.folder)}")
    listed = subprocess.run((*git, "ls-tree", "-r", "HEAD"), check=True, capture_output=True, text=True).stdout
    oids = "".join(f"{line.split()[2]}\n" for line in listed.splitlines()).encode()
    return lambda: subprocess.run((*git, "cat-file", "--batch"), input=oids, check=True, stdout=subprocess.DEVNULL)


def rows() -> Iterator[Row]:
    """Measure on a freshly packed register."""
    with tempfile.TemporaryDirectory() as folder:
        store = create_store(Path(folder) / "register", _change(_records(PARTS)))
        store.pack()
        index = open_index(local_folder(store.folder), store)
        yield from _making(store, index)
        yield from _following(store, index)
        yield from _searching(index)
        yield from _cold(local_folder(store.folder))
        index.close()
        store.close()


def _making(store: GitStore, index: SqlIndex) -> Iterator[Row]:
    git_s = _seconds(_cat_file(store), 3)
    index_s = _seconds(index.rebuild)
    yield Row(f"git cat-file --batch over the records of {PARTS} parts", git_s, "s")
    yield Row("index: made anew", index_s, "s")
    yield Row("index: made anew, times git cat-file --batch", index_s / git_s, "x", 8)
    database = current_database(local_folder(store.folder))
    assert database is not None
    yield Row("index: size of the file", database.stat().st_size / 1e6, "MB")


def _following(store: GitStore, index: SqlIndex) -> Iterator[Row]:
    taken = []
    for number in range(900_000, 900_010):
        record = an_order(number, _number(number % PARTS), at=_NOW)
        change = Change(message="order", by="mira", at=_NOW, entries={path_of(record): encode(record)})
        store.transact(lambda _, change=change: change)  # type: ignore[misc]
        taken.append(_seconds(index.catch_up))
    yield Row("index: catching up with one order", median(taken) * 1000, "ms")
    yield Row("index: nothing to catch up with", _seconds(index.catch_up, 20) * 1000, "ms")


def _searching(index: SqlIndex) -> Iterator[Row]:
    typed = {
        "a number": "brk 050000",
        "a number with its label": "vrk-000002c",
        "the beginning of a number": "brk-05",
        "one letter": "b",
        "a PO": "po 12500",
        "words": "rudder nozzle",
        "words and a customer": "cust041 clamp",
        "a common word": "bracket",
        "a number with a slip": "BRK-005O005",
        "words with slips": "rudr nozle siz 123",
        "two letters of nothing": "q@ x!",
    }
    for what, text in typed.items():
        yield Row(f"index: find {what}", _seconds(lambda text=text: index.find(text), 7) * 1000, "ms")  # type: ignore[misc]


def _cold(folder: Path) -> Iterator[Row]:
    search = (
        "import sys; from pathlib import Path; from vault.index.finder import Finder; "
        "from vault.index.generations import current_database; "
        "assert Finder(current_database(Path(sys.argv[1]))).find('brk 050000')"
    )
    cold = _seconds(lambda: subprocess.run((sys.executable, "-c", search, str(folder)), check=True), 9)
    nothing = _seconds(lambda: subprocess.run((sys.executable, "-c", "pass"), check=True), 9)
    yield Row("index: find in a new process, times an empty process", cold / nothing, "x", 8)
