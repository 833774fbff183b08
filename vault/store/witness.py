"""The newest commit that was acknowledged on this machine, noted outside of git.

A history that was rewritten is whole in itself; only somebody who remembers what it was can tell.
"""

import logging
import os
import re
from pathlib import Path

from vault.interfaces import CommitId

_NAME = "last-commit"
_log = logging.getLogger(__name__)


def remember(local: Path, commit: CommitId) -> None:
    """Note `commit`, if the disk has room for it. Not synced: an older note is as true as the newest."""
    scratch = local / f"{_NAME}.{os.getpid()}.new"
    try:
        scratch.write_text(f"{commit}\n", "ascii")
        os.replace(scratch, local / _NAME)
    except OSError as error:  # the commit is recorded: that must not look like a failure now
        _log.warning("%s could not be noted in %s: %s", commit, local, error)


def remembered(local: Path) -> CommitId | None:
    """Return the newest commit that was noted, or None."""
    try:
        noted = (local / _NAME).read_text("ascii").strip()
    except (FileNotFoundError, UnicodeDecodeError):
        return None
    return CommitId(noted) if re.fullmatch("[0-9a-f]{40}", noted) else None
