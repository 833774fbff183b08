"""The same store in memory, for tests and for trying things out: the second implementation of `interfaces.Store`."""

import hashlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from vault.errors import Fault, NotFound
from vault.interfaces import Change, CommitId, Damage, HowChanged, PathChange, Snapshot, StoredFile
from vault.store.configuration import check_setting
from vault.store.fast_import import one_line
from vault.store.paths import check_change


@dataclass(frozen=True)
class _Commit:
    parent: CommitId | None
    message: str
    at: datetime
    files: Mapping[str, bytes]


class MemorySnapshot:
    """The store as it stood at one commit."""

    def __init__(self, commit: CommitId, files: Mapping[str, bytes]) -> None:
        self._commit = commit
        self._files = files

    @property
    def commit(self) -> CommitId:
        """The commit that this snapshot shows."""
        return self._commit

    def read(self, path: str) -> bytes:
        """Return the bytes at `path`. Raises NotFound."""
        if path not in self._files and self.walk(path):
            raise NotFound(f"{path or 'the register'} is a folder in the register, not a file")
        if path not in self._files:
            raise NotFound(f"there is no {path} in the register as of {self._commit[:12]}")
        return self._files[path]

    def read_many(self, paths: Sequence[str]) -> Iterator[tuple[str, bytes]]:
        """Yield (path, bytes) for each path, in the order given; raise NotFound at the first one missing."""
        for path in paths:
            yield path, self.read(path)

    def exists(self, path: str) -> bool:
        """Say whether `path` names a file or a folder."""
        return path == "" or path in self._files or bool(self.walk(path))

    def children(self, folder: str) -> tuple[str, ...]:
        """Return the names directly in `folder`, sorted; empty where there is no such folder."""
        start = len(folder) + 1 if folder else 0
        return tuple(sorted({path[start:].partition("/")[0] for path in self.walk(folder)}))

    def walk(self, folder: str = "") -> tuple[str, ...]:
        """Return every file path below `folder`, sorted."""
        return tuple(sorted(path for path in self._files if not folder or path.startswith(f"{folder}/")))

    def stream(self, path: str) -> Iterator[bytes]:
        """Yield the bytes at `path`. Raises NotFound."""
        yield self.read(path)


class MemoryStore:
    """A store that is forgotten with the process. Not for several threads."""

    def __init__(self, first: Change, settings: Mapping[str, str] | None = None) -> None:
        self._commits: dict[CommitId, _Commit] = {}
        self._blobs: dict[str, bytes] = {}
        self._settings = dict(settings or {})
        check_change(first, None)
        self._head = self._add(None, first)

    def head(self) -> CommitId:
        """Return the newest commit."""
        return self._head

    def at(self, commit: CommitId | None = None) -> MemorySnapshot:
        """Return the store at `commit`, or at the head. Raises NotFound."""
        chosen = self._head if commit is None else commit
        return MemorySnapshot(chosen, self._known(chosen).files)

    def keep(self, source: Path) -> StoredFile:
        """Put a file's bytes into the store. Raises Fault where it cannot be read."""
        try:
            content = source.read_bytes()
        except OSError as error:
            raise Fault(f"{source} cannot be read: {error.strerror}; nothing was recorded") from error
        blob = hashlib.sha1(b"blob %d\0" % len(content) + content, usedforsecurity=False).hexdigest()
        self._blobs[blob] = content
        return StoredFile(sha256=hashlib.sha256(content).hexdigest(), size_bytes=len(content), blob=blob)

    def transact(self, decide: Callable[[Snapshot], Change]) -> CommitId:
        """Show `decide` the head and write its change as one commit. Raises as `interfaces.Store.transact`."""
        before = self.at()
        change = decide(before)
        check_change(change, before)
        self._head = self._add(before.commit, change)
        return self._head

    def changed(self, since: CommitId, until: CommitId) -> tuple[PathChange, ...]:
        """Return the paths that differ between two commits, sorted. Raises NotFound."""
        old, new = self._known(since).files, self._known(until).files
        found = [PathChange(path, HowChanged.DELETED) for path in old.keys() - new.keys()]
        found += [PathChange(path, HowChanged.ADDED) for path in new.keys() - old.keys()]
        found += [PathChange(path, HowChanged.MODIFIED) for path in old.keys() & new.keys() if old[path] != new[path]]
        return tuple(sorted(found, key=lambda change: change.path))

    def is_ancestor(self, older: CommitId, newer: CommitId) -> bool:
        """Say whether `newer` was built on `older`; False too where either is unknown."""
        if older not in self._commits or newer not in self._commits:
            return False
        at: CommitId | None = newer
        while at is not None and at != older:
            at = self._commits[at].parent
        return at == older

    def message(self, commit: CommitId) -> str:
        """Return the one-line message of a commit. Raises NotFound."""
        return self._known(commit).message

    def written_at(self, commit: CommitId) -> datetime:
        """Return the moment that a commit's change carried, in UTC, to the second. Raises NotFound."""
        return self._known(commit).at.astimezone(UTC).replace(microsecond=0)

    def audit(self, is_write_once: Callable[[str], bool]) -> Iterator[Damage]:
        """Yield nothing: memory that this program alone can reach holds what it was given."""
        yield from ()

    def local(self, name: str) -> str | None:
        """Return a setting of this store, or None."""
        check_setting(name)
        return self._settings.get(name)

    def set_local(self, name: str, value: str) -> None:
        """Keep a setting of this store. Raises WrongUsage."""
        check_setting(name, value)
        self._settings[name] = value

    def close(self) -> None:
        """Release nothing: there is nothing to release."""

    def _known(self, commit: CommitId) -> _Commit:
        if commit not in self._commits:
            raise NotFound(f"commit {commit[:12]} is not in this register")
        return self._commits[commit]

    def _add(self, parent: CommitId | None, change: Change) -> CommitId:
        kept = {path: self._blob(file) for path, file in change.files.items()}
        before = self._known(parent).files if parent else {}
        files = {**before, **change.cards, **change.entries, **kept}
        facts = repr((parent, change.by, change.at, change.message, sorted(files.items())))
        commit = CommitId(hashlib.sha1(facts.encode(), usedforsecurity=False).hexdigest())
        self._commits[commit] = _Commit(parent, one_line(change.message), change.at, files)
        return commit

    def _blob(self, file: StoredFile) -> bytes:
        if file.blob not in self._blobs:
            raise Fault(f"the original {file.sha256[:12]} is not in the store; nothing was recorded")
        return self._blobs[file.blob]
