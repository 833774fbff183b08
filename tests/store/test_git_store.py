"""The store in git keeps the contract of all stores, freshly written and packed."""

import errno
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import psutil
import pytest

from tests.contracts.store_contract import CARD, FIRST, REVISION, StoreContract, a_change, write
from vault.errors import Damaged, Fault, NotFound
from vault.interfaces import Change, CommitId, Snapshot
from vault.store import durable, keeping, witness
from vault.store.calls import GitProgram
from vault.store.git_store import GitStore
from vault.store.layout import repository_folder
from vault.store.opening import create_store, open_store

HOSTILE = {
    "GIT_DIR": "/nowhere",
    "GIT_WORK_TREE": "/nowhere",
    "GIT_OBJECT_DIRECTORY": "/nowhere",
    "GIT_ALTERNATE_OBJECT_DIRECTORIES": "/nowhere",
    "GIT_NAMESPACE": "other",
    "GIT_CONFIG_COUNT": "1",
    "GIT_CONFIG_KEY_0": "core.hooksPath",
    "GIT_CONFIG_PARAMETERS": "'core.bare=nonsense'",
    "GIT_AUTHOR_DATE": "yesterday",
    "GIT_TRACE": "1",
    "LC_ALL": "de_DE.UTF-8",
}


class PackedStore(GitStore):
    """A store that packs after every write, so that every read comes from a pack."""

    def transact(self, decide: Callable[[Snapshot], Change]) -> CommitId:
        commit = super().transact(decide)
        self.pack()
        return commit


class TestGitStore(StoreContract):
    @pytest.fixture
    def store(self, tmp_path: Path) -> Iterator[GitStore]:
        with create_store(tmp_path / "register", FIRST) as store:
            yield store


class TestPackedGitStore(StoreContract):
    @pytest.fixture
    def store(self, tmp_path: Path) -> Iterator[GitStore]:
        create_store(tmp_path / "register", FIRST).close()
        with PackedStore(tmp_path / "register") as store:
            yield store


