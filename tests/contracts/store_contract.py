"""What every store must do, whatever it is made of: inherited by one test class per implementation."""

import hashlib
from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, datetime
from itertools import pairwise
from pathlib import Path

import pytest

from vault.errors import BadInput, Clash, Fault, NotFound, Refused, WrongUsage
from vault.interfaces import Change, CommitId, HowChanged, PathChange, Snapshot, Store, StoredFile

NOON = datetime(2026, 3, 4, 12, 0, tzinfo=UTC)
UNKNOWN = CommitId("0123456789" * 4)
REVISION = "parts/3f/a1/7741-02/revisions/01J0000000000000000000000A/revision.json"
CARD = "parts/3f/a1/7741-02/part.json"

WANDERING = ("", "/a", "a/", "a//b", ".", "a/..", "../a", "a/../../b", ".git/config", "a/.GIT/x", ".gitmodules")
"""Paths that lead out of the register, or into git's own affairs."""

UNKEEPABLE = ("a b", "a:b", "a\\b", "a\nb", 'a"b', "gehäuse", "a/CON", "nul.json", "com1.txt", "a./b", "x" * 81)
"""Paths that some file system cannot hold as they are."""

FIRST = Change(message="Register made", by="Ruth", at=NOON, cards={"vault.json": b"{}\n"})


def a_change(
    entries: Mapping[str, bytes] | None = None,
    cards: Mapping[str, bytes] | None = None,
    files: Mapping[str, StoredFile] | None = None,
    message: str = "Something recorded",
) -> Change:
    """Return a change of a usual day."""
    return Change(message, by="Ruth", at=NOON, entries=entries or {}, cards=cards or {}, files=files or {})


def write(store: Store, **parts: Mapping[str, bytes]) -> CommitId:
    """Write entries and cards, whatever the head holds."""
    return store.transact(lambda _: a_change(**parts))


