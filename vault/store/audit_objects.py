"""Damage to objects: every byte of every object is read and compared with its id, and named by its path.

git does the reading (`fsck`) and tells ids; what a person needs to know is which record that was, so the history
is walked for the path, past everything that cannot be read.
"""

import hashlib
import re
from collections.abc import Iterator, Mapping
from pathlib import Path

from vault.errors import Damaged, NotFound
from vault.interfaces import Damage
from vault.store.calls import GitProgram
from vault.store.objects import ObjectReader, TreeEntry, open_repository, parse_tree, root_of

_FSCK = ("fsck", "--full", "--strict", "--no-dangling", "--no-reflogs", "--no-progress")
_OID = re.compile(r"\b[0-9a-f]{40}\b")
_LOOSE = re.compile(r"objects/([0-9a-f]{2})/([0-9a-f]{38})\b")
_PACK_FILE = re.compile(r"objects/pack/([\w.-]+)")
_QUIET = ("notice:", "Checking", "Verifying", "dangling", "unreachable", "broken link from")
_MALFORMED = re.compile(r"(error|warning) in (tree|commit|blob|tag) ")
_SIDE_FILES = ("*.rev", "*.bitmap", "*.mtimes", "multi-pack-index*")
_DIGEST_BYTES = 20


def examine(program: GitProgram) -> Iterator[Damage]:
    """Yield the damage to objects and packs, each named by the path of the record where one can be found."""
    yield from _side_files(program.repository)
    answer = program.run(*_FSCK)
    lines = [line for line in _lines(answer.out, answer.words) if not line.startswith(_QUIET)]
    objects = {oid: line for line in reversed(lines) for oid in _objects_in(line)}
    names = names_of(program, set(objects)) if objects else {}
    # A writer that was killed may leave a half-made folder behind. Nothing refers to it, so it is no damage.
    litter = [line for line in lines if _MALFORMED.match(line) and not names.keys() & _objects_in(line)]
    lines = [line for line in lines if line not in litter]
    files = {name: line for line in reversed(lines) for name in _PACK_FILE.findall(line)}
    for name, line in sorted(files.items()):
        yield Damage(f"register.git/objects/pack/{name}", f"its bytes are not those that were written ({line})")
    for oid, line in sorted(objects.items(), key=lambda item: names.get(item[0], "~")):
        if line not in litter:
            where = names.get(oid, f"object {oid}")
            yield Damage(where, f"its bytes are missing or not those that were recorded ({line})")
    unclear = [line for line in lines if not _PACK_FILE.search(line) and not _objects_in(line)]
    if not files and not objects and (unclear or not answer.ok):
        why = unclear[0] if unclear else answer.last_words()
        yield Damage("register.git", f"git cannot vouch for the objects ({why})")


def names_of(program: GitProgram, oids: set[str]) -> dict[str, str]:
    """Return what each object was, by walking back through all history that can still be read.

    A record or folder is named by its path, a commit as such; what no commit names is left out.
    """
    tips = program.run("for-each-ref", "--format=%(objectname)").out.decode("ascii", "replace").split()
    with open_repository(program) as repo:
        walk = _Walk(ObjectReader(repo), oids)
        try:
            walk.history(tips)
        finally:
            walk.reader.close()
    return walk.names


class _Walk:
    """A walk through history that notes the paths of wanted objects and steps over what it cannot read."""

    def __init__(self, reader: ObjectReader, wanted: set[str]) -> None:
        self.reader = reader
        self.names: dict[str, str] = {}
        self._wanted = wanted
        self._seen: set[str] = set()

    def history(self, tips: list[str]) -> None:
        waiting = list(tips)
        while waiting and len(self.names) < len(self._wanted):
            commit = waiting.pop(0)
            if commit in self._seen:
                continue
            self._seen.add(commit)
            text = self._read(commit, f"commit {commit[:12]} of the history")
            if text is not None:
                waiting += re.findall(r"^parent ([0-9a-f]{40})$", text[1].decode("utf-8", "replace"), re.MULTILINE)
                self._folders(root_of(commit, text[1]))

    def _folders(self, root: str) -> None:
        waiting = [("", root)]
        while waiting:
            place, oid = waiting.pop()
            if oid in self._seen:
                continue
            self._seen.add(oid)
            answer = self._read(oid, f"folder {place or '/'}")
            for name, entry in _entries(oid, answer).items():
                path = f"{place}/{name}" if place else name
                if entry.is_folder:
                    waiting.append((path, entry.oid))
                elif entry.oid in self._wanted:
                    self.names.setdefault(entry.oid, path)

    def _read(self, oid: str, name: str) -> tuple[str, bytes] | None:
        if oid in self._wanted:
            self.names.setdefault(oid, name)
        try:
            return self.reader.read(oid)
        except (Damaged, NotFound):
            return None  # git's own check has told about it already


def _entries(oid: str, answer: tuple[str, bytes] | None) -> Mapping[str, TreeEntry]:
    try:
        return {} if answer is None else parse_tree(oid, *answer)
    except Damaged:
        return {}


def _side_files(repository: Path) -> Iterator[Damage]:
    """Compare the files that only speed git up with the digest at their end: not every git looks at them."""
    pack = repository / "objects" / "pack"
    for file in sorted(path for pattern in _SIDE_FILES for path in pack.glob(pattern)):
        content = file.read_bytes()
        if hashlib.sha1(content[:-_DIGEST_BYTES], usedforsecurity=False).digest() != content[-_DIGEST_BYTES:]:
            yield Damage(f"register.git/objects/pack/{file.name}", "its bytes are not those that were written")


def _lines(out: bytes, words: str) -> list[str]:
    return [line for line in (out.decode("utf-8", "replace") + "\n" + words).splitlines() if line.strip()]


def _objects_in(line: str) -> frozenset[str]:
    """Return the ids of objects in a line of git's; the names of packs hold 40 digits too, but of no object."""
    without_packs = re.sub(r"\b[a-z]+-[0-9a-f]{40}", "", line)
    return frozenset(_OID.findall(without_packs)) | {"".join(pair) for pair in _LOOSE.findall(without_packs)}
