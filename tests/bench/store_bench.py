"""What a write costs as the register grows, freshly packed and after 10,000 single writes, and what reading costs.

Compared side by side in one run: with 1,000, 10,000 and 100,000 parts and as many orders of one year; with `git add`
and `git commit` in a work tree; and with `git cat-file --batch` over the same objects.
"""

import hashlib
import os
import shutil
import subprocess
import tempfile
import time
from collections.abc import Callable, Generator, Iterator
from datetime import UTC, date, datetime, timedelta
from functools import partial
from pathlib import Path
from statistics import median

from tests.bench.row import Row
from vault.interfaces import Change
from vault.store.git_store import GitStore
from vault.store.layout import repository_folder
from vault.store.opening import create_store

SIZES = (1_000, 10_000, 100_000)
SINGLE_WRITES = 10_000
_TRIES = 31
_NOW = datetime(2026, 9, 1, tzinfo=UTC)
_RECORD = b'{\n  "kind": "bench",\n  "schema": 1,\n  "by": "bench",\n  "note": "%s"\n}\n'


def rows() -> Iterator[Row]:
    """Yield every row; about half an hour on two busy cores, most of it for the single writes."""
    scratch = Path(tempfile.mkdtemp(prefix="store-bench-"))
    stores = {size: _register(scratch / str(size), size) for size in SIZES}
    try:
        fresh = yield from _write_rows(stores, "packed")
        yield from _reading_rows(stores[SIZES[-1]])
        yield from _work_tree_rows(stores[SIZES[-1]], scratch, fresh)
        worn = {size: stores[size] for size in (SIZES[0], SIZES[-1])}
        for number in range(SINGLE_WRITES):
            for size, store in worn.items():
                _write(store, _order(size + number))
        yield from _write_rows(worn, f"after {SINGLE_WRITES:,} writes")
        yield from _keeping_rows(stores[SIZES[0]], scratch)
    finally:
        for store in stores.values():
            _wait_for_packing(store)
            store.close()
        shutil.rmtree(scratch)


def _part_folder(number: int) -> str:
    digest = hashlib.sha256(b"part %d" % number).hexdigest()
    return f"parts/{digest[:2]}/{digest[2:4]}/P-A{number:06d}"


def _order_folder(number: int) -> str:
    day = date(2026, 1, 1) + timedelta(days=number % 365)
    return f"orders/{day:%Y/%m/%d}/O-26A{number:06d}"


def _record(note: str) -> bytes:
    return _RECORD % hashlib.sha256(note.encode()).hexdigest().encode()


def _change(entries: dict[str, bytes]) -> Change:
    return Change("Bench", "bench", _NOW, entries=entries)


def _revision(number: int, name: str) -> Change:
    folder = f"{_part_folder(number)}/revisions/{name}"
    return _change({f"{folder}/{file}.json": _record(f"{folder}{file}") for file in ("revision", "measured", "change")})


def _order(number: int) -> Change:
    return _change({f"{_order_folder(number)}/order.json": _record(f"order {number}")})


def _register(folder: Path, size: int) -> GitStore:
    """Make a register with `size` parts, as many revisions and as many orders, in one pack."""
    store = create_store(folder, Change("Bench", "bench", _NOW, cards={"vault.json": b"{}\n"}))
    step = 10_000
    for start in range(0, size, step):
        entries: dict[str, bytes] = {}
        for number in range(start, min(start + step, size)):
            entries[f"{_part_folder(number)}/part.json"] = _record(f"part {number}")
            entries |= _revision(number, "first").entries
            entries |= _order(number).entries
        store.transact(lambda _, entries=entries: _change(entries))
    subprocess.run(["git", f"--git-dir={repository_folder(folder)}", "repack", "-adq"], check=True)
    return store


