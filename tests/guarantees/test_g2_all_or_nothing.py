"""Guarantee 2: a write is all or nothing, whoever is killed and wherever."""

import logging
import os
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import psutil
import pytest

from tests.guarantees.doomed_writer import doomed_change
from tests.guarantees.dooms import assert_unchanged, dooms, head_of, look_after_a_death
from tests.guarantees.registers import new_register, write_number
from vault.errors import Clash
from vault.interfaces import Change, CommitId
from vault.store import fast_import, writing
from vault.store.calls import GitProgram
from vault.store.layout import local_folder, repository_folder
from vault.store.opening import open_store

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="kills by signal and forks")

STREAM_BYTES = len(b"".join(fast_import.commit_stream(doomed_change("00"), CommitId("0" * 40))))
VICTIMS = ("python", "git", "both")


@pytest.mark.slow
@pytest.mark.parametrize("victim", VICTIMS)
@pytest.mark.parametrize("quarter", range(4))
def test_a_writer_killed_at_any_byte_of_its_stream_leaves_a_whole_register(
    tmp_path: Path, victim: str, quarter: int
) -> None:
    """17 points in each quarter of the stream for each victim: 204 deaths."""
    register = new_register(tmp_path / "register")
    acknowledged = head_of(register)
    with dooms(register) as writer:
        for number in range(17):
            at_byte = (quarter * 17 + number) * STREAM_BYTES // (4 * 17)
            code, _ = writer.order(name=str(number), at_byte=at_byte, victim=victim)
            assert code == (1 if victim == "git" else -9)
            acknowledged = look_after_a_death(register, acknowledged, str(number), number + 1)


@pytest.mark.slow
@pytest.mark.parametrize("victim", VICTIMS)
@pytest.mark.parametrize("first_ms", [0, 1])
def test_a_writer_killed_while_git_finishes_leaves_a_whole_register(tmp_path: Path, victim: str, first_ms: int) -> None:
    """All of the stream is with git: it is packing, unpacking, syncing or moving the branch. 90 deaths."""
    register = new_register(tmp_path / "register")
    acknowledged = head_of(register)
    outcomes = set()
    with dooms(register) as writer:
        for number in range(15):
            code, _ = writer.order(name=str(number), after_ms=first_ms + number, victim=victim)
            outcomes.add(code)
            acknowledged = look_after_a_death(register, acknowledged, str(number), number + 1)
    assert outcomes - {0}, "nobody was killed: git was faster than every delay"


@pytest.mark.slow
def test_a_stream_cut_at_any_byte_records_nothing(tmp_path: Path) -> None:
    """Only the last newline may be missing: the word before it has said that all is there."""
    register = new_register(tmp_path / "register")
    program = GitProgram(repository_folder(register))
    change = Change("One card", "Ruth", doomed_change("0").at, entries={"a/b.json": b"12"}, cards={"card.json": b"3"})
    with open_store(register) as store:
        before = store.head()
        stream = b"".join(fast_import.commit_stream(change, before))
        for length in range(len(stream) - 1):
            answer = program.feed("fast-import", "--quiet", pieces=(stream[:length],))
            assert answer.ok == (length == 0), "only a stream of nothing at all is no error, and does nothing"
            assert store.head() == before
        assert_unchanged(store, before)
        assert program.feed("fast-import", "--quiet", pieces=(stream,)).ok
        assert store.at().read("a/b.json") == b"12"


@pytest.mark.parametrize("pieces_sent", range(12))
def test_ctrl_c_leaves_nothing_half_written_and_nobody_waiting(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, pieces_sent: int
) -> None:
    register = new_register(tmp_path / "register")

    def interrupted(change: Change, parent: CommitId | None) -> Iterator[bytes]:
        for number, piece in enumerate(fast_import.commit_stream(change, parent)):
            if number == pieces_sent:
                raise KeyboardInterrupt
            yield piece

    with open_store(register) as store:
        before = store.head()
        with monkeypatch.context() as patch:
            patch.setattr(writing, "commit_stream", interrupted)
            with pytest.raises(KeyboardInterrupt):
                write_number(store, 1)
        assert not [child for child in psutil.Process().children() if "fast-import" in child.cmdline()]
        assert list(repository_folder(register).glob("fast_import_crash_*")) == []
        assert_unchanged(store, before)
        write_number(store, 1)


def test_a_lock_left_on_the_branch_for_over_a_minute_is_removed_with_a_message(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    register = new_register(tmp_path / "register")
    lock = repository_folder(register) / "refs" / "heads" / "main.lock"
    lock.touch()
    os.utime(lock, (time.time() - 61, time.time() - 61))
    with open_store(register) as store, caplog.at_level(logging.WARNING):
        write_number(store, 1)
        assert store.at().exists("entries/1/1.json")
    assert "left behind" in caplog.text


def test_a_lock_of_a_writer_that_is_known_to_be_dead_is_removed_at_once(tmp_path: Path) -> None:
    register = new_register(tmp_path / "register")
    lock = repository_folder(register) / "refs" / "heads" / "main.lock"
    lock.touch()
    os.utime(lock, (time.time() - 3, time.time() - 3))
    (local_folder(register) / "write.running").touch()
    with open_store(register) as store:
        write_number(store, 1)
    assert not lock.exists()


def test_a_fresh_lock_of_somebody_else_is_left_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(writing, "PATIENCE_S", 0.2)
    register = new_register(tmp_path / "register")
    lock = repository_folder(register) / "refs" / "heads" / "main.lock"
    lock.touch()
    with open_store(register) as store:
        with pytest.raises(Clash, match="locked by another program"):
            write_number(store, 1)
        assert lock.exists()
        lock.unlink()
        write_number(store, 1)
