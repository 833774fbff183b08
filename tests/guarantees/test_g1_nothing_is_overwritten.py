"""Guarantee 1: nothing recorded is overwritten or lost, and where anything else does it, the audit says so."""

from pathlib import Path

import pytest

from tests.contracts.store_contract import a_change
from tests.guarantees.registers import (
    commit_by_hand,
    damage_of,
    entry_path,
    is_write_once,
    new_register,
    plain_git,
    write_number,
)
from vault.errors import Clash
from vault.interfaces import CommitId
from vault.store.layout import local_folder, repository_folder
from vault.store.opening import open_store

ENTRY = entry_path(0)


@pytest.fixture
def register(tmp_path: Path) -> Path:
    folder = new_register(tmp_path / "register")
    with open_store(folder) as store:
        write_number(store, 1)
    assert damage_of(folder) == []
    return folder


def where_damaged(register: Path) -> set[str]:
    return {damage.where for damage in damage_of(register)}


@pytest.mark.parametrize("path", [ENTRY, "entries", "entries/0", f"{ENTRY}/below"])
def test_this_program_refuses_to_write_over_an_entry(register: Path, path: str) -> None:
    with open_store(register) as store:
        before = store.head()
        with pytest.raises(Clash):
            store.transact(lambda _: a_change(entries={"new.json": b"1", path: b"2"}))
        assert store.head() == before


@pytest.mark.parametrize("content", [b"changed", None])
def test_an_entry_changed_or_removed_by_plain_git_is_named(register: Path, content: bytes | None) -> None:
    commit_by_hand(register, {ENTRY: content}, [plain_git(register, "rev-parse", "main")])
    assert where_damaged(register) == {ENTRY}


def test_an_entry_that_was_changed_and_changed_back_is_named(register: Path) -> None:
    before = plain_git(register, "show", f"main:{ENTRY}").encode() + b"\n"
    changed = commit_by_hand(register, {ENTRY: b"x"}, [plain_git(register, "rev-parse", "main")])
    commit_by_hand(register, {ENTRY: before}, [changed])
    assert plain_git(register, "diff", "main~2", "main") == ""
    assert where_damaged(register) == {ENTRY}


def test_a_card_may_change(register: Path) -> None:
    commit_by_hand(register, {"card.json": b"9"}, [plain_git(register, "rev-parse", "main")])
    assert damage_of(register) == []


@pytest.mark.parametrize("content", [None, b"other"])
def test_a_merge_that_drops_or_changes_the_other_sides_entry_is_named(register: Path, content: bytes | None) -> None:
    base = plain_git(register, "rev-parse", "main")
    theirs = commit_by_hand(register, {"theirs.json": b"theirs"}, [base])
    plain_git(register, "update-ref", "refs/heads/main", base)
    ours = commit_by_hand(register, {"ours.json": b"ours"}, [base])
    kept = {} if content is None else {"theirs.json": content}
    commit_by_hand(register, kept, [ours, theirs])
    assert where_damaged(register) == {"theirs.json"}


def test_a_merge_that_holds_what_both_sides_had_is_no_damage(register: Path) -> None:
    base = plain_git(register, "rev-parse", "main")
    theirs = commit_by_hand(register, {"theirs.json": b"theirs"}, [base])
    plain_git(register, "update-ref", "refs/heads/main", base)
    ours = commit_by_hand(register, {"ours.json": b"ours"}, [base])
    commit_by_hand(register, {"theirs.json": b"theirs"}, [ours, theirs])
    assert damage_of(register) == []


def test_a_history_that_was_written_anew_is_noticed(register: Path) -> None:
    """Nothing in the new history contradicts itself: only the note of the last commit can tell."""
    first = plain_git(register, "rev-list", "--max-parents=0", "main")
    commit_by_hand(register, {ENTRY: b'{"number": 7}\n', entry_path(1): b"other"}, [first])
    (damage,) = damage_of(register)
    assert "does not lead to commit" in damage.what


def test_a_branch_that_was_put_back_is_noticed(register: Path) -> None:
    plain_git(register, "update-ref", "refs/heads/main", "main~1")
    (damage,) = damage_of(register)
    assert damage.where == "register.git/refs/heads/main"


