"""Where the store keeps what inside the folder of a register."""

from pathlib import Path


def repository_folder(folder: Path) -> Path:
    """Return the bare git repository of the register in `folder`."""
    return folder / "register.git"


def local_folder(folder: Path) -> Path:
    """Return the folder for what belongs to this copy only: locks, drafts, work in hand."""
    return folder / "local"


def head_on_disk(folder: Path) -> str | None:
    """Return the newest commit as the files of the repository say it, without starting git; None where they do not."""
    repository = repository_folder(folder)
    loose = repository / "refs" / "heads" / "main"
    try:
        if loose.is_file():
            return loose.read_text("ascii").strip()
        packed = (repository / "packed-refs").read_text("ascii")
    except (OSError, UnicodeDecodeError):
        return None
    named = [line.split(" ")[0] for line in packed.splitlines() if line.endswith(" refs/heads/main")]
    return named[0] if named else None