class ReadingContract:
    """What a store shows."""

    def test_a_new_store_shows_what_it_was_made_with(self, store: Store) -> None:
        assert store.at().walk() == ("vault.json",)
        assert store.at().read("vault.json") == b"{}\n"
        assert store.message(store.head()) == "Register made"

    def test_bytes_come_back_as_they_were_written(self, store: Store) -> None:
        every_byte = bytes(range(256)) * 3
        write(store, entries={REVISION: every_byte, "a/empty.json": b"", "a/lines": b"\n\r\n\n"})
        head = store.at()
        assert head.read(REVISION) == every_byte
        assert head.read("a/empty.json") == b""
        assert head.read("a/lines") == b"\n\r\n\n"

    def test_a_snapshot_does_not_move_when_the_store_does(self, store: Store) -> None:
        before = store.at()
        write(store, entries={REVISION: b"B"}, cards={"vault.json": b"new"})
        assert before.read("vault.json") == b"{}\n"
        assert not before.exists(REVISION)
        assert store.at(before.commit).walk() == ("vault.json",)

    def test_many_are_read_in_the_order_asked_for(self, store: Store) -> None:
        entries = {f"parts/{number % 7}/{number}.json": b"%d" % number for number in range(300)}
        write(store, entries=entries)
        wanted = [*reversed(entries), next(iter(entries))]
        assert list(store.at().read_many(wanted)) == [(path, entries[path]) for path in wanted]

    def test_reading_many_hands_out_all_before_the_first_missing_one(self, store: Store) -> None:
        write(store, entries={"a/1": b"1", "a/2": b"2"})
        reading = store.at().read_many(["a/1", "a/2", "a/none", "a/1"])
        assert [next(reading), next(reading)] == [("a/1", b"1"), ("a/2", b"2")]
        with pytest.raises(NotFound, match="a/none"):
            next(reading)

    def test_who_stops_reading_half_way_disturbs_nobody(self, store: Store) -> None:
        write(store, entries={f"a/{number}": b"%d" % number for number in range(200)})
        reading = store.at().read_many([f"a/{number}" for number in range(200)])
        assert next(reading) == ("a/0", b"0")
        assert store.at().read("a/199") == b"199"
        assert next(reading) == ("a/1", b"1")

    @pytest.mark.parametrize("path", ["no", "a/no", "a", "", "a/1/below", "/a/1", "a//1", "../a", "a/1/", "new\nline"])
    def test_what_is_not_there_is_not_found(self, store: Store, path: str) -> None:
        write(store, entries={"a/1": b"1"})
        with pytest.raises(NotFound):
            store.at().read(path)
        with pytest.raises(NotFound):
            list(store.at().stream(path))

    def test_files_and_folders_exist_and_nothing_else_does(self, store: Store) -> None:
        write(store, entries={REVISION: b"B"})
        head = store.at()
        there = [path for path in (REVISION, "parts", "parts/3f/a1", "vault.json", "") if head.exists(path)]
        assert there == [REVISION, "parts", "parts/3f/a1", "vault.json", ""]
        assert not any(head.exists(path) for path in ("part", "parts/3f/a", "vault.json/x", "/parts", "parts/"))

    def test_children_are_names_in_order_without_what_lies_deeper(self, store: Store) -> None:
        write(store, entries={"a/c/1": b"", "a/b.json": b"", "a/b": b"", "a/c/d/2": b"", "ab/1": b""})
        head = store.at()
        assert head.children("a") == ("b", "b.json", "c")
        assert head.children("") == ("a", "ab", "vault.json")
        assert head.children("a/b") == head.children("none") == ()

    def test_a_walk_finds_every_file_below_a_folder(self, store: Store) -> None:
        entries = {f"a/{number % 90}/x/{number}": b"" for number in range(200)}
        write(store, entries={**entries, "ab/1": b"", "b/1": b""})
        head = store.at()
        assert head.walk("a") == tuple(sorted(entries))
        assert head.walk("a/7") == ("a/7/x/187", "a/7/x/7", "a/7/x/97")
        assert head.walk() == tuple(sorted({**entries, "ab/1": b"", "b/1": b"", "vault.json": b""}))
        assert head.walk("none") == head.walk("b/1") == ()

    def test_a_stream_is_the_same_bytes(self, store: Store) -> None:
        content = bytes(range(256)) * 1000
        write(store, entries={REVISION: content})
        assert b"".join(store.at().stream(REVISION)) == content

    def test_an_unknown_commit_is_not_found(self, store: Store) -> None:
        for commit in (UNKNOWN, CommitId("HEAD"), CommitId("")):
            with pytest.raises(NotFound):
                store.at(commit)
            with pytest.raises(NotFound):
                store.message(commit)
            with pytest.raises(NotFound):
                store.changed(store.head(), commit)


