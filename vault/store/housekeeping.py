"""Keeping the repository small and fast without anyone asking: sweeping what killed children left, and packing.

Packing runs detached, takes git's own lock for it, and never removes an object that nothing names: originals are
stored before the commit that will name them.
"""

import logging
import shutil
import subprocess
import sys
import time
from pathlib import Path

from vault.store.calls import GitProgram
from vault.store.keeping import SCRATCH

_OLD_S = 3600.0
_MANY_LOOSE = 5000
_MANY_PACKS = 50
_FAN_OUT = 256
PACKING = ("maintenance", "run", "--quiet", "--task=loose-objects", "--task=incremental-repack")
_log = logging.getLogger(__name__)


def sweep(repository: Path) -> None:
    """Remove what ended git children left behind. On a register that cannot be written, nothing is done."""
    pack = repository / "objects" / "pack"
    old = [path for path in (*pack.glob("tmp_*"), *repository.glob(f"objects/{SCRATCH}*")) if _is_old(path)]
    for path in (*repository.glob("fast_import_crash_*"), *old):
        try:
            if path.is_dir():
                shutil.rmtree(path)
            else:
                path.unlink(missing_ok=True)
        except OSError as error:
            _log.info("%s is left where it is: %s", path, error)


def needs_packing(repository: Path) -> bool:
    """Say whether there are more than about 5,000 loose objects or 50 packs; looks into two folders only."""
    objects = repository / "objects"
    sample = objects / "17"  # ids are spread evenly over 256 folders, so one of them stands for all
    loose = sum(1 for _ in sample.iterdir()) * _FAN_OUT if sample.is_dir() else 0
    return loose > _MANY_LOOSE or sum(1 for _ in (objects / "pack").glob("*.pack")) > _MANY_PACKS


def pack(program: GitProgram) -> None:
    """Pack loose objects and small packs, and wait for the end. For a person who asks for it."""
    program.run(*PACKING)


def pack_when_needed(program: GitProgram) -> None:
    """Start packing where it is time for it. What hinders it is logged: the write before it is done all the same."""
    try:
        if needs_packing(program.repository):
            _pack_detached(program)
    except OSError as error:
        _log.warning("%s was not packed: %s", program.repository, error)


def _pack_detached(program: GitProgram) -> None:
    """Start packing and do not wait; another packing that runs already makes this one end at once."""
    command = program.command(*PACKING)
    if sys.platform == "win32":
        subprocess.Popen(command, env=program.environment(), creationflags=subprocess.DETACHED_PROCESS)
        return
    # Through a shell that ends at once, so that the packing is nobody's child and nobody has to wait for it.
    subprocess.run(
        ["/bin/sh", "-c", '"$@" </dev/null >/dev/null 2>&1 &', "sh", *command],
        env=program.environment(),
        start_new_session=True,
        check=False,
    )


def _is_old(path: Path) -> bool:
    try:
        return time.time() - path.stat().st_mtime > _OLD_S
    except FileNotFoundError:
        return False
