"""Where the store keeps what inside the folder of a register."""

from pathlib import Path


def repository_folder(folder: Path) -> Path:
    """Return the bare git repository of the register in `folder`."""
    return folder / "register.git"


def local_folder(folder: Path) -> Path:
    """Return the folder for what belongs to this copy only: locks, drafts, work in hand."""
    return folder / "local"
