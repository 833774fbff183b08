"""Small registers for the tests that try to break one, and the git that stands for everybody else."""

import os
import subprocess
from collections.abc import Sequence
from pathlib import Path

from tests.contracts.store_contract import FIRST, a_change
from vault.interfaces import CommitId, Damage
from vault.store.git_store import GitStore
from vault.store.layout import repository_folder
from vault.store.opening import create_store, open_store


def is_write_once(path: str) -> bool:
    """Say what these registers call write-once: all but two cards."""
    return path not in {"vault.json", "card.json"}


def new_register(folder: Path) -> Path:
    """Make a register with one entry and one card in `folder`, and return the folder."""
    with create_store(folder, FIRST) as store:
        write_number(store, 0)
    return folder


def write_number(store: GitStore, number: int) -> CommitId:
    """Write one entry and replace the card."""
    change = a_change(entries={entry_path(number): b'{"number": %d}\n' % number}, cards={"card.json": b"%d" % number})
    return store.transact(lambda _: change)


def entry_path(number: int) -> str:
    """Return where `write_number` writes its entry."""
    return f"entries/{number % 16}/{number}.json"


def damage_of(folder: Path) -> list[Damage]:
    """Open the register as anyone would and return what its audit finds."""
    with open_store(folder) as store:
        return list(store.audit(is_write_once))


def plain_git(folder: Path, *arguments: str, given: bytes = b"") -> str:
    """Run git on the register as somebody would who goes round this program, and return what it prints."""
    identity = ["-c", "user.name=Somebody", "-c", "user.email=somebody@example.org"]
    done = subprocess.run(
        ["git", f"--git-dir={repository_folder(folder)}", *identity, *arguments],
        input=given,
        capture_output=True,
        check=True,
    )
    return done.stdout.decode().strip()


def commit_by_hand(folder: Path, paths: dict[str, bytes | None], parents: Sequence[str], mode: str = "100644") -> str:
    """Write a commit on the branch with plain git: each path gets its bytes, or is removed where they are None."""
    lines = [b"commit refs/heads/main\ncommitter Somebody <> 1772000000 +0000\ndata 4\nmine\n"]
    lines += [f"{'merge' if number else 'from'} {parent}\n".encode() for number, parent in enumerate(parents)]
    for path, content in paths.items():
        if content is None:
            lines.append(f"D {path}\n".encode())
        else:
            lines.append(f"M {mode} inline {path}\ndata {len(content)}\n".encode() + content + b"\n")
    plain_git(folder, "fast-import", "--quiet", "--force", given=b"".join(lines))
    return plain_git(folder, "rev-parse", "main")


def repository_files(folder: Path) -> list[Path]:
    """Return every file of the register's repository, in a fixed order."""
    return sorted(path for path in repository_folder(folder).rglob("*") if path.is_file())


def python_environment() -> dict[str, str]:
    """Return an environment in which a Python child finds this project."""
    root = Path(__file__).parents[2]
    return {**os.environ, "PYTHONPATH": str(root)}