class WritingContract:
    """What a store takes and what it refuses."""

    def test_a_decision_sees_the_head_and_becomes_the_next_one(self, store: Store) -> None:
        seen: list[CommitId] = []

        def decide(head: Snapshot) -> Change:
            seen.append(head.commit)
            return a_change(entries={REVISION: b"B"}, message="Revision B recorded")

        before = store.head()
        written = store.transact(decide)
        assert seen == [before]
        assert store.head() == written
        assert store.message(written) == "Revision B recorded"
        assert store.written_at(written) == NOON

    def test_a_card_may_be_replaced(self, store: Store) -> None:
        write(store, cards={CARD: b"old"})
        write(store, cards={CARD: b"new"})
        assert store.at().read(CARD) == b"new"

    def test_what_is_recorded_is_never_overwritten(self, store: Store) -> None:
        before = write(store, entries={REVISION: b"B"})
        with pytest.raises(Clash, match=REVISION):
            write(store, entries={REVISION: b"C", "a/other": b""})
        with pytest.raises(Clash, match=REVISION):
            write(store, entries={REVISION: b"B"})
        assert store.head() == before
        assert store.at().read(REVISION) == b"B"

    @pytest.mark.parametrize("path", ["parts", "parts/3f", f"{REVISION}/below", f"{REVISION}/far/below"])
    def test_a_file_never_takes_the_place_of_a_folder_nor_the_reverse(self, store: Store, path: str) -> None:
        before = write(store, entries={REVISION: b"B"})
        for parts in ({"entries": {path: b""}}, {"cards": {path: b""}}):
            with pytest.raises(Clash):
                write(store, **parts)
        assert store.head() == before

    def test_an_error_of_the_decision_is_passed_on_and_nothing_is_written(self, store: Store) -> None:
        before = store.head()
        for error in (Refused("the lot is on hold"), OSError("not the store's"), KeyboardInterrupt()):
            with pytest.raises(type(error)):
                store.transact(lambda _, error=error: (_ for _ in ()).throw(error))
        assert store.head() == before
        write(store, entries={REVISION: b"B"})

    @pytest.mark.parametrize("path", [*WANDERING, *UNKEEPABLE])
    def test_a_path_that_some_file_system_cannot_hold_is_refused(self, store: Store, path: str) -> None:
        before = store.head()
        for parts in ({"entries": {path: b""}}, {"cards": {path: b""}}):
            with pytest.raises(BadInput, match="nothing was written"):
                write(store, **parts)
        assert store.head() == before

    @pytest.mark.parametrize("path", ["Parts/x", "parts/3F/x", "VAULT.json"])
    def test_two_names_that_differ_only_in_case_never_stand_beside_each_other(self, store: Store, path: str) -> None:
        write(store, entries={REVISION: b"B"})
        with pytest.raises(BadInput, match="upper and lower case"):
            write(store, entries={path: b""})
        with pytest.raises(BadInput, match="upper and lower case"):
            write(store, entries={"new/Name/1": b"", "new/name/2": b""})

    def test_one_change_does_not_contradict_itself(self, store: Store) -> None:
        with pytest.raises(BadInput, match="twice"):
            write(store, entries={"a": b"1"}, cards={"a": b"2"})
        with pytest.raises(BadInput, match="file and a folder"):
            write(store, entries={"a": b"1", "a/b": b"2"})

    def test_a_change_without_content_or_with_an_unclear_time_is_refused(self, store: Store) -> None:
        with pytest.raises(BadInput):
            write(store)
        for at in (NOON.replace(tzinfo=None), datetime(1969, 1, 1, tzinfo=UTC)):
            with pytest.raises(BadInput, match="time"):
                store.transact(lambda _, at=at: replace(a_change(entries={"a": b""}), at=at))

    def test_a_message_cannot_pretend_to_be_another_field(self, store: Store) -> None:
        message = "Revision B\n\nfrom 0000\x00\x1b[31m <x@y> \u202e recorded"
        commit = store.transact(lambda _: replace(a_change(entries={"a": b""}, message=message), by="R\n<uth> 0 +0000"))
        assert store.message(commit) == "Revision B from 0000 [31m x@y recorded"
        assert store.at().walk() == ("a", "vault.json")

    def test_a_change_of_many_paths_is_one_commit(self, store: Store) -> None:
        before = store.head()
        entries = {f"orders/2026/{number // 50}/{number}.json": b"%d" % number for number in range(400)}
        after = write(store, entries=entries)
        assert store.changed(before, after) == tuple(PathChange(path, HowChanged.ADDED) for path in sorted(entries))


