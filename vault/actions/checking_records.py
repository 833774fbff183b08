"""Every record held against its form, its place, its name and everything it points at."""

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import singledispatchmethod

from vault.errors import BadInput, Damaged, NotFound, VaultError
from vault.interfaces import Snapshot
from vault.model.base import Record
from vault.model.design import ChangedRevision, KeptFile, MeasuredRevision, Receipt, Revision
from vault.model.ids import Thing
from vault.model.settings import Settings
from vault.model.words import FileRole
from vault.records import paths
from vault.records.codec import decode
from vault.records.references import files_of, own_name, references

Name = tuple[Thing, str]
Found = Iterator[tuple[str, str]]
"""(path, what is wrong with it)."""


@dataclass(frozen=True)
class Expected:
    """An original that some record names: at which path that record lies, and how it describes the file."""

    source: str
    kept: KeptFile


@dataclass
class Gathered:
    """What the records say, put together while they are read one after the other; small enough for a whole register."""

    records: int = 0
    not_held: list[str] = field(default_factory=list)
    wrong: list[tuple[str, str]] = field(default_factory=list)
    names: dict[Name, list[str]] = field(default_factory=lambda: defaultdict(list))
    wanted: dict[Name, tuple[str, str]] = field(default_factory=dict)
    files: dict[str, Expected] = field(default_factory=dict)
    designs: dict[str, str] = field(default_factory=dict)
    measured: list[tuple[str, str, str]] = field(default_factory=list)
    labels: dict[tuple[str, str], set[str]] = field(default_factory=lambda: defaultdict(set))
    numbers: dict[tuple[str, str], list[str]] = field(default_factory=lambda: defaultdict(list))

    def take(self, path: str, data: bytes) -> None:
        """Look at the record at a path."""
        self.records += 1
        try:
            record = decode(data)
            home = paths.path_of(record)
        except (Damaged, BadInput) as error:
            self.wrong.append((path, f"it cannot be read as a record: {error}"))
            return
        if home != path:
            self.wrong.append((path, f"by what it says it belongs at {home}"))
        name = own_name(record)
        if name is not None:
            self.names[name].append(path)
        for reference in references(record):
            self.wanted.setdefault((reference.thing, reference.name), (path, reference.field))
        for kept in files_of(record):
            self.files.setdefault(paths.file_path(record, kept), Expected(path, kept))
        self._note(record, path)

    @singledispatchmethod
    def _note(self, record: Record, path: str) -> None:
        """Note what is compared with other records later; most kinds have nothing of the sort."""

    @_note.register
    def _(self, record: Revision, path: str) -> None:
        self.designs[record.id] = record.design.sha256
        self.labels[record.part, record.label.casefold()].add(record.design.sha256)

    @_note.register
    def _(self, record: Receipt, path: str) -> None:
        if record.label is not None:
            designs = [kept.sha256 for kept in record.files if kept.role is FileRole.DESIGN]
            self.labels[record.part, record.label.casefold()].update(designs)

    @_note.register
    def _(self, record: MeasuredRevision, path: str) -> None:
        self.measured.append((path, record.revision, record.shape.file_sha256))

    @_note.register
    def _(self, record: ChangedRevision, path: str) -> None:
        self.measured.append((path, record.revision, record.shape.b_sha256))
        self.measured.append((path, record.since, record.shape.a_sha256))

    @_note.register
    def _(self, record: Settings, path: str) -> None:
        self.numbers[record.part, record.number].append(path)

    @property
    def doubtful_parts(self) -> tuple[str, ...]:
        """Parts with a label under which more than one design was recorded or arrived."""
        return tuple(sorted({part for (part, _), seen in self.labels.items() if len(seen) > 1}))


def read_each(snapshot: Snapshot, names: Sequence[str]) -> Iterator[tuple[str, bytes | VaultError]]:
    """Yield (path, bytes), or (path, error) where the bytes cannot be had.

    Which of many failed is only certain for one asked for alone, so after a failure they are asked for one by one, then
    in growing numbers again: one damaged object costs little.
    """
    done, many = 0, len(names)
    while done < len(names):
        try:
            for path, data in snapshot.read_many(names[done : done + many]):
                yield path, data
                done += 1
            many *= 2
        except (NotFound, Damaged) as error:
            if many == 1:
                yield names[done], error
                done += 1
            many = 1


def gather(snapshot: Snapshot, names: Sequence[str], step: Callable[[], None]) -> Gathered:
    """Read every record at these paths; `step` is called after each."""
    gathered = Gathered()
    for path, data in read_each(snapshot, names):
        if isinstance(data, NotFound):
            gathered.not_held.append(path)
        elif isinstance(data, bytes):
            gathered.take(path, data)
        else:
            gathered.wrong.append((path, f"its bytes cannot be read: {data}"))
        step()
    return gathered


def record_problems(gathered: Gathered, is_elsewhere: Callable[[Thing, str], bool]) -> Found:
    """Yield what is wrong with single records and between them; `is_elsewhere` knows names that were not read now."""
    yield from gathered.wrong
    for (thing, name), places in gathered.names.items():
        for other in places[1:]:
            yield other, f"the {thing} {name} is recorded twice, here and at {places[0]}"
    for (thing, name), (path, where) in gathered.wanted.items():
        if (thing, name) not in gathered.names and not is_elsewhere(thing, name):
            yield path, f"{where} names the {thing} {name}, which is not recorded"
    for path, revision, sha256 in gathered.measured:
        if gathered.designs.get(revision, sha256) != sha256:
            yield path, "it was measured from other bytes than the design file of its revision"


def twins(gathered: Gathered) -> Found:
    """Yield what two writers recorded under one number; nothing of it is wrong by itself, a person settles it."""
    for (part, number), places in gathered.numbers.items():
        if len(places) > 1:
            yield places[1], f"{part} has {len(places)} settings {number}; copy the right ones to a new number"
