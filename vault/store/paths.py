"""What may stand at which path: names that every file system can hold, and nothing recorded is overwritten."""

import re
from collections.abc import Iterator

from vault.errors import BadInput, Clash
from vault.interfaces import Change, Snapshot

_SEGMENT = re.compile(r"[A-Za-z0-9._-]{1,80}")
_DEVICE = re.compile(r"(con|prn|aux|nul|com[0-9]|lpt[0-9])(\..*)?", re.IGNORECASE)


def path_problem(path: str) -> str | None:
    """Say in a few words why no register may hold `path`, or return None where it may."""
    for segment in path.split("/"):
        if not _SEGMENT.fullmatch(segment):
            return f"{segment!r} is not 1 to 80 of the characters A-Z a-z 0-9 . _ -"
        if segment.startswith(".git") or segment.lower().startswith(".git") or segment in {".", ".."}:
            return f"{segment!r} has a meaning of its own to git or to the file system"
        if _DEVICE.fullmatch(segment) or segment.endswith("."):
            return f"{segment!r} is not a file name on Windows"
    return None


def check_change(change: Change, head: Snapshot | None) -> None:
    """Refuse a change that the register at `head` (None: one without any commit) must not take.

    Reads only the folders that the change touches, so the cost does not depend on the size of the register.

    Raises:
        BadInput: It holds nothing, or a path that is not allowed, is named twice, or differs only in case.
        Clash: A write-once path is there already, or a file stands where a folder is needed or the reverse.
    """
    paths = [*change.entries, *change.files, *change.cards]
    if not paths:
        raise BadInput("a change that writes nothing was asked for; nothing was written")
    if change.at.utcoffset() is None or change.at.timestamp() < 0:
        raise BadInput(f"the time of a change must be aware and after 1970, not {change.at}; nothing was written")
    for path in paths:
        if problem := path_problem(path):
            raise BadInput(f"{path!r} cannot be a path in the register: {problem}; nothing was written")
    _check_among_themselves(paths)
    if head is not None:
        _check_against_head(change, head)


def _folders_above(path: str) -> Iterator[tuple[str, str]]:
    """Yield (folder, name in it) from the top down: "a/b/c" -> ("", "a"), ("a", "b"), ("a/b", "c")."""
    segments = path.split("/")
    for depth, name in enumerate(segments):
        yield "/".join(segments[:depth]), name


def _check_among_themselves(paths: list[str]) -> None:
    spelling: dict[str, str] = {}
    for path in paths:
        for folder, name in _folders_above(path):
            full = f"{folder}/{name}" if folder else name
            other = spelling.setdefault(full.casefold(), full)
            if other != full:
                raise BadInput(f"{full} and {other} differ only in upper and lower case; nothing was written")
    named = set(paths)
    if len(named) < len(paths):
        twice = sorted(path for path in named if paths.count(path) > 1)
        raise BadInput(f"{twice[0]} is named twice in one change; nothing was written")
    for path in paths:
        for folder, _ in _folders_above(path):
            if folder in named:
                raise BadInput(f"{folder} cannot be a file and a folder at once; nothing was written")


def _check_against_head(change: Change, head: Snapshot) -> None:
    for path in (*change.entries, *change.files, *change.cards):
        for folder, name in _folders_above(path):
            siblings = head.children(folder)
            if folder and not siblings:
                if head.exists(folder):
                    raise Clash(f"{folder} is a file in the register, so {path} cannot be written below it")
                break  # a new folder: nothing stands in it yet
            if name not in siblings:
                _check_spelling(folder, name, siblings)
    for path in change.cards:
        if head.children(path):
            raise Clash(f"{path} is a folder in the register and cannot become a file")
    for path in (*change.entries, *change.files):
        if head.exists(path):
            raise Clash(f"{path} is recorded already, and what is recorded is never overwritten")


def _check_spelling(folder: str, name: str, siblings: tuple[str, ...]) -> None:
    for other in siblings:
        if other.casefold() == name.casefold():
            where = folder or "the register"
            raise BadInput(f"{name} in {where} differs from {other} only in upper and lower case; nothing was written")