def test_a_branch_that_is_gone_is_noticed(register: Path) -> None:
    plain_git(register, "update-ref", "-d", "refs/heads/main")
    assert "register.git/refs/heads/main" in where_damaged(register)


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("objects/info/alternates", "/elsewhere/objects\n"),
        ("info/grafts", "{tip}\n"),
        ("shallow", "{tip}\n"),
        ("hooks/post-receive", "#!/bin/sh\n"),
        ("refs/replace/{tip}", "{first}\n"),
        ("refs/heads/other", "{tip}\n"),
        ("refs/tags/v1", "{tip}\n"),
        ("refs/remotes/unknown/main", "{tip}\n"),
    ],
)
def test_a_way_to_show_another_history_is_named(register: Path, name: str, content: str) -> None:
    ids = {
        "tip": plain_git(register, "rev-parse", "main"),
        "first": plain_git(register, "rev-list", "--max-parents=0", "main"),
    }
    file = repository_folder(register) / name.format(**ids)
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(content.format(**ids), "ascii")
    assert f"register.git/{name.format(**ids)}" in where_damaged(register)


@pytest.mark.parametrize("kind", ["replace", "graft"])
def test_a_replaced_commit_deceives_nobody(register: Path, kind: str) -> None:
    first, tip = (CommitId(plain_git(register, "rev-parse", name)) for name in ("main~1", "main"))
    forged = commit_by_hand(register, {entry_path(1): b"forged"}, [first])
    plain_git(register, "update-ref", "refs/heads/main", tip)
    if kind == "replace":
        plain_git(register, "replace", tip, forged)
    else:
        (repository_folder(register) / "info").mkdir()
        (repository_folder(register) / "info" / "grafts").write_text(f"{tip}\n", "ascii")
    with open_store(register) as store:
        assert store.at().read(entry_path(1)) == b'{"number": 1}\n'
        assert store.is_ancestor(first, tip), "its parent was hidden"


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("core.hooksPath", "/elsewhere"),
        ("core.worktree", "/elsewhere"),
        ("include.path", "/elsewhere"),
        ("core.fsync", "none"),
        ("gc.auto", "1"),
        ("partstead.writer", "B"),
    ],
)
def test_a_setting_changed_by_anything_else_is_noticed(register: Path, key: str, value: str) -> None:
    plain_git(register, "config", "--file", str(repository_folder(register) / "config"), key, value)
    assert "register.git/config" in where_damaged(register)


@pytest.mark.parametrize("mode", ["100755", "120000"])
def test_a_link_or_a_program_in_the_register_is_named(register: Path, mode: str) -> None:
    commit_by_hand(register, {"link.json": b"vault.json"}, [plain_git(register, "rev-parse", "main")], mode)
    assert where_damaged(register) == {"link.json"}


@pytest.mark.parametrize("path", ["CON", "a:b", "entries/a b.json"])
def test_a_path_that_this_program_never_writes_is_named(register: Path, path: str) -> None:
    commit_by_hand(register, {path: b""}, [plain_git(register, "rev-parse", "main")])
    assert where_damaged(register) == {path}


def test_a_push_from_outside_can_neither_remove_nor_rewrite(register: Path, tmp_path: Path) -> None:
    """git itself refuses, by the settings that every register is made with."""
    plain_git(register, "clone", "--quiet", "--bare", str(repository_folder(register)), str(tmp_path / "clone"))
    before = plain_git(register, "rev-parse", "main")
    for refspec in ("+main~1:main", ":main"):
        with pytest.raises(Exception, match="push"):
            plain_git(tmp_path, f"--git-dir={tmp_path / 'clone'}", "push", str(repository_folder(register)), refspec)
    assert plain_git(register, "rev-parse", "main") == before


def test_originals_that_no_commit_names_yet_are_not_lost_by_packing(register: Path, tmp_path: Path) -> None:
    (tmp_path / "bracket.stl").write_bytes(b"solid bracket")
    with open_store(register) as store:
        kept = store.keep(tmp_path / "bracket.stl")
        store.pack()
        store.pack()
        store.transact(lambda _: a_change(files={"files/bracket.stl": kept}))
        assert store.at().read("files/bracket.stl") == b"solid bracket"
        assert list(store.audit(is_write_once)) == []


def test_without_the_note_of_the_last_commit_the_rest_is_still_looked_at(register: Path) -> None:
    (local_folder(register) / "last-commit").unlink()
    assert damage_of(register) == []
    commit_by_hand(register, {ENTRY: None}, [plain_git(register, "rev-parse", "main")])
    assert where_damaged(register) == {ENTRY}