class KeepingContract:
    """Originals, history and settings."""

    @pytest.mark.parametrize("size_bytes", [0, 1, 70_000, (8 << 20) + 1])
    def test_an_original_is_kept_byte_for_byte(self, store: Store, tmp_path: Path, size_bytes: int) -> None:
        content = (b"facet normal 0 0 1\n" * (size_bytes // 19 + 1))[:size_bytes]
        (tmp_path / "bracket.stl").write_bytes(content)
        kept = store.keep(tmp_path / "bracket.stl")
        assert (kept.sha256, kept.size_bytes) == (hashlib.sha256(content).hexdigest(), size_bytes)
        store.transact(lambda _: a_change(files={"files/bracket.stl": kept}))
        assert b"".join(store.at().stream("files/bracket.stl")) == content

    def test_keeping_alone_records_nothing(self, store: Store, tmp_path: Path) -> None:
        before = store.head()
        (tmp_path / "bracket.stl").write_bytes(b"solid")
        assert store.keep(tmp_path / "bracket.stl") == store.keep(tmp_path / "bracket.stl")
        assert store.head() == before
        assert store.at().walk() == ("vault.json",)

    def test_an_original_is_never_overwritten(self, store: Store, tmp_path: Path) -> None:
        (tmp_path / "bracket.stl").write_bytes(b"solid")
        kept = store.keep(tmp_path / "bracket.stl")
        store.transact(lambda _: a_change(files={"files/a.stl": kept}))
        with pytest.raises(Clash, match=r"files/a\.stl"):
            store.transact(lambda _: a_change(files={"files/a.stl": kept}))

    def test_an_original_that_cannot_be_read_or_was_never_kept_is_a_fault(self, store: Store, tmp_path: Path) -> None:
        before = store.head()
        for source in (tmp_path / "none.stl", tmp_path):
            with pytest.raises(Fault, match=source.name):
                store.keep(source)
        with pytest.raises(Fault):
            store.transact(lambda _: a_change(files={"a.stl": StoredFile("0" * 64, 5, UNKNOWN)}))
        assert store.head() == before

    def test_changes_between_two_commits_are_told_by_path(self, store: Store) -> None:
        first = write(store, cards={CARD: b"old"})
        write(store, entries={REVISION: b"B"})
        last = write(store, cards={CARD: b"new"})
        told = (PathChange(CARD, HowChanged.MODIFIED), PathChange(REVISION, HowChanged.ADDED))
        assert store.changed(first, last) == told
        assert store.changed(last, first)[1] == PathChange(REVISION, HowChanged.DELETED)
        assert store.changed(last, last) == ()

    def test_ancestry_follows_the_order_of_writing(self, store: Store) -> None:
        commits = [store.head(), *(write(store, entries={f"a/{number}": b""}) for number in range(3))]
        for older, newer in pairwise(commits):
            assert store.is_ancestor(older, newer)
            assert not store.is_ancestor(newer, older)
        assert store.is_ancestor(commits[0], commits[-1])
        assert store.is_ancestor(commits[1], commits[1])
        assert not store.is_ancestor(UNKNOWN, commits[1])
        assert not store.is_ancestor(commits[1], CommitId("--help"))

    def test_settings_are_of_this_copy_and_not_of_the_history(self, store: Store) -> None:
        before = store.head()
        assert store.local("writer") is None
        store.set_local("writer", "A")
        store.set_local("writer", 'A2 "quoted" # \\ = é')
        store.set_local("shop-name", "")
        assert store.local("writer") == 'A2 "quoted" # \\ = é'
        assert store.local("shop-name") == ""
        assert store.head() == before

    @pytest.mark.parametrize(("name", "value"), [("a.b", "x"), ("A", "x"), ("", "x"), ("a", "two\nlines"), ("a", "\0")])
    def test_a_setting_that_does_not_fit_a_line_is_refused(self, store: Store, name: str, value: str) -> None:
        with pytest.raises(WrongUsage):
            store.set_local(name, value)

    def test_a_store_that_was_only_used_as_meant_has_no_damage(self, store: Store, tmp_path: Path) -> None:
        (tmp_path / "bracket.stl").write_bytes(b"solid")
        kept = store.keep(tmp_path / "bracket.stl")
        write(store, cards={CARD: b"old"})
        write(store, cards={CARD: b"new"}, entries={REVISION: b"B"})
        store.transact(lambda _: a_change(files={"files/bracket.stl": kept}))
        assert list(store.audit(lambda path: path != CARD)) == []


class StoreContract(ReadingContract, WritingContract, KeepingContract):
    """All of it. An implementation's test class gives a fixture `store` that was made with `FIRST`."""