def _write_rows(stores: dict[int, GitStore], state: str) -> Generator[Row, None, float]:
    """Yield the rows for single writes in one state, by turns in every register so that all meet the same machine.

    Returns the time for a revision in the largest register, in ms.
    """
    makers = {
        "revision": lambda number: _revision(number, state.replace(" ", "-").replace(",", "")),
        "order": lambda number: _order(10_000_000 * (1 + len(state)) + number),
    }
    slowest_ms = 0.0
    for what, make in makers.items():
        taken: dict[int, list[float]] = {size: [] for size in stores}
        added_kb: dict[int, list[float]] = {size: [] for size in stores}
        for number in range(_TRIES):
            for size, store in stores.items():
                _wait_for_packing(store)
                before = _kb_on_disk(store)
                taken[size].append(_milliseconds(partial(_write, store, make(number))))
                added_kb[size].append(_kb_on_disk(store) - before)
        times = {size: median(own) for size, own in taken.items()}
        for size in stores:
            yield Row(f"write one {what}: {size:,} parts, {state}", times[size], "ms")
            yield Row(f"added by one {what}: {size:,} parts, {state}", median(added_kb[size]), "KB", at_most=60)
        ratio = times[max(stores)] / times[min(stores)]
        yield Row(f"write one {what}, most parts to fewest, {state}", ratio, "times", at_most=1.2)
        slowest_ms = slowest_ms or times[max(stores)]
    return slowest_ms


def _write(store: GitStore, change: Change) -> None:
    store.transact(lambda _: change)


def _wait_for_packing(store: GitStore) -> None:
    """Return when no packing runs in the background: what it costs is its own, not the next write's."""
    lock = repository_folder(store.folder) / "objects" / "maintenance.lock"
    while lock.exists():
        time.sleep(0.05)


def _reading_rows(store: GitStore) -> Iterator[Row]:
    repository = repository_folder(store.folder)
    listed = subprocess.run(
        ["git", f"--git-dir={repository}", "ls-tree", "-r", "--format=%(objectname)", "main"],
        capture_output=True,
        check=True,
    ).stdout
    with tempfile.TemporaryFile() as oids, open(os.devnull, "wb") as nowhere:
        oids.write(listed)
        command = ["git", f"--git-dir={repository}", "cat-file", "--batch"]

        def plain() -> None:
            oids.seek(0)
            subprocess.run(command, stdin=oids, stdout=nowhere, check=True)

        plain_ms = min(_milliseconds(plain) for _ in range(3))
    yield Row("git cat-file --batch over every record", plain_ms, "ms")
    ours_ms = min(_milliseconds(lambda: _read_all(store)) for _ in range(3))
    yield Row("read every record through the store", ours_ms, "ms")
    yield Row("read every record, store to git alone", ours_ms / plain_ms, "times")


def _read_all(store: GitStore) -> int:
    head = store.at()
    return sum(len(content) for _, content in head.read_many(head.walk()))


def _work_tree_rows(store: GitStore, scratch: Path, ours_ms: float) -> Iterator[Row]:
    """Time the same write by `git add` and `git commit` in a work tree of the same size."""
    tree = scratch / "work-tree"
    subprocess.run(["git", "clone", "-q", str(repository_folder(store.folder)), str(tree)], check=True)
    git = ["git", "-C", str(tree), "-c", "user.name=bench", "-c", "user.email=bench@example.org", "-c", "gc.auto=0"]

    def commit(number: int) -> None:
        for path, content in _revision(number, "by-hand").entries.items():
            (tree / path).parent.mkdir(parents=True, exist_ok=True)
            (tree / path).write_bytes(content)
        subprocess.run([*git, "add", "-A"], check=True)
        subprocess.run([*git, "commit", "-qm", "Bench"], check=True)

    theirs_ms = median(_milliseconds(lambda n=number: commit(n)) for number in range(5))
    yield Row(f"git add && git commit in a work tree of {SIZES[-1]:,} parts", theirs_ms, "ms")
    yield Row("write one revision, store to git add && git commit", ours_ms / theirs_ms, "times", at_most=1 / 20)


def _keeping_rows(store: GitStore, scratch: Path) -> Iterator[Row]:
    source = scratch / "scan.stl"
    source.write_bytes(os.urandom(1 << 20) * 100)
    yield Row("keep an original of 100 MB", _milliseconds(lambda: store.keep(source)), "ms")


def _milliseconds(act: Callable[[], object]) -> float:
    begun = time.perf_counter()
    act()
    return 1000 * (time.perf_counter() - begun)


def _kb_on_disk(store: GitStore) -> float:
    """Return what the repository takes of the disk, in whole blocks, as a disk counts."""
    files = (path for path in (repository_folder(store.folder) / "objects").rglob("*") if path.is_file())
    return sum(path.stat().st_blocks for path in files) / 2
