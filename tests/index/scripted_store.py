"""A store whose history a test writes freely: deletions, merges and restores too, which no real store offers."""

import hashlib
from collections.abc import Mapping

from vault.interfaces import CommitId, HowChanged, PathChange
from vault.store.memory_store import MemorySnapshot


class ScriptedStore:
    """What an index needs of a store, over commits that a test made up."""

    def __init__(self, files: Mapping[str, bytes] | None = None) -> None:
        """Begin with one commit of these files."""
        self._files: dict[CommitId, dict[str, bytes]] = {}
        self._parents: dict[CommitId, tuple[CommitId, ...]] = {}
        self._head = self.commit(files or {})

    def head(self) -> CommitId:
        """Return the newest commit."""
        return self._head

    def at(self, commit: CommitId | None = None) -> MemorySnapshot:
        """Return the register at a commit, or at the head."""
        chosen = commit or self.head()
        return MemorySnapshot(chosen, self._files[chosen])

    def changed(self, since: CommitId, until: CommitId) -> tuple[PathChange, ...]:
        """Return the paths that differ, sorted."""
        old, new = self._files[since], self._files[until]
        found = [PathChange(path, HowChanged.DELETED) for path in old if path not in new]
        found += [PathChange(path, HowChanged.ADDED) for path in new if path not in old]
        found += [PathChange(path, HowChanged.MODIFIED) for path in old if path in new and old[path] != new[path]]
        return tuple(sorted(found, key=lambda change: change.path))

    def is_ancestor(self, older: CommitId, newer: CommitId) -> bool:
        """Say whether `newer` was built on `older`."""
        waiting = [newer] if newer in self._parents else []
        while waiting:
            commit = waiting.pop()
            if commit == older:
                return True
            waiting.extend(self._parents[commit])
        return False

    def commit(self, files: Mapping[str, bytes | None], *parents: CommitId) -> CommitId:
        """Add a commit on top of the head and of `parents`: these files, None where one is deleted."""
        first = (self._head,) if self._files else ()
        tree = dict(self._files[first[0]]) if first else {}
        for parent in parents:
            tree = {**self._files[parent], **tree}
        tree |= {path: data for path, data in files.items() if data is not None}
        for path in [path for path, data in files.items() if data is None]:
            tree.pop(path, None)
        facts = repr((len(self._files), first, parents, sorted(tree.items())))
        commit = CommitId(hashlib.sha1(facts.encode(), usedforsecurity=False).hexdigest())
        self._files[commit], self._parents[commit] = tree, (*first, *parents)
        self._head = commit
        return commit

    def move_head(self, commit: CommitId) -> None:
        """Let the register be as it was at an older commit, as after a backup was brought back."""
        self._head = commit
