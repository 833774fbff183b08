"""Reading git objects through one long-lived `cat-file`, opened by GitPython.

One reader belongs to one thread: two threads that share one would get each other's answers.
"""

import configparser
import os
import re
import threading
from collections import OrderedDict
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from stat import S_ISDIR
from subprocess import PIPE
from typing import Any

from git import Git, GitError, Repo
from git.objects.fun import tree_entries_from_data

from vault.errors import Damaged, NotFound
from vault.store.calls import GitProgram, end_child
from vault.store.fast_import import HEAD

_WINDOW = 64
"""Objects asked for at once: their names fit into the smallest pipe, so neither side can wait for the other."""

_TREES_KEPT = 4096
_MISLEADING = frozenset({"GIT_DIR", "GIT_COMMON_DIR", "GIT_WORK_TREE", "GIT_OBJECT_DIRECTORY"})
_environment_lock = threading.Lock()


@dataclass(frozen=True)
class TreeEntry:
    """One name in a folder: git's mode and the id of what it names."""

    mode: int
    oid: str

    @property
    def is_folder(self) -> bool:
        """Say whether the entry is a folder."""
        return S_ISDIR(self.mode)


class Absent(NotFound):
    """An object that is named, but whose bytes are not here."""


class ObjectReader:
    """Objects by id, as bytes."""

    def __init__(self, repo: Repo) -> None:
        self._repo = repo
        self._process: Git.AutoInterrupt | None = None
        self._trees: OrderedDict[str, Mapping[str, TreeEntry]] = OrderedDict()

    def read(self, oid: str) -> tuple[str, bytes]:
        """Return (kind, bytes) of an object.

        Raises:
            Absent: Its bytes are not here.
            Damaged: Its bytes cannot be read.
        """
        return next(self.read_many((oid,)))

    def read_many(self, oids: Sequence[str]) -> Iterator[tuple[str, bytes]]:
        """Yield (kind, bytes) for each object, in the order given. Raises as `read`, at the first that fails."""
        for start in range(0, len(oids), _WINDOW):
            window = oids[start : start + _WINDOW]
            # The whole window is read before the first is handed out: who stops half-way leaves no answers behind.
            yield from self._read_window(window)

    def tree(self, oid: str) -> Mapping[str, TreeEntry]:
        """Return the entries of a folder by name. Raises as `read`."""
        known = self._trees.get(oid)
        if known is not None:
            self._trees.move_to_end(oid)
            return known
        kind, data = self.read(oid)
        entries = parse_tree(oid, kind, data)
        self._trees[oid] = entries
        if len(self._trees) > _TREES_KEPT:
            self._trees.popitem(last=False)
        return entries

    def commit(self, oid: str) -> bytes:
        """Return the text of a commit.

        Raises:
            NotFound: There is no such commit here.
            Damaged: It cannot be read.
        """
        if not re.fullmatch("[0-9a-f]{40}", oid):
            raise NotFound(f"{oid!r} is not the id of a commit")
        try:
            kind, data = self.read(oid)
        except Absent:
            kind, data = "", b""
        if kind != "commit":
            raise NotFound(f"commit {oid[:12]} is not in this register")
        return data

    def root(self, commit: str) -> str:
        """Return the id of a commit's topmost folder. Raises as `commit`."""
        return root_of(commit, self.commit(commit))

    def close(self) -> None:
        """End the reading process."""
        if self._process is not None:
            process, self._process = self._process.proc, None
            if process is not None:
                end_child(process)

    def _read_window(self, oids: Sequence[str]) -> list[tuple[str, bytes]]:
        process = self._running()
        assert process.stdin is not None
        try:
            process.stdin.write(b"".join(f"{oid}\n".encode() for oid in oids))
            process.stdin.flush()
            answers = [self._one_answer(process, oid) for oid in oids]
        except BaseException:
            self.close()  # answers are outstanding, or the process is gone: the next read starts anew
            raise
        for oid, answer in zip(oids, answers, strict=True):
            if answer is None:
                raise Absent(f"object {oid} is not on this machine")
        return [answer for answer in answers if answer is not None]

    def _one_answer(self, process: Git.AutoInterrupt, oid: str) -> tuple[str, bytes] | None:
        out: Any = process.stdout
        header = out.readline().split()
        if len(header) == 2 and header[1] == b"missing":
            return None
        if len(header) != 3:
            raise self._why_it_ended(process, oid)
        size = int(header[2])
        data = out.read(size)
        if len(data) != size or out.read(1) != b"\n":
            raise self._why_it_ended(process, oid)
        return header[1].decode(), data

    def _why_it_ended(self, process: Git.AutoInterrupt, oid: str) -> Damaged | Absent:
        """Return the error for a reading process that gave up on `oid`."""
        assert process.stderr is not None
        words = process.stderr.read().decode("utf-8", "replace")
        if "promisor" in words or "transport" in words:
            return Absent(f"object {oid} is not on this machine")
        return Damaged(f"object {oid} cannot be read ({words.strip() or 'git ended'}); run `partstead check`")

    def _running(self) -> Git.AutoInterrupt:
        if self._process is None:
            self._process = self._repo.git.cat_file("--batch", as_process=True, istream=PIPE)
        return self._process


def open_repository(program: GitProgram) -> Repo:
    """Return GitPython's view of a register's repository, with its children shut off from the caller's setup.

    Raises:
        Damaged: The repository's settings, or the file that names its branch, cannot be read.
    """
    try:
        with _without_git_variables():
            repo = Repo(program.repository, expand_vars=False)
    except (ValueError, configparser.Error, GitError) as error:
        whole = (program.repository / "HEAD").read_bytes() == HEAD
        broken = program.repository / ("config" if whole else "HEAD")
        raise Damaged(f"{broken} cannot be read; put it back from a backup") from error
    repo.git.update_environment(**program.overrides())
    return repo


@contextmanager
def _without_git_variables() -> Iterator[None]:
    """Hide `GIT_*` variables while GitPython looks around: it would take the objects of another repository for ours.

    They are there only where git itself started us, as a hook does.
    """
    with _environment_lock:
        hidden = {name: os.environ.pop(name) for name in list(os.environ) if name in _MISLEADING}
        try:
            yield
        finally:
            os.environ.update(hidden)


def parse_tree(oid: str, kind: str, data: bytes) -> Mapping[str, TreeEntry]:
    """Return the entries of a folder's object by name.

    Raises:
        Damaged: The object is not a readable folder.
    """
    try:
        entries = tree_entries_from_data(data) if kind == "tree" else None
    except ValueError:
        entries = None
    if entries is None:
        raise Damaged(f"object {oid} is not a readable folder; run `partstead check`")
    return {name: TreeEntry(mode, binary.hex()) for binary, mode, name in entries}


def root_of(commit: str, text: bytes) -> str:
    """Return the id of the topmost folder that a commit's text names.

    Raises:
        Damaged: The text is not a commit's.
    """
    found = re.match(rb"tree ([0-9a-f]{40})\n", text)
    if found is None:
        raise Damaged(f"commit {commit} cannot be read; run `partstead check`")
    return found[1].decode()
