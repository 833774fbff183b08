"""G4: any changed byte of what was recorded is found by `check` and named as the shop calls it."""

import subprocess
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from tests.builders import a_revision, made, ulid
from tests.given import given, given_lot, given_makeable, given_order
from tests.on_git import on_git
from vault.actions.checking import CheckReport, check
from vault.actions.context import Vault
from vault.errors import Damaged
from vault.index.memory_index import MemoryIndex
from vault.interfaces import Change, Snapshot
from vault.model.floor import LotFinish
from vault.records.codec import encode
from vault.records.paths import file_path, path_of
from vault.store.layout import repository_folder
from vault.store.opening import open_store


@pytest.fixture
def recorded(vault: Vault, tmp_path: Path) -> Iterator[Vault]:
    with on_git(vault, tmp_path / "register") as opened:
        given_makeable(opened)
        given_order(opened)
        given_lot(opened)
        yield opened


def git(vault: Vault, *words: str) -> str:
    repository = repository_folder(vault.folder)
    return subprocess.run(["git", f"--git-dir={repository}", *words], check=True, capture_output=True, text=True).stdout


def checked_afresh(vault: Vault) -> CheckReport:
    """Check as a program does that was started after the damage."""
    with open_store(vault.folder) as store:
        return check(replace(vault, store=store, index=MemoryIndex(store)), full=True)


def loose_objects(vault: Vault) -> dict[str, Path]:
    """Return the file of every record and original by its path in the register."""
    listed = (line.split("\t") for line in git(vault, "ls-tree", "-r", "main").splitlines())
    objects = repository_folder(vault.folder) / "objects"
    return {path: objects / facts[-40:][:2] / facts[-38:] for facts, path in listed}


def flip(file: Path, place: float) -> bytes:
    """Flip one bit of a file, `place` of the way through it, and return what it held before."""
    before = file.read_bytes()
    at = min(int(len(before) * place), len(before) - 1)
    file.chmod(0o644)
    file.write_bytes(before[:at] + bytes([before[at] ^ 0x10]) + before[at + 1 :])
    return before


@pytest.mark.parametrize("place", [0.0, 0.5, 0.8])
def test_a_bit_flipped_in_a_design_is_named_by_part_revision_and_file(recorded: Vault, place: float) -> None:
    revision = a_revision()
    flip(loose_objects(recorded)[file_path(revision, revision.design)], place)
    report = checked_afresh(recorded)
    assert not report.sound
    assert {problem.where for problem in report.problems} == {"BRK-204 rev C, design file bracket-C.stl"}


def test_a_bit_flipped_in_any_record_or_original_is_found_and_named(recorded: Vault) -> None:
    assert checked_afresh(recorded).sound
    for path, file in loose_objects(recorded).items():
        before = flip(file, 0.5)
        report = checked_afresh(recorded)
        file.write_bytes(before)
        assert not report.sound, path
        if path.startswith("parts/"):
            assert any("BRK-204" in problem.where for problem in report.problems), path
    assert checked_afresh(recorded).sound


def test_a_bit_flipped_in_a_folder_or_a_commit_is_found(recorded: Vault) -> None:
    head = git(recorded, "rev-parse", "main").strip()
    trees = [line.split()[2] for line in git(recorded, "ls-tree", "-r", "-t", "-d", "main").splitlines()]
    objects = repository_folder(recorded.folder) / "objects"
    for oid in (head, *trees[:8]):
        before = flip(objects / oid[:2] / oid[2:], 0.5)
        assert not checked_afresh(recorded).sound
        (objects / oid[:2] / oid[2:]).write_bytes(before)


def changed_by_another_program(vault: Vault, path: str, data: bytes) -> None:
    """Commit other bytes at a path with every digest of git right, as somebody with the disk in hand can."""

    def decide(_: Snapshot) -> Change:
        return Change("Tidied up", "ona", vault.clock.now(), cards={path: data})

    vault.store.transact(decide)


def test_a_design_replaced_with_all_digests_of_git_right_is_found_and_named(recorded: Vault) -> None:
    revision = a_revision()
    changed_by_another_program(recorded, file_path(revision, revision.design), b"solid other\nendsolid\n")
    problems = check(recorded, full=True).problems
    assert {problem.where for problem in problems} == {"BRK-204 rev C, design file bracket-C.stl"}
    assert any("its bytes are not those recorded" in problem.what for problem in problems)
    assert any("was changed by commit" in problem.what for problem in problems)


def test_an_entry_rewritten_with_all_digests_of_git_right_is_found_and_named(recorded: Vault) -> None:
    finish = made(LotFinish, {}, id=ulid("finish"), lot="L-26A0001", finished_on=recorded.today, good=28)
    given(recorded, finish)
    changed_by_another_program(recorded, path_of(finish), encode(finish.model_copy(update={"good": 30})))
    [problem] = check(recorded, full=True).problems
    assert problem.where == "finish of L-26A0001"
    assert "was changed by commit" in problem.what


def test_a_record_removed_from_the_head_is_found(recorded: Vault) -> None:
    kept = [line for line in git(recorded, "ls-tree", "-r", "main").splitlines() if "/revision.json" not in line]
    rebuilt = repository_folder(recorded.folder)
    tree = _tree_of(rebuilt, kept)
    words = ["commit-tree", tree, "-p", "main", "-m", "Tidied up"]
    identity = ["-c", "user.name=x", "-c", "user.email=x@x"]
    git(recorded, "update-ref", "refs/heads/main", git(recorded, *identity, *words).strip())
    report = checked_afresh(recorded)
    assert any("revision.json" in problem.path and "was removed by" in problem.what for problem in report.problems)
    assert any("which is not recorded" in problem.what for problem in report.problems)


def _tree_of(repository: Path, lines: list[str]) -> str:
    environment = {"GIT_INDEX_FILE": str(repository.parent / "index.of-the-test"), "PATH": "/usr/bin:/bin"}
    call = ["git", f"--git-dir={repository}"]
    index = "\n".join(lines) + "\n"
    subprocess.run([*call, "update-index", "--index-info"], check=True, input=index, text=True, env=environment)
    return subprocess.run(
        [*call, "write-tree"], check=True, capture_output=True, text=True, env=environment
    ).stdout.strip()


@pytest.mark.parametrize("broken", ["0" * 40, "zz", ""])
def test_a_changed_branch_file_is_named_with_the_way_back(recorded: Vault, broken: str) -> None:
    head = recorded.store.head()
    branch = repository_folder(recorded.folder) / "refs" / "heads" / "main"
    branch.write_text(broken)
    with pytest.raises(Damaged, match=f"branch.*{head}"), open_store(recorded.folder) as store:
        store.at()
    branch.write_text(f"{head}\n")
    assert checked_afresh(recorded).sound