def test_nothing_of_the_users_own_git_shines_through(
    register: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    hook = tmp_path / "hooks" / "reference-transaction"
    hook.parent.mkdir()
    hook.write_text(f"#!/bin/sh\ntouch {tmp_path / 'hook-ran'}\nexit 1\n", "ascii")
    hook.chmod(0o755)
    (tmp_path / ".gitconfig").write_text(
        f"[core]\nhooksPath = {hook.parent}\n[safe]\nbareRepository = explicit\n", "utf-8"
    )
    for name, value in {**HOSTILE, "HOME": str(tmp_path), "GIT_CONFIG_VALUE_0": str(hook.parent)}.items():
        monkeypatch.setenv(name, value)
    monkeypatch.chdir(repository_folder(register))
    with open_store(register) as store:
        write(store, entries={"a/b": b"1"})
        assert store.at().read("a/b") == b"1"
        assert list(store.audit(lambda _: True)) == []
    assert not (tmp_path / "hook-ran").exists()


def test_a_commit_bears_the_name_and_the_time_of_the_change_alone(register: Path) -> None:
    with open_store(register) as store:
        text = GitProgram(repository_folder(register)).run("cat-file", "commit", store.head()).out.decode()
    assert "author Ruth <> 1772625600 +0000\ncommitter Ruth <> 1772625600 +0000\n" in text


def test_two_open_stores_see_each_others_writes(register: Path) -> None:
    with open_store(register) as one, open_store(register) as other:
        commit = write(one, entries={"a": b"1"})
        assert other.head() == commit
        assert other.at().read("a") == b"1"
        one.pack()
        write(one, entries={"b": b"2"})
        assert other.at().read("b") == b"2"
        assert other.at().read("a") == b"1"


def test_closing_ends_every_child(register: Path) -> None:
    before = set(psutil.Process().children())
    with open_store(register) as store:
        store.at().read("vault.json")
        next(store.at().stream("vault.json"))
        assert set(psutil.Process().children()) - before
    assert set(psutil.Process().children()) - before == set()


def test_a_write_reads_no_more_than_the_folders_that_it_touches(
    register: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The cost of a write must not depend on the size of the register: no listing of it, few folders read."""
    with open_store(register) as store:
        write(store, entries={f"wide/{number % 50}/{number}": b"" for number in range(1000)})
        asked: list[str] = []
        run = GitProgram.feed
        monkeypatch.setattr(GitProgram, "feed", lambda self, *a, **k: asked.append(a[0]) or run(self, *a, **k))
        read: list[str] = []
        tree = type(store._objects).tree
        monkeypatch.setattr(type(store._objects), "tree", lambda self, oid: read.append(oid) or tree(self, oid))
        write(store, entries={"wide/7/new": b""})
    assert asked == ["fast-import"]
    assert len(set(read)) == 3


@pytest.mark.skipif(sys.platform != "linux", reason="looks into /proc for the names of open folders")
def test_the_branch_and_the_objects_are_on_the_disk_before_a_write_is_acknowledged(
    register: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    synced: set[str] = set()
    monkeypatch.setattr(durable.os, "fsync", lambda handle: synced.add(os.readlink(f"/proc/self/fd/{handle}")))
    with open_store(register) as store:
        commit = write(store, entries={"a": b"1"})
    repository = repository_folder(register)
    wanted = {repository / "refs" / "heads", repository / "objects", repository / "objects" / commit[:2]}
    assert {str(path) for path in wanted} <= synced


def test_a_disk_that_fails_after_the_change_was_recorded_is_told_apart_from_one_that_took_nothing(
    register: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(_: int) -> None:
        raise OSError(errno.EIO, "Input/output error")

    with open_store(register) as store:
        with monkeypatch.context() as patch:
            patch.setattr(durable.os, "fsync", broken)
            with pytest.raises(Fault, match="the change was recorded, but the disk"):
                write(store, entries={"a": b"1"})
        assert store.at().read("a") == b"1"
        write(store, entries={"b": b"2"})


def test_a_note_that_finds_no_room_does_not_make_a_recorded_change_look_lost(
    register: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with open_store(register) as store:
        monkeypatch.setattr(witness.os, "replace", full)
        commit = write(store, entries={"a": b"1"})
        assert store.head() == commit
    assert "could not be noted" in caplog.text


@pytest.mark.parametrize("size_bytes", [100, 9 << 20])
@pytest.mark.parametrize("change_bytes", [-1, 1])
def test_an_original_that_changes_while_it_is_read_is_not_kept(
    register: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, size_bytes: int, change_bytes: int
) -> None:
    source = tmp_path / "scan.stl"
    source.write_bytes(os.urandom(size_bytes))
    fstat = os.fstat

    def seen_before_the_change(handle: int) -> os.stat_result:
        facts = fstat(handle)
        os.truncate(source, size_bytes + change_bytes)
        return facts

    with open_store(register) as store:
        with monkeypatch.context() as patch:
            patch.setattr(keeping.os, "fstat", seen_before_the_change)
            with pytest.raises(Fault, match="changed while"):
                store.keep(source)
        assert list(store.audit(lambda _: True)) == []
    assert not list(repository_folder(register).glob("objects/tmp-keep-*"))


def test_a_missing_object_is_damage_and_the_record_is_named(register: Path) -> None:
    program = GitProgram(repository_folder(register))
    blob = program.run("rev-parse", f"main:{REVISION}").out.decode().strip()
    (program.repository / "objects" / blob[:2] / blob[2:]).unlink()
    with open_store(register) as store:
        with pytest.raises(Damaged, match=REVISION):
            store.at().read(REVISION)
        with pytest.raises(Damaged, match=REVISION):
            list(store.at().stream(REVISION))
        assert store.at().exists(REVISION), "its name is in the folder all the same"
        assert store.at().read(CARD) == b"{}", "the rest can still be read"
        assert [damage.where for damage in store.audit(lambda _: True)] == [REVISION]


def test_a_partial_copy_says_that_an_original_is_not_on_this_machine(register: Path, tmp_path: Path) -> None:
    (tmp_path / "large.stl").write_bytes(os.urandom(2000))
    with open_store(register) as store:
        kept = store.keep(tmp_path / "large.stl")
        store.transact(lambda _: a_change(files={"files/large.stl": kept}))
    copy = tmp_path / "copy"
    source, target = f"file://{repository_folder(register)}", str(repository_folder(copy))
    command = ["git", "clone", "--quiet", "--bare", "--filter=blob:limit=1k", source, target]
    subprocess.run(command, check=True, capture_output=True)
    (copy / "local").mkdir()
    with open_store(copy) as store:
        assert store.at().read(REVISION) == b"B"
        assert store.at().exists("files/large.stl")
        for attempt in (store.at().read, lambda path: list(store.at().stream(path))):
            with pytest.raises(NotFound, match=r"files/large\.stl is not on this machine"):
                attempt("files/large.stl")
        write(store, entries={"new": b"1"})
        assert store.at().read("new") == b"1"


def test_the_check_of_incoming_work_sees_what_is_not_accepted_yet(
    register: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    program = GitProgram(repository_folder(register))
    quarantine = tmp_path / "quarantine"
    quarantine.mkdir()
    aside = {
        "GIT_OBJECT_DIRECTORY": str(quarantine),
        "GIT_ALTERNATE_OBJECT_DIRECTORIES": str(program.repository / "objects"),
    }
    pieces = (
        b"commit refs/heads/x\ncommitter R <> 1772000000 +0000\ndata 1\nm\nfrom refs/heads/main\n",
        b"M 100644 inline a\ndata 1\nA\n",
    )
    program.feed("fast-import", "--quiet", pieces=pieces, variables=aside)
    incoming = CommitId((program.repository / "refs" / "heads" / "x").read_text("ascii").strip())
    (program.repository / "refs" / "heads" / "x").unlink()
    for name, value in aside.items():
        monkeypatch.setenv(name, value)
    with open_store(register) as store, pytest.raises(NotFound):
        store.at(incoming)
    with open_store(register, incoming=True) as store:
        assert store.at(incoming).read("a") == b"A"


def test_a_decision_may_read_all_it_likes(register: Path) -> None:
    def decide(head: Snapshot) -> Change:
        return a_change(entries={"count": b"%d" % sum(len(data) for _, data in head.read_many(head.walk()))})

    with open_store(register) as store:
        store.transact(decide)
        assert store.at().read("count") == b"6"
