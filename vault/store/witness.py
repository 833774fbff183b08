"""The newest commit that was acknowledged on this machine, noted outside of git.

A history that was rewritten is whole in itself; only somebody who remembers what it was can tell.
"""

import os
import re
from pathlib import Path

from vault.interfaces import CommitId

_NAME = "last-commit"


def remember(local: Path, commit: CommitId) -> None:
    """Note `commit`. Not synced: after a power cut an older note is as true as the newest."""
    scratch = local / f"{_NAME}.{os.getpid()}.new"
    scratch.write_text(f"{commit}\n", "ascii")
    os.replace(scratch, local / _NAME)


def remembered(local: Path) -> CommitId | None:
    """Return the newest commit that was noted, or None."""
    try:
        noted = (local / _NAME).read_text("ascii").strip()
    except (FileNotFoundError, UnicodeDecodeError):
        return None
    return CommitId(noted) if re.fullmatch("[0-9a-f]{40}", noted) else None
