"""The register as it stood at one commit, read from git by walking its folders."""

from collections.abc import Iterator, Mapping, Sequence

from vault.errors import Damaged, NotFound
from vault.interfaces import CommitId
from vault.store.calls import GitProgram, end_child
from vault.store.objects import Absent, ObjectReader, TreeEntry

_PIECE_BYTES = 1 << 16
_SMALL_WALK_FOLDERS = 64
_LISTED_AT_ONCE = 2000
"""From so many paths on, one listing of their common folder is faster than looking each of them up."""


class GitSnapshot:
    """One commit's paths and bytes; never moves. Belongs to the thread of its store."""

    def __init__(self, program: GitProgram, objects: ObjectReader, commit: CommitId) -> None:
        self._program = program
        self._objects = objects
        self._commit = commit
        self._root = TreeEntry(0o040000, objects.root(commit))

    @property
    def commit(self) -> CommitId:
        """The commit that this snapshot shows."""
        return self._commit

    def read(self, path: str) -> bytes:
        """Return the bytes at `path`. Raises NotFound, or Damaged where they cannot be read."""
        return next(self.read_many((path,)))[1]

    def read_many(self, paths: Sequence[str]) -> Iterator[tuple[str, bytes]]:
        """Yield (path, bytes) for each path, in the order given. Raises as `read`, at the first that fails."""
        listed = self._listing(_common_folder(paths)) if len(paths) >= _LISTED_AT_ONCE else None
        for start in range(0, len(paths), _LISTED_AT_ONCE):
            yield from self._read_some(paths[start : start + _LISTED_AT_ONCE], listed)

    def exists(self, path: str) -> bool:
        """Say whether `path` names a file or a folder."""
        return self._entry(path) is not None

    def children(self, folder: str) -> tuple[str, ...]:
        """Return the names directly in `folder`, sorted; empty where there is no such folder."""
        return tuple(sorted(self._entries(self._entry(folder))))

    def walk(self, folder: str = "") -> tuple[str, ...]:
        """Return every file path below `folder` (the whole register for ""), sorted."""
        entry = self._entry(folder)
        if entry is None or not entry.is_folder:
            return ()
        found = self._walk_small(folder, entry)
        return tuple(sorted(self._listing(folder) if found is None else found))

    def stream(self, path: str) -> Iterator[bytes]:
        """Yield the bytes at `path` in pieces, in constant memory. Raises as `read`."""
        entry = self._file(path)
        child = self._program.start("cat-file", "blob", entry.oid)
        assert child.stdout is not None
        assert child.stderr is not None
        try:
            while piece := child.stdout.read(_PIECE_BYTES):
                yield piece
            words = child.stderr.read().decode("utf-8", "replace")
            if child.wait() != 0:
                raise _unreadable(path, words)
        finally:
            end_child(child)

    def _entries(self, entry: TreeEntry | None) -> Mapping[str, TreeEntry]:
        return self._objects.tree(entry.oid) if entry is not None and entry.is_folder else {}

    def _entry(self, path: str) -> TreeEntry | None:
        entry: TreeEntry | None = self._root
        for segment in path.split("/") if path else ():
            entry = self._entries(entry).get(segment)
        return entry

    def _file(self, path: str) -> TreeEntry:
        entry = self._entry(path)
        if entry is None:
            raise NotFound(f"there is no {path} in the register as of {self._commit[:12]}")
        if entry.is_folder:
            raise NotFound(f"{path or 'the register'} is a folder in the register, not a file")
        return entry

    def _read_some(self, paths: Sequence[str], listed: Mapping[str, str] | None) -> Iterator[tuple[str, bytes]]:
        missing: NotFound | None = None
        oids: list[str] = []
        for path in paths:
            try:
                oids.append((listed or {}).get(path) or self._file(path).oid)
            except NotFound as error:
                missing = error  # told only after what stands before it has been handed out
                break
        answers = self._objects.read_many(oids)
        for path in paths[: len(oids)]:
            try:
                yield path, next(answers)[1]
            except Absent as error:
                raise _unreadable(path, "promisor" if self._is_partial() else "") from error
            except Damaged as error:
                raise Damaged(f"{path} cannot be read: {error}") from error
        if missing is not None:
            raise missing

    def _is_partial(self) -> bool:
        return self._program.run("config", "--get-regexp", r"^(extensions\.partialclone|remote\..*\.promisor)$").ok

    def _walk_small(self, folder: str, top: TreeEntry) -> list[str] | None:
        """Return the files below a folder, or None where it holds too many folders to be walked one by one."""
        found: list[str] = []
        waiting = [(folder, top)]
        for _ in range(_SMALL_WALK_FOLDERS):
            if not waiting:
                return found
            place, entry = waiting.pop()
            for name, child in self._entries(entry).items():
                path = f"{place}/{name}" if place else name
                if child.is_folder:
                    waiting.append((path, child))
                else:
                    found.append(path)
        return found if not waiting else None

    def _listing(self, folder: str) -> dict[str, str]:
        """Return file path -> object id for all files below a folder, in one call."""
        below = (f"{folder}/",) if folder else ()
        answer = self._program.run("ls-tree", "-r", "-z", "--full-tree", self._commit, *below)
        if not answer.ok:
            raise Damaged(f"the paths below {folder or 'the register'} cannot be listed: {answer.last_words()}")
        listed: dict[str, str] = {}
        for line in answer.out.split(b"\0")[:-1]:
            facts, _, path = line.partition(b"\t")
            listed[path.decode("utf-8", "surrogateescape")] = facts[-40:].decode()
        return listed


def _common_folder(paths: Sequence[str]) -> str:
    """Return the deepest folder that holds all paths. Only the first and the last in order need comparing."""
    low, high = min(paths).split("/")[:-1], max(paths).split("/")[:-1]
    depth = 0
    while depth < min(len(low), len(high)) and low[depth] == high[depth]:
        depth += 1
    return "/".join(low[:depth])


def _unreadable(path: str, words: str) -> NotFound | Damaged:
    if "promisor" in words or "transport" in words:
        return NotFound(f"{path} is not on this machine, whose copy of the register holds only some originals")
    return Damaged(f"the bytes of {path} are missing or unreadable; run `partstead check`")
