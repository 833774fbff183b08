"""What a failed write means to a person: which disk, what is wrong with it, and that nothing was recorded."""

import errno
import shutil
import signal
from pathlib import Path

from vault.errors import Fault
from vault.store.calls import Answer

_FULL_WORDS = ("no space left on device", "out of diskspace", "disk quota exceeded", "file too large")
_CLOSED_WORDS = ("read-only file system", "permission denied", "insufficient permission", "operation not permitted")
_FULL_CODES = frozenset({errno.ENOSPC, errno.EDQUOT, errno.EFBIG})
_CLOSED_CODES = frozenset({errno.EROFS, errno.EACCES, errno.EPERM})


def is_the_disk(answer: Answer) -> bool:
    """Say whether git failed because the disk is full or closed to us, whatever else it complains about."""
    words = answer.words.lower()
    return answer.code < 0 or any(word in words for word in (*_FULL_WORDS, *_CLOSED_WORDS))


def from_git(folder: Path, answer: Answer) -> Fault:
    """Return the Fault that tells what kept git from writing into the register at `folder`."""
    words = answer.words.lower()
    # A file-size limit of the process ends git by this signal; Windows has neither.
    too_large = -getattr(signal, "SIGXFSZ", 0)
    if any(word in words for word in _FULL_WORDS) or (too_large and answer.code == too_large):
        return _full(folder)
    if any(word in words for word in _CLOSED_WORDS):
        return _closed(folder)
    if answer.code < 0:
        return Fault(f"git was ended by signal {-answer.code} while writing to {folder}; nothing was recorded")
    return Fault(f"git could not write to {folder}, nothing was recorded: {answer.last_words()}")


def from_system(folder: Path, error: OSError) -> Fault:
    """Return the Fault that tells what kept us from writing into the register at `folder`."""
    if error.errno in _FULL_CODES:
        return _full(folder)
    if error.errno in _CLOSED_CODES:
        return _closed(folder)
    return Fault(f"{folder} cannot be written, nothing was recorded: {error.strerror or error}")


def _full(folder: Path) -> Fault:
    return Fault(
        f"the disk that holds {folder} is full or at a size limit ({_free_mb(folder)} MB free); "
        "nothing was recorded: make room and try again"
    )


def _closed(folder: Path) -> Fault:
    return Fault(f"{folder} is read-only for you or for this machine; nothing was recorded: ask for write access")


def _free_mb(folder: Path) -> int:
    return shutil.disk_usage(folder).free // 1_000_000
