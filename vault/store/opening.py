"""Making a register's store and opening it, with a clear refusal where it cannot be."""

import os
import shutil
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from vault.errors import NotFound, Refused
from vault.interfaces import Change
from vault.store import configuration, faults, housekeeping
from vault.store.calls import GitProgram, require_git
from vault.store.durable import sync_folder
from vault.store.layout import local_folder, repository_folder
from vault.store.network import network_share
from vault.store.paths import check_change

if TYPE_CHECKING:
    from vault.store.git_store import GitStore

_STAGING = "register.making"


def create_store(
    folder: Path, first: Change, settings: Mapping[str, str] | None = None, *, shared_folder: bool = False
) -> "GitStore":
    """Make a new store in `folder` with `first` as its first commit, and return it open.

    `settings` are local ones, as by `GitStore.set_local`. The store appears whole or not at all: a kill half-way
    leaves a folder in which it can be made again.

    Raises:
        Refused: The folder holds something already, or lies on a network share without `shared_folder`.
        BadInput: `first` holds a path that is not allowed.
        Fault: git is missing or too old, or the folder cannot be written.
    """
    require_git()
    check_change(first, None)
    _refuse_share(folder, allowed=shared_folder)
    try:
        staging = _staging(folder)
        _make_repository(staging, first, settings or {})
        local_folder(folder).mkdir(exist_ok=True)
        for note in local_folder(staging).iterdir():
            os.replace(note, local_folder(folder) / note.name)
        os.replace(repository_folder(staging), repository_folder(folder))
        shutil.rmtree(staging)
        sync_folder(folder)
    except OSError as error:
        raise faults.from_system(folder, error) from error
    return _opened(folder)


def open_store(folder: Path, *, shared_folder: bool = False, incoming: bool = False) -> "GitStore":
    """Open the store in `folder`, for one thread.

    `incoming` is for the check that a receiving git runs before it accepts a push: objects in quarantine are seen.

    Raises:
        NotFound: There is no register in the folder.
        Refused: It lies on a network share without `shared_folder`, or was made by a newer version.
        Fault: git is missing or too old.
        Damaged: The repository's settings, or the file that names its branch, cannot be read.
    """
    require_git()
    repository = repository_folder(folder)
    if not (repository / "HEAD").is_file() or not (repository / "objects").is_dir():
        command = f"`partstead new {folder} --name NAME --me HANDLE --person NAME`"
        raise NotFound(f"{folder} is not a register; make one with {command}")
    _refuse_share(folder, allowed=shared_folder)
    _refuse_newer(folder)
    housekeeping.sweep(repository)
    return _opened(folder, incoming=incoming)


def _opened(folder: Path, *, incoming: bool = False) -> "GitStore":
    # GitPython looks for the git program as soon as it is imported, so the import waits until there is one.
    from vault.store.git_store import GitStore

    return GitStore(folder.absolute(), incoming=incoming)


def _staging(folder: Path) -> Path:
    """Return an empty folder inside `folder` to build in. Raises Refused where something else is there already."""
    folder.mkdir(parents=True, exist_ok=True)
    ours = {_STAGING, local_folder(folder).name}
    others = sorted(path.name for path in folder.iterdir() if path.name not in ours)
    if others:
        raise Refused(f"{folder} is not empty (it holds {others[0]}); choose a new folder for the register")
    staging = folder / _STAGING
    if staging.exists():
        shutil.rmtree(staging)
    local_folder(staging).mkdir(parents=True)
    return staging


def _make_repository(staging: Path, first: Change, settings: Mapping[str, str]) -> None:
    program = GitProgram(repository_folder(staging))
    made = program.run("init", "--quiet", "--bare", "--template=", "--object-format=sha1", "--initial-branch=main")
    if not made.ok:
        raise faults.from_git(staging, made)
    configuration.configure(program)
    with _opened(staging) as store:
        for name, value in settings.items():
            store.set_local(name, value)
        store.write_first(first)


def _refuse_share(folder: Path, *, allowed: bool) -> None:
    kind = None if allowed else network_share(folder)
    if kind is not None:
        raise Refused(
            f"{folder} lies on a network share ({kind}), where two machines can damage each other's writing; "
            "keep the register on a local disk and share it through a hub, or say --shared-folder to go on"
        )


def _refuse_newer(folder: Path) -> None:
    made_by = configuration.read_local(GitProgram(repository_folder(folder)), "format")
    if made_by is not None and made_by != configuration.FORMAT:
        raise Refused(f"{folder} was made by a newer version (format {made_by}); update partstead to open it")
