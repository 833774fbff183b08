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
    """Yield every row; about a quarter of an hour on two cores."""
    scratch = Path(tempfile.mkdtemp(prefix="store-bench-"))
    try:
        fresh = {}
        worn = {}
        for size in SIZES:
            with _register(scratch / str(size), size) as store:
                fresh[size] = yield from _write_rows(store, f"{size:,} parts, packed", size)
                if size != SIZES[1]:
                    _write_many(store, size)
                    worn[size] = yield from _write_rows(
                        store, f"{size:,} parts, after {SINGLE_WRITES:,} writes", 2 * size
                    )
                if size == SIZES[-1]:
                    yield from _reading_rows(store)
                    yield from _work_tree_rows(store, scratch, fresh[size]["revision"])
        for state, times in (("packed", fresh), (f"after {SINGLE_WRITES:,} writes", worn)):
            for what in ("revision", "order"):
                ratio = times[SIZES[-1]][what] / times[SIZES[0]][what]
                yield Row(f"write one {what}, {SIZES[-1]:,} to {SIZES[0]:,}, {state}", ratio, "times", at_most=1.2)
        yield from _keeping_rows(scratch)
    finally:
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


def _write_rows(store: GitStore, state: str, offset: int) -> Generator[Row, None, dict[str, float]]:
    """Yield the rows for single writes in one state of a register, and return the times in ms."""
    times: dict[str, float] = {}
    makers: dict[str, Callable[[int], Change]] = {
        "revision": lambda number: _revision(number, f"again-{offset}"),
        "order": lambda number: _order(offset + 10_000_000 + number),
    }
    for what, make in makers.items():
        before = _bytes_on_disk(store)
        changes = [make(number) for number in range(_TRIES)]
        taken = [_milliseconds(lambda change=change: store.transact(lambda _: change)) for change in changes]
        times[what] = median(taken)
        yield Row(f"write one {what}: {state}", times[what], "ms")
        grown_kb = (_bytes_on_disk(store) - before) / 1024 / _TRIES
        yield Row(f"bytes added by one {what}: {state}", grown_kb, "KB", at_most=60)
    return times


def _write_many(store: GitStore, size: int) -> None:
    """Write single orders until the register is as worn as a busy year makes it."""
    for number in range(SINGLE_WRITES):
        store.transact(lambda _, number=number: _order(size + number))


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


def _keeping_rows(scratch: Path) -> Iterator[Row]:
    source = scratch / "scan.stl"
    source.write_bytes(os.urandom(1 << 20) * 100)
    with _register(scratch / "keeping", 100) as store:
        yield Row("keep an original of 100 MB", _milliseconds(lambda: store.keep(source)), "ms")


def _milliseconds(act: Callable[[], object]) -> float:
    begun = time.perf_counter()
    act()
    return 1000 * (time.perf_counter() - begun)


def _bytes_on_disk(store: GitStore) -> int:
    """Return what the repository takes of the disk, in whole blocks, as a disk counts."""
    return sum(path.stat().st_blocks * 512 for path in repository_folder(store.folder).rglob("*") if path.is_file())
