"""Guarantee 2, second half: a disk that is full or closed leaves the register as it was, and the error says which."""

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tests.contracts.store_contract import a_change
from tests.guarantees.dooms import Dooms, assert_unchanged, dooms, head_of
from tests.guarantees.registers import damage_of, new_register, write_number
from vault.errors import Fault
from vault.interfaces import CommitId
from vault.store.git_store import GitStore
from vault.store.layout import repository_folder
from vault.store.opening import create_store, open_store

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="limits and mounts of POSIX")

STEP_BYTES = 4096
RECORD_BYTES = 100_000
LARGE_BYTES = (8 << 20) + 512_000


@contextmanager
def mounted(kind: list[str], place: Path) -> Iterator[None]:
    """Mount something for the length of a `with` block; skip the test where this user may not."""
    place.mkdir(exist_ok=True)
    try:
        done = subprocess.run(["mount", *kind, str(place)], capture_output=True, text=True, check=False)
    except FileNotFoundError:
        pytest.skip("there is no mount program here")
    if done.returncode != 0:
        pytest.skip(f"this user may not mount: {done.stderr.strip()}")
    try:
        yield
    finally:
        subprocess.run(["umount", str(place)], check=True)


def assert_full(writer: Dooms, code: int, report: str, before: CommitId) -> None:
    """Assert that a writer that met a full disk said so, and left everything as it was."""
    assert (code, report.partition(":")[0]) == (Fault.exit_code, "Fault")
    assert f"the disk that holds {writer.folder}" in report
    with open_store(writer.folder) as store:
        assert_unchanged(store, before)


@pytest.mark.slow
def test_a_limit_at_any_4_kb_of_a_write_leaves_the_register_unchanged(tmp_path: Path) -> None:
    register = new_register(tmp_path / "register")
    before = head_of(register)
    with dooms(register) as writer:
        for limit in range(0, RECORD_BYTES, STEP_BYTES):
            code, report = writer.order(name="large", large=RECORD_BYTES, file_limit=limit)
            assert_full(writer, code, report, before)
        roomy = RECORD_BYTES + 2 * STEP_BYTES
        assert writer.order(name="large", large=RECORD_BYTES, file_limit=roomy) == (0, "")
    assert damage_of(register) == []


@pytest.mark.slow
def test_a_limit_while_an_original_is_kept_leaves_nothing_behind(tmp_path: Path) -> None:
    register = new_register(tmp_path / "register")
    before = head_of(register)
    (tmp_path / "scan.stl").write_bytes(os.urandom(LARGE_BYTES))
    (tmp_path / "drawing.pdf").write_bytes(os.urandom(RECORD_BYTES))
    files = sum(1 for _ in repository_folder(register).rglob("*"))
    with dooms(register) as writer:
        for source, step in ((tmp_path / "scan.stl", LARGE_BYTES // 12), (tmp_path / "drawing.pdf", 20_000)):
            for limit in range(0, source.stat().st_size, step):
                code, report = writer.order(name="keep", keep=str(source), file_limit=limit)
                assert_full(writer, code, report, before)
    left = [path for path in repository_folder(register).rglob("*") if path.name.startswith("tmp-keep")]
    assert left == []
    assert sum(1 for _ in repository_folder(register).rglob("*")) <= files + 10, "refused originals were left lying"


def fill(store: GitStore) -> None:
    """Write records of bytes that do not compress until the store refuses."""
    for number in range(60):
        content = os.urandom(300_000)
        store.transact(lambda _, path=f"large/{number}.json", content=content: a_change({path: content}))


@pytest.mark.slow
def test_a_disk_that_runs_full_takes_no_half_and_goes_on_when_there_is_room(tmp_path: Path) -> None:
    """A real full disk: 8 MB in memory, filled by records of 300 KB and by an original."""
    disk = tmp_path / "disk"
    with mounted(["-t", "tmpfs", "-o", "size=8m", "tmpfs"], disk):
        ballast = disk / "ballast"
        ballast.write_bytes(bytes(2_000_000))
        with open_store(new_register(disk / "register")) as store:
            with pytest.raises(Fault, match=f"the disk that holds {disk / 'register'}"):
                fill(store)
            acknowledged = store.head()
            assert_unchanged(store, acknowledged)
            assert store.at().walk("large"), "the disk was full before anything was written"
            (tmp_path / "scan.stl").write_bytes(os.urandom(LARGE_BYTES))
            with pytest.raises(Fault, match=r"the disk .*\d+ MB free"):
                store.keep(tmp_path / "scan.stl")
            ballast.unlink()
            write_number(store, 1)
            assert list(store.audit(lambda path: path.startswith("large"))) == []


@pytest.mark.slow
def test_a_read_only_register_can_be_read_and_says_why_it_cannot_be_written(tmp_path: Path) -> None:
    """Mounted on itself read-only, since taking the right to write from a folder does not stop the superuser."""
    register = new_register(tmp_path / "register")
    (tmp_path / "bracket.stl").write_bytes(b"solid bracket")
    with mounted(["--bind", str(register)], register):
        subprocess.run(["mount", "-o", "remount,ro,bind", str(register)], check=True)
        with open_store(register) as store:
            before = store.head()
            assert store.at().read("card.json") == b"0"
            attempts = (
                lambda: write_number(store, 1),
                lambda: store.keep(tmp_path / "bracket.stl"),
                lambda: store.set_local("writer", "B"),
            )
            for attempt in attempts:
                with pytest.raises(Fault, match=f"{register}.* is read-only"):
                    attempt()
            assert_unchanged(store, before)


def test_a_register_cannot_be_made_where_nothing_can_be_written(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("a file, where a folder would be needed", "utf-8")
    with pytest.raises(Fault, match="nothing was recorded"):
        create_store(tmp_path / "file" / "register", a_change({"a": b""}))
