"""Putting a finished file into a folder: under its final name only when every byte is on the disk."""

import os
import tempfile
from pathlib import Path

from vault.errors import Fault


def place_file(place: Path, content: bytes) -> Path:
    """Write a file complete or not at all, flushed to the disk, and return its path.

    Raises:
        Fault: The folder cannot be made or written; the sentence names it.
    """
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(prefix=".partstead-", dir=place.parent)
    except OSError as error:
        raise Fault(f"{place.parent} cannot be written: {error.strerror or error}") from error
    half = Path(name)
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(content)
            out.flush()
            os.fsync(out.fileno())
        if os.name == "posix":
            half.chmod(0o644)  # mkstemp makes files that only their owner may read
        half.replace(place)
    except OSError as error:
        raise Fault(f"{place} cannot be written: {error.strerror or error}") from error
    finally:
        half.unlink(missing_ok=True)
    return place
