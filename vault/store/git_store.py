"""The register's store: bytes at paths in a bare git repository, beside which nothing needs to be kept.

GitPython opens and reads it; one `git fast-import` stream writes one commit, at a cost that does not depend on the
size of the register. A store belongs to one thread: each thread opens its own.
"""

import re
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Self

from git.refs import SymbolicReference

from vault.errors import Damaged, NotFound
from vault.interfaces import Change, CommitId, Damage, HowChanged, PathChange, Snapshot, StoredFile
from vault.store import audit, configuration, housekeeping, witness
from vault.store.calls import GitProgram
from vault.store.fast_import import BRANCH
from vault.store.keeping import keep_file
from vault.store.layout import local_folder, repository_folder
from vault.store.objects import ObjectReader, open_repository
from vault.store.snapshot import GitSnapshot
from vault.store.writing import PATIENCE_S, CommitWriter

_HOW = {"A": HowChanged.ADDED, "D": HowChanged.DELETED, "M": HowChanged.MODIFIED, "T": HowChanged.MODIFIED}


class GitStore:
    """An open register. Made by `opening.open_store` and `opening.create_store`; satisfies `interfaces.Store`."""

    def __init__(self, folder: Path, *, incoming: bool = False) -> None:
        self._folder = folder
        self._local = local_folder(folder)
        self._program = GitProgram(repository_folder(folder), incoming)
        self._repo = open_repository(self._program)
        self._objects = ObjectReader(self._repo)
        self._writer = CommitWriter(self._program, folder, self._local, self.head)

    def __enter__(self) -> Self:
        """Return the store; it is closed at the end of the `with` block."""
        return self

    def __exit__(self, *_: object) -> None:
        """Close the store."""
        self.close()

    @property
    def folder(self) -> Path:
        """The folder that holds the register."""
        return self._folder

    def head(self) -> CommitId:
        """Return the newest commit. Raises Damaged where the branch names none."""
        try:
            commit = SymbolicReference.dereference_recursive(self._repo, BRANCH)
        except (ValueError, OSError, AssertionError) as error:  # GitPython asserts that a branch file is not empty
            raise Damaged(f"the branch of {self._folder} cannot be read. {self._way_back()}") from error
        return CommitId(commit.lower())

    def at(self, commit: CommitId | None = None) -> GitSnapshot:
        """Return the register at `commit`, or at the head.

        Raises:
            NotFound: There is no such commit here.
            Damaged: The branch names a commit that is not here.
        """
        if commit is not None:
            return GitSnapshot(self._program, self._objects, commit)
        head = self.head()
        try:
            return GitSnapshot(self._program, self._objects, head)
        except NotFound:
            branch = f"{repository_folder(self._folder).name}/{BRANCH}"
            words = f"the branch file {branch} names commit {head[:12]}, which is not in this register: it was changed"
            raise Damaged(f"{words}. {self._way_back()}") from None

    def _way_back(self) -> str:
        """Say how a damaged branch is mended: this machine remembers the newest commit that it acknowledged."""
        noted = witness.remembered(self._local)
        if noted is None:
            return "Take the register from a copy kept elsewhere"
        return f"The newest commit acknowledged here is {noted}: put that into the file, then `partstead check`"

    def keep(self, source: Path) -> StoredFile:
        """Put a file's bytes into the store ahead of the commit that will name them. Raises Fault."""
        return keep_file(self._program, self._folder, source)

    def transact(self, decide: Callable[[Snapshot], Change]) -> CommitId:
        """Write what `decide` makes of the head as one commit, as `interfaces.Store.transact` promises."""
        commit = self._writer.transact(decide, self.at)
        witness.remember(self._local, commit)
        housekeeping.pack_when_needed(self._program)
        return commit

    def changed(self, since: CommitId, until: CommitId) -> tuple[PathChange, ...]:
        """Return the paths that differ between two commits, sorted. Raises NotFound for an unknown commit."""
        for commit in (since, until):
            self._objects.commit(commit)
        answer = self._program.run("diff-tree", "-r", "-z", "--no-renames", "--name-status", since, until)
        if not answer.ok:
            raise Damaged(f"{since[:12]} and {until[:12]} cannot be compared: {answer.last_words()}")
        fields = answer.out.decode("utf-8", "surrogateescape").split("\0")[:-1]
        pairs = zip(fields[1::2], fields[0::2], strict=True)
        return tuple(PathChange(path, _HOW[status]) for path, status in sorted(pairs))

    def is_ancestor(self, older: CommitId, newer: CommitId) -> bool:
        """Say whether `newer` was built on `older`; False too where either is unknown."""
        if not all(re.fullmatch("[0-9a-f]{40}", commit) for commit in (older, newer)):
            return False
        return self._program.run("merge-base", "--is-ancestor", older, newer).ok

    def message(self, commit: CommitId) -> str:
        """Return the one-line message of a commit. Raises NotFound."""
        _, _, message = self._objects.commit(commit).decode("utf-8", "replace").partition("\n\n")
        return message.strip().partition("\n")[0]

    def written_at(self, commit: CommitId) -> datetime:
        """Return the moment that a commit's change carried, in UTC, to the second. Raises NotFound."""
        head, _, _ = self._objects.commit(commit).decode("utf-8", "replace").partition("\n\n")
        author = next(line for line in head.splitlines() if line.startswith("author "))
        return datetime.fromtimestamp(int(author.rsplit(" ", 2)[1]), UTC)

    def audit(self, is_write_once: Callable[[str], bool]) -> Iterator[Damage]:
        """Yield all damage the store can see: broken objects, and write-once paths changed or removed in history."""
        return audit.examine(self._program, self._local, is_write_once)

    def local(self, name: str) -> str | None:
        """Return a setting of this copy of the register (never committed), or None."""
        return configuration.read_local(self._program, name)

    def set_local(self, name: str, value: str) -> None:
        """Keep a setting of this copy of the register. Raises WrongUsage, Damaged or Fault."""
        with self._writer.lock.held(PATIENCE_S):
            configuration.write_local(self._program, name, value)

    def seal_configuration(self) -> None:
        """Accept the repository's configuration as it stands, after a person changed it on purpose."""
        configuration.seal(self._program.repository)

    def pack(self) -> None:
        """Pack the repository and wait for the end; nothing is ever removed."""
        housekeeping.pack(self._program)

    def write_first(self, change: Change) -> CommitId:
        """Write the first commit of a register that has none yet. For `opening.create_store`."""
        commit = self._writer.write_first(change)
        witness.remember(self._local, commit)
        return commit

    def close(self) -> None:
        """Release files and processes; the store is not used afterwards."""
        self._objects.close()
        self._repo.close()
