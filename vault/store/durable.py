"""Making sure that what was acknowledged survives a power cut.

git syncs its files but no folder, so the last rename can still be lost. Windows has no way to sync a folder: there
nothing is done, and the last write before a power cut may be missing (whole, never in part).
"""

import os
import sys
from contextlib import suppress
from pathlib import Path


def sync_folder(folder: Path) -> None:
    """Force the names in `folder` to the disk."""
    if sys.platform == "win32":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def sync_objects(repository: Path, since_ns: int) -> None:
    """Force to the disk the names in every object folder that changed at or after `since_ns` (file system's clock).

    At most 258 folders are looked at, whatever the size of the register.
    """
    if sys.platform == "win32":
        return
    objects = repository / "objects"
    with os.scandir(objects) as entries:
        for entry in entries:
            # A folder that packing empties is removed by it; what lay there is in a pack, which git has synced.
            with suppress(FileNotFoundError):
                if entry.is_dir() and len(entry.name) in {2, 4} and entry.stat().st_mtime_ns >= since_ns:
                    sync_folder(Path(entry.path))
    sync_folder(objects)


def sync_branch(repository: Path) -> None:
    """Force the new place of the branch to the disk."""
    sync_folder(repository / "refs" / "heads")


def write_whole(path: Path, content: bytes) -> None:
    """Write a small file so that it is there with all its bytes, or as it was before."""
    scratch = path.with_name(f"{path.name}.{os.getpid()}.new")
    try:
        with scratch.open("wb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        os.replace(scratch, path)
    except BaseException:
        scratch.unlink(missing_ok=True)
        raise
    sync_folder(path.parent)
