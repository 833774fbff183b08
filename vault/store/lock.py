"""The queue of writers on one machine, and what a killed writer leaves in the way of the next.

Writers queue on an operating system's lock, which the kernel gives back when a process dies. The git child that
writes inherits the lock, so it stays taken until that child, too, has ended.
"""

import logging
import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from filelock import FileLock, Timeout

from vault.errors import Clash
from vault.store import faults

_POLL_S = 0.01
_LEFT_OVER_S = 60.0
_LEFT_BY_A_DEAD_WRITER_S = 2.0
_log = logging.getLogger(__name__)


class WriteLock:
    """The right to write into one register; taken with `with lock.held(): ...`, by one thread at a time."""

    def __init__(self, folder: Path, repository: Path, local: Path) -> None:
        self._folder = folder
        self._repository = repository
        self._running = local / "write.running"
        self._descriptors: list[int] = []
        self._turn = FileLock(local / "write.turn", poll_interval=_POLL_S, fallback_to_soft=False)
        self._lock = FileLock(
            local / "write.lock", poll_interval=_POLL_S, fallback_to_soft=False, on_acquired=self._descriptors.append
        )
        self._writer_died = False

    @contextmanager
    def held(self, patience_s: float) -> Iterator[None]:
        """Hold the lock for the length of a `with` block.

        Who waits takes a turn first, so a writer in a tight loop cannot step in again before the one that waits.

        Raises:
            Clash: Other writers held it for `patience_s` seconds.
            Fault: The lock's files cannot be written.
        """
        try:
            with self._turn.acquire(timeout=patience_s):
                self._lock.acquire(timeout=patience_s)
        except Timeout as error:
            raise Clash(f"others have been writing for {patience_s:.0f} seconds; try again in a moment") from error
        except OSError as error:
            raise faults.from_system(self._folder, error) from error
        try:
            self._writer_died = self._running.exists()
            yield
        finally:
            self._lock.release()
            self._descriptors.clear()

    @property
    def descriptors(self) -> tuple[int, ...]:
        """The lock's own file descriptors, for the git child to inherit."""
        return tuple(self._descriptors)

    def begin(self) -> int:
        """Note that writing begins, and return the moment by the file system's clock, in nanoseconds.

        The note is removed by `finished`; where it is found later, a writer was killed.
        """
        self._running.write_bytes(str(os.getpid()).encode())
        return self._running.stat().st_mtime_ns

    def finished(self) -> None:
        """Note that writing ended, well or badly, and that git has let go of everything."""
        try:
            self._running.unlink(missing_ok=True)
        except OSError as error:  # the next writer then takes more care than it needs; nothing else depends on it
            _log.warning("%s could not be removed: %s", self._running, error)

    def branch_is_locked(self) -> bool:
        """Say whether git's own lock on the branch is there now."""
        return any(path.exists() for path in self._branch_locks())

    def clear_left_over(self) -> None:
        """Remove git's lock on the branch where it was left behind. Only called while the write lock is held.

        No local writer can be using it then; a push or another host holds it for milliseconds. So it is left over
        after a minute, or after two seconds where a writer is known to have been killed.
        """
        limit_s = _LEFT_BY_A_DEAD_WRITER_S if self._writer_died else _LEFT_OVER_S
        for path in self._branch_locks():
            try:
                age_s = time.time() - path.stat().st_mtime
            except FileNotFoundError:
                continue
            if age_s >= limit_s:
                _log.warning("%s was left behind %.0f seconds ago by a writer that was killed; removed", path, age_s)
                path.unlink(missing_ok=True)

    def _branch_locks(self) -> tuple[Path, ...]:
        return (self._repository / "refs" / "heads" / "main.lock", self._repository / "HEAD.lock")
