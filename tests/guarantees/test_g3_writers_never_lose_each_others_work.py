"""Guarantee 3: writers on one register never lose each other's work, and none of them is starved."""

import shlex
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.contracts.store_contract import a_change
from tests.guarantees.registers import commit_by_hand, damage_of, new_register, plain_git, python_environment
from vault.errors import Clash
from vault.interfaces import Change, Snapshot
from vault.store import housekeeping, writing
from vault.store.calls import GitProgram
from vault.store.layout import repository_folder
from vault.store.opening import open_store

WRITERS, WRITES_EACH = 8, 25
PATIENCE_S = 30.0


def start_writer(register: Path, name: str, count: int) -> "subprocess.Popen[str]":
    return subprocess.Popen(
        [sys.executable, "-m", "tests.guarantees.busy_writer", str(register), name, str(count)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env=python_environment(),
    )


@pytest.mark.slow
def test_eight_processes_write_two_hundred_changes_and_none_is_lost(tmp_path: Path) -> None:
    register = new_register(tmp_path / "register")
    writers = [start_writer(register, f"w{number}", WRITES_EACH) for number in range(WRITERS)]
    for writer in writers:
        assert writer.stdout is not None
        assert writer.stdout.readline() == "ready\n"
    for writer in writers:  # all are ready: now they start together
        assert writer.stdin is not None
        writer.stdin.write("go\n")
        writer.stdin.flush()
    waits = [[float(line) for line in writer.communicate()[0].split()] for writer in writers]
    assert [len(own) for own in waits] == [WRITES_EACH] * WRITERS
    assert max(max(own) for own in waits) < PATIENCE_S / 2, "a writer was nearly starved"
    with open_store(register) as store:
        written = [path for path in store.at().walk() if path.startswith("w")]
        assert len(written) == WRITERS * WRITES_EACH
        assert store.at().read("card.json") == b"%d" % (WRITERS * WRITES_EACH), "a count was lost"
    assert int(plain_git(register, "rev-list", "--count", "main")) == WRITERS * WRITES_EACH + 2
    assert damage_of(register) == []


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="a shell repeats the packing")
def test_packing_at_the_same_time_disturbs_no_writer(tmp_path: Path) -> None:
    """Packing takes away the files that hold what the writer and its readers have just looked at."""
    register = new_register(tmp_path / "register")
    program = GitProgram(repository_folder(register))
    packing = (
        "for turn in 1 2 3 4 5 6 7 8 9 10 11 12; do " + shlex.join(program.command(*housekeeping.PACKING)) + "; done"
    )
    (tmp_path / "original.stl").write_bytes(b"solid")
    with (
        subprocess.Popen(["/bin/sh", "-c", packing], env=program.environment()) as packer,
        open_store(register) as store,
    ):
        number = 0
        while packer.poll() is None or number < 20:
            number += 1
            (tmp_path / "original.stl").write_bytes(b"solid %d" % number)
            kept = store.keep(tmp_path / "original.stl")
            store.transact(lambda _, n=number, kept=kept: a_change(files={f"files/{n}.stl": kept}))
            assert store.at().read("card.json") == b"0"
        assert len(store.at().children("files")) == number
    assert damage_of(register) == []


def push_from_a_clone(register: Path, clone: Path, path: str) -> None:
    """Record a file in a clone and push it into the register, outside of this program and its lock."""
    if not clone.exists():
        plain_git(register, "clone", "--quiet", "--bare", str(repository_folder(register)), str(clone / "register.git"))
    plain_git(clone, "fetch", "--quiet", "origin", "+main:main")
    commit_by_hand(clone, {path: b"pushed"}, [plain_git(clone, "rev-parse", "main")])
    plain_git(clone, "push", "--quiet", "origin", "main")


def pushed_meanwhile(push: Callable[[int], None], times: int) -> tuple[list[str], Callable[[Snapshot], Change]]:
    """Return a decision during which others push, and the list of heads that it saw."""
    seen: list[str] = []

    def decide(head: Snapshot) -> Change:
        seen.append(head.commit)
        if len(seen) <= times:
            push(len(seen))
        return a_change(entries={"ours.json": b"ours"})

    return seen, decide


def test_a_push_during_a_decision_is_seen_and_the_decision_is_taken_anew(tmp_path: Path) -> None:
    register = new_register(tmp_path / "register")
    push = lambda number: push_from_a_clone(register, tmp_path / "clone", f"theirs-{number}.json")  # noqa: E731
    seen, decide = pushed_meanwhile(push, times=2)
    with open_store(register) as store:
        store.transact(decide)
        assert len(seen) == len(set(seen)) == 3
        assert {"ours.json", "theirs-1.json", "theirs-2.json"} <= set(store.at().walk())
    assert damage_of(register) == []


def test_a_push_of_the_same_path_during_a_decision_is_a_clash(tmp_path: Path) -> None:
    register = new_register(tmp_path / "register")
    _, decide = pushed_meanwhile(lambda _: push_from_a_clone(register, tmp_path / "clone", "ours.json"), times=1)
    with open_store(register) as store:
        with pytest.raises(Clash, match=r"ours\.json"):
            store.transact(decide)
        assert store.at().read("ours.json") == b"pushed"


def test_a_writer_that_others_always_overtake_gives_up_and_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(writing, "PATIENCE_S", 0.5)
    register = new_register(tmp_path / "register")
    push = lambda number: push_from_a_clone(register, tmp_path / "clone", f"theirs-{number}.json")  # noqa: E731
    _, decide = pushed_meanwhile(push, times=1000)
    with open_store(register) as store:
        with pytest.raises(Clash, match="other writers were faster"):
            store.transact(decide)
        assert not store.at().exists("ours.json")


def test_a_writer_that_waits_too_long_for_the_lock_gives_up_and_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(writing, "PATIENCE_S", 0.3)
    register = new_register(tmp_path / "register")
    with open_store(register) as first, open_store(register) as second:

        def decide(_: Snapshot) -> Change:
            with pytest.raises(Clash, match="others have been writing"):
                second.transact(lambda _: a_change(entries={"second.json": b""}))
            return a_change(entries={"first.json": b""})

        first.transact(decide)
        second.transact(lambda _: a_change(entries={"second.json": b""}))
        assert {"first.json", "second.json"} <= set(first.at().walk())
