"""Making and opening a store, and the refusals: each names the folder and says what to do."""

import os
from pathlib import Path, PurePosixPath

import pytest

from tests.contracts.store_contract import FIRST, NOON, a_change
from vault.errors import BadInput, Damaged, Fault, NotFound, Refused
from vault.store import calls, network, opening
from vault.store.layout import local_folder, repository_folder
from vault.store.opening import create_store, open_store

MOUNTS = r"""/dev/sda1 / ext4 rw 0 0
proc /proc proc rw 0 0
server:/shop /mnt/shop nfs4 rw 0 0
/dev/sdb1 /mnt/shop/local ext4 rw 0 0
//server/parts /mnt/our\040parts cifs rw 0 0
ours /home/me/remote fuse.sshfs rw 0 0
broken line
"""


def test_a_store_is_found_again_with_its_settings(tmp_path: Path) -> None:
    create_store(tmp_path / "shop", FIRST, {"writer": "A"}).close()
    with open_store(tmp_path / "shop") as store:
        assert store.at().walk() == ("vault.json",)
        assert store.local("writer") == "A"
        assert store.folder == tmp_path / "shop"


def test_a_folder_that_holds_something_is_not_made_a_register(tmp_path: Path) -> None:
    (tmp_path / "drawing.pdf").touch()
    with pytest.raises(Refused, match=r"drawing\.pdf"):
        create_store(tmp_path, FIRST)
    create_store(tmp_path / "shop", FIRST).close()
    with pytest.raises(Refused, match="not empty"):
        create_store(tmp_path / "shop", FIRST)


def test_nothing_is_made_for_a_first_change_that_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadInput):
        create_store(tmp_path / "shop", a_change(entries={"../x": b""}))
    assert not (tmp_path / "shop").exists()


def test_a_making_that_was_killed_half_way_can_be_made_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = tmp_path / "shop"
    with monkeypatch.context() as patch:
        patch.setattr(opening, "_opened", lambda *_, **__: (_ for _ in ()).throw(KeyboardInterrupt))
        with pytest.raises(KeyboardInterrupt):
            create_store(folder, FIRST)
    with pytest.raises(NotFound):
        open_store(folder)
    with create_store(folder, FIRST) as store:
        assert store.at().walk() == ("vault.json",)
    assert sorted(path.name for path in folder.iterdir()) == ["local", "register.git"]


def test_a_folder_without_a_register_is_not_opened(tmp_path: Path) -> None:
    for folder in (tmp_path, tmp_path / "none"):
        with pytest.raises(NotFound, match="partstead new"):
            open_store(folder)


def test_a_register_of_a_newer_version_is_not_opened(tmp_path: Path) -> None:
    with create_store(tmp_path / "shop", FIRST) as store:
        store.set_local("format", "2")
    with pytest.raises(Refused, match="newer version"):
        open_store(tmp_path / "shop")


@pytest.mark.parametrize("name", ["config", "HEAD"])
def test_a_register_whose_settings_are_garbage_is_damaged_and_the_file_is_named(tmp_path: Path, name: str) -> None:
    create_store(tmp_path / "shop", FIRST).close()
    (repository_folder(tmp_path / "shop") / name).write_bytes(b"\xff\xfe garbage")
    with pytest.raises(Damaged, match=name):
        open_store(tmp_path / "shop")


def test_a_register_on_a_network_share_needs_a_word_of_consent(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    create_store(tmp_path / "shop", FIRST).close()
    monkeypatch.setattr(opening, "network_share", lambda _: "nfs4")
    for act in (open_store, lambda folder: create_store(folder / "new", FIRST)):
        with pytest.raises(Refused, match=r"nfs4.*--shared-folder"):
            act(tmp_path / "shop")
    with open_store(tmp_path / "shop", shared_folder=True) as store:
        store.transact(lambda _: a_change(entries={"a": b""}))


@pytest.mark.parametrize(
    ("folder", "kind"),
    [
        ("/home/me", None),
        ("/mnt/shop", "nfs4"),
        ("/mnt/shop/deep/below", "nfs4"),
        ("/mnt/shop/local/register", None),
        ("/mnt/shopping", None),
        ("/mnt/our parts/register", "cifs"),
        ("/home/me/remote/register", "fuse.sshfs"),
    ],
)
def test_the_mount_that_holds_a_folder_tells_whether_it_is_shared(folder: str, kind: str | None) -> None:
    assert network.shared_type(PurePosixPath(folder), MOUNTS) == kind


@pytest.mark.parametrize(
    ("said", "version"),
    [
        ("git version 2.39.5", (2, 39)),
        ("git version 2.39.5 (Apple Git-154)", (2, 39)),
        ("git version 2.45.1.windows.1", (2, 45)),
        ("git version 3.0.0-rc1", (3, 0)),
        ("nonsense", None),
    ],
)
def test_the_version_of_git_is_understood(said: str, version: tuple[int, int] | None) -> None:
    assert calls.parse_version(said) == version


def a_git_that_says(folder: Path, answer: str) -> None:
    folder.mkdir()
    (folder / "git").write_text(f"#!/bin/sh\necho '{answer}'\n", "ascii")
    (folder / "git").chmod(0o755)


@pytest.mark.skipif(os.name == "nt", reason="a shell script stands for git")
@pytest.mark.parametrize("answer", ["git version 2.37.9", "no such thing"])
def test_an_old_git_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, answer: str) -> None:
    a_git_that_says(tmp_path / "bin", answer)
    monkeypatch.setenv("PATH", str(tmp_path / "bin"))
    with pytest.raises(Fault, match="2.38"):
        open_store(tmp_path / "shop")
    assert not (tmp_path / "shop").exists()


def test_without_git_the_error_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(Fault, match="git is not installed"):
        create_store(tmp_path / "shop", FIRST)


def test_opening_sweeps_what_killed_writers_left_but_not_what_is_in_use(tmp_path: Path) -> None:
    create_store(tmp_path / "shop", FIRST).close()
    repository = repository_folder(tmp_path / "shop")
    old = (repository / "objects/pack/tmp_pack_old", repository / "objects/tmp-keep-old/pack/tmp_pack_x")
    fresh = (repository / "objects/pack/tmp_pack_new", repository / "objects/tmp-keep-new/pack/tmp_pack_x")
    report = repository / "fast_import_crash_123"
    for file in (*old, *fresh, report):
        file.parent.mkdir(parents=True, exist_ok=True)
        file.touch()
    for path in (old[0], old[1].parent.parent):
        os.utime(path, (NOON.timestamp() - 7200, NOON.timestamp() - 7200))
    open_store(tmp_path / "shop").close()
    assert [file.exists() for file in (*old, *fresh, report)] == [False, False, True, True, False]


def test_a_closed_store_leaves_no_note_of_a_writer(tmp_path: Path) -> None:
    with create_store(tmp_path / "shop", FIRST) as store:
        store.transact(lambda _: a_change(entries={"a": b""}))
    assert not (local_folder(tmp_path / "shop") / "write.running").exists()
