"""Damage by history: a write-once path that a later commit changed or removed, also on one side of a merge only."""

from collections.abc import Callable, Iterator

from vault.interfaces import Damage
from vault.store.calls import GitProgram, end_child
from vault.store.fast_import import BRANCH
from vault.store.paths import path_problem

_PLAIN_FILE = "100644"
_WORDS = {"M": "was changed by", "T": "was changed by", "D": "was removed by"}
_LOG = ("log", "-m", "--root", "--full-history", "--no-renames", "--raw", "--no-abbrev", "-z", "--format=%H", BRANCH)


def examine(program: GitProgram, is_write_once: Callable[[str], bool], *, explained: bool) -> Iterator[Damage]:
    """Yield write-once paths that a commit changed or removed, and paths that this program never writes.

    Each commit is compared with each of its parents, so a merge must hold all that either side had.
    `explained` says that damage was found before, so a history that cannot be walked is no news.
    """
    child = program.start(*_LOG)
    try:
        out, words_pipe = child.stdout, child.stderr
        assert out is not None
        assert words_pipe is not None
        for commit, facts, path in _differences(iter(lambda: out.read(1 << 16), b"")):
            yield from _judged(commit, facts, path, is_write_once)
        words = words_pipe.read().decode("utf-8", "replace").strip()
        if child.wait() != 0 and not explained:
            yield Damage(f"register.git/{BRANCH}", f"the history cannot be walked to its beginning ({words})")
    finally:
        end_child(child)


def _judged(commit: str, facts: str, path: str, is_write_once: Callable[[str], bool]) -> Iterator[Damage]:
    _, mode, _, _, status = facts.split(" ")
    if status[0] in _WORDS and is_write_once(path):
        yield Damage(path, f"it is written once and for all, but {_WORDS[status[0]]} commit {commit[:12]}")
    if status[0] == "D":
        return
    if mode != _PLAIN_FILE:
        yield Damage(path, f"commit {commit[:12]} made it something else than a plain file")
    if problem := path_problem(path):
        yield Damage(path, f"commit {commit[:12]} wrote a path that this program never writes: {problem}")


def _differences(pieces: Iterator[bytes]) -> Iterator[tuple[str, str, str]]:
    """Yield (commit, facts, path) from the output of `git log --raw -z`.

    That is fields ended by NUL: a commit's id, then ":modes ids status" and a path by turns, the first after a newline.
    """
    commit, facts = "", ""
    for field in _fields(pieces):
        text = field.decode("utf-8", "surrogateescape")
        if facts:
            yield commit, facts, text
            facts = ""
        elif text.lstrip("\n").startswith(":"):
            facts = text.lstrip("\n:")
        else:
            commit = text


def _fields(pieces: Iterator[bytes]) -> Iterator[bytes]:
    rest = b""
    for piece in pieces:
        *whole, rest = (rest + piece).split(b"\0")
        yield from whole
    if rest:
        yield rest
