"""What the actions need from the outside world, as Protocols with two implementations each.

The store keeps bytes at paths; it knows git and nothing of parts. The index says where to look; it
knows rows and holds nothing of its own.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from pathlib import Path
from typing import NewType, Protocol

CommitId = NewType("CommitId", str)  # 40 lower-case hex digits


class Clock(Protocol):
    """The only source of the time."""

    def now(self) -> datetime:
        """Return the present moment, aware, in UTC."""
        ...


@dataclass(frozen=True)
class StoredFile:
    """An original that lies in the store already, waiting to be named by a commit."""

    sha256: str
    size_bytes: int
    blob: str  # the store's own name for the bytes


@dataclass(frozen=True)
class Change:
    """What one decision wants to write, all of it or nothing.

    `entries` and `files` are write-once: a path that exists already is refused. `cards` may replace.
    """

    message: str
    by: str
    at: datetime
    entries: Mapping[str, bytes] = field(default_factory=dict)
    cards: Mapping[str, bytes] = field(default_factory=dict)
    files: Mapping[str, StoredFile] = field(default_factory=dict)


class Snapshot(Protocol):
    """The register as it stood at one commit; never moves."""

    @property
    def commit(self) -> CommitId:
        """The commit that this snapshot shows."""
        ...

    def read(self, path: str) -> bytes:
        """Return the bytes at `path`.

        Raises:
            NotFound: There is no such path, or its bytes are not on this machine.
        """
        ...

    def read_many(self, paths: Sequence[str]) -> Iterator[tuple[str, bytes]]:
        """Yield (path, bytes) for each path, in the order given; raise NotFound at the first one missing."""
        ...

    def exists(self, path: str) -> bool:
        """Say whether `path` names a file or a folder."""
        ...

    def children(self, folder: str) -> tuple[str, ...]:
        """Return the names directly in `folder`, sorted; empty where there is no such folder."""
        ...

    def walk(self, folder: str = "") -> tuple[str, ...]:
        """Return every file path below `folder` (the whole register for ""), sorted."""
        ...

    def stream(self, path: str) -> Iterator[bytes]:
        """Yield the bytes at `path` in pieces, in constant memory. Raises as `read`."""
        ...


class HowChanged(StrEnum):
    """What happened to a path between two commits."""

    ADDED = "added"
    MODIFIED = "modified"
    DELETED = "deleted"


@dataclass(frozen=True)
class PathChange:
    """One path that differs between two commits."""

    path: str
    how: HowChanged


@dataclass(frozen=True)
class Damage:
    """Something that is not as it was recorded: where, and what is wrong, in one sentence."""

    where: str
    what: str


class Store(Protocol):
    """A place that keeps bytes at paths, commit by commit, and never loses any."""

    def head(self) -> CommitId:
        """Return the newest commit."""
        ...

    def at(self, commit: CommitId | None = None) -> Snapshot:
        """Return the register at `commit`, or at the head.

        Raises:
            NotFound: There is no such commit here.
        """
        ...

    def keep(self, source: Path) -> StoredFile:
        """Put a file's bytes into the store ahead of the commit that will name them.

        Raises:
            Fault: The file cannot be read or the store cannot be written.
        """
        ...

    def transact(self, decide: Callable[[Snapshot], Change]) -> CommitId:
        """Hold the write lock, show `decide` the head, write its change as one commit, and return that commit.

        `decide` may be called more than once, each time with a newer head, and must not have side effects.
        Whatever it raises is passed on and nothing is written.

        Raises:
            Clash: An entry's path exists already, or other writers kept winning for 30 seconds.
            Fault: The disk is full or not writable.
        """
        ...

    def changed(self, since: CommitId, until: CommitId) -> tuple[PathChange, ...]:
        """Return the paths that differ between two commits, sorted."""
        ...

    def is_ancestor(self, older: CommitId, newer: CommitId) -> bool:
        """Say whether `newer` was built on `older`; False too where either is unknown."""
        ...

    def message(self, commit: CommitId) -> str:
        """Return the one-line message of a commit."""
        ...

    def written_at(self, commit: CommitId) -> datetime:
        """Return the moment that a commit's change carried, in UTC, to the second. Raises NotFound."""
        ...

    def audit(self, is_write_once: Callable[[str], bool]) -> Iterator[Damage]:
        """Yield all damage the store can see: broken objects, and write-once paths changed or removed in history."""
        ...

    def local(self, name: str) -> str | None:
        """Return a setting of this copy of the register (never committed), or None."""
        ...

    def set_local(self, name: str, value: str) -> None:
        """Keep a setting of this copy of the register."""
        ...

    def close(self) -> None:
        """Release files and processes; the store is not used afterwards."""
        ...


class MatchedBy(StrEnum):
    """How a search hit fits what was typed, best first."""

    NUMBER = "exact number"
    PREFIX = "beginning of a number"
    TEXT = "text"
    NEAR = "near match"


@dataclass(frozen=True)
class Hit:
    """One thing that a search found. Near matches are shown apart and never chosen by default."""

    thing: str  # a value of model.ids.Thing
    name: str  # the id to type
    title: str  # what it is, in one line
    matched_by: MatchedBy
    field: str  # where it matched: "number", "customer's number", "PO", "description" ...
    part: str | None = None  # the part it belongs to, where it belongs to one


class Index(Protocol):
    """Rows that say where to look. Everything in it can be made again from the store."""

    def catch_up(self) -> CommitId:
        """Bring the rows up to the head and return that commit. Rebuilds where they cannot be caught up."""
        ...

    def rebuild(self) -> CommitId:
        """Make all rows anew."""
        ...

    def find(self, text: str, limit: int = 20) -> tuple[Hit, ...]:
        """Search numbers, customers' numbers, descriptions, POs and materials, tolerant of case and separators."""
        ...

    def referrers(self, thing: str, name: str) -> tuple[str, ...]:
        """Return the paths of the records that point at this thing, sorted."""
        ...

    def locate(self, thing: str, name: str) -> str | None:
        """Return the path of the record that this name belongs to, or None."""
        ...

    def paths_of(self, kind: str, part: str | None = None) -> tuple[str, ...]:
        """Return the paths of all records of a kind (of one part), oldest first."""
        ...

    def close(self) -> None:
        """Release the database."""
        ...
