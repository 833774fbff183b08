"""One decision becomes one commit: under the lock, all of it or nothing, and on the disk before it is acknowledged."""

import random
import re
import time
from collections.abc import Callable
from pathlib import Path

from vault.errors import Clash, Fault
from vault.interfaces import Change, CommitId, Snapshot
from vault.store import faults
from vault.store.calls import Answer, GitProgram
from vault.store.durable import sync_branch, sync_objects
from vault.store.fast_import import commit_stream
from vault.store.lock import WriteLock
from vault.store.paths import check_change

PATIENCE_S = 30.0
_SHORTEST_PAUSE_S = 0.02
_LONGEST_PAUSE_S = 0.5
_LOST_RACE = ("not updating refs/heads/main", "cannot lock ref", "unable to create", "failed to update ref")


class CommitWriter:
    """Writes commits into one register, one after the other with all other writers of this machine."""

    def __init__(self, program: GitProgram, folder: Path, local: Path, head: Callable[[], CommitId]) -> None:
        self._program = program
        self._folder = folder
        self._lock = WriteLock(folder, program.repository, local)
        self._head = head

    @property
    def lock(self) -> WriteLock:
        """The lock under which this register is written."""
        return self._lock

    def transact(self, decide: Callable[[Snapshot], Change], at_head: Callable[[], Snapshot]) -> CommitId:
        """Decide upon the head and write what was decided, as `interfaces.Store.transact` promises."""
        with self._lock.held(PATIENCE_S):
            deadline = time.monotonic() + PATIENCE_S
            pause_s = _SHORTEST_PAUSE_S
            while True:
                before = at_head()
                change = decide(before)
                check_change(change, before)
                written = self._write(change, before.commit)
                if written is not None:
                    return written
                self._give_up_after(deadline)
                time.sleep(pause_s * random.uniform(0.5, 1.5))
                pause_s = min(2 * pause_s, _LONGEST_PAUSE_S)
                self._lock.clear_left_over()

    def write_first(self, change: Change) -> CommitId:
        """Write the first commit of a new register. Raises Fault."""
        with self._lock.held(PATIENCE_S):
            written = self._write(change, None)
        if written is None:
            raise Fault(f"{self._folder} is being written by another program already")
        return written

    def _write(self, change: Change, parent: CommitId | None) -> CommitId | None:
        """Write one commit upon `parent`; None where the branch moved or was locked meanwhile. Raises Fault."""
        try:
            since_ns = self._lock.begin()
            answer = self._program.feed(
                "fast-import", "--quiet", pieces=commit_stream(change, parent), inherited=self._lock.descriptors
            )
        except OSError as error:
            raise faults.from_system(self._folder, error) from error
        finally:
            self._remove_reports()
        commit = self._outcome(answer)
        if commit is not None:
            self._make_durable(since_ns)
        self._lock.finished()
        return commit

    def _make_durable(self, since_ns: int) -> None:
        try:
            sync_objects(self._program.repository, since_ns)
            sync_branch(self._program.repository)
        except OSError as error:
            raise Fault(
                f"the change was recorded, but the disk that holds {self._folder} does not confirm it "
                f"({error.strerror}); look at that disk, then run `partstead check`"
            ) from error

    def _outcome(self, answer: Answer) -> CommitId | None:
        """Return the commit where it was written, None where the race was lost; raise Fault otherwise."""
        if answer.ok:
            commit = CommitId(answer.out.decode("ascii", "replace").strip())
            if re.fullmatch("[0-9a-f]{40}", commit) and self._reached(commit):
                return commit
            self._lock.finished()
            raise Fault(f"git reports success, but {self._folder} does not hold the change; run `partstead check`")
        if any(words in answer.words.lower() for words in _LOST_RACE) and not faults.is_the_disk(answer):
            return None
        if answer.code >= 0:  # git that was killed may have left its lock, and the next writer is to know
            self._lock.finished()
        raise faults.from_git(self._folder, answer)

    def _remove_reports(self) -> None:
        """Remove what git writes down about a stream that ended early; the error tells all that is in it."""
        for report in self._program.repository.glob("fast_import_crash_*"):
            report.unlink(missing_ok=True)

    def _reached(self, commit: CommitId) -> bool:
        """Say whether the branch now stands on `commit` or on one that was built on it."""
        tip = self._head()
        return tip == commit or self._program.run("merge-base", "--is-ancestor", commit, tip).ok

    def _give_up_after(self, deadline: float) -> None:
        """Raise Clash where the time is over. A lock that a killed writer left is waited for: it goes in a minute."""
        late_s = time.monotonic() - deadline
        if late_s > 2 * PATIENCE_S:
            raise Clash(f"{self._folder} is locked by another program for over a minute; nothing was recorded")
        if late_s > 0 and not self._lock.branch_is_locked():
            raise Clash(f"other writers were faster for {PATIENCE_S:.0f} seconds; nothing was recorded: try again")
