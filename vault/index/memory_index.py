"""The index in plain dictionaries over fully decoded records: slow, small, and what the other one is held against."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from vault.errors import Damaged, NotFound
from vault.index.described import BORROWED, LABELLED, Text, is_searched, search_line, shown_and_title, texts_of
from vault.index.extract import is_record
from vault.index.finder import FIRST_THINGS
from vault.index.folding import Query, fits, plain, read_query
from vault.index.likeness import NEAR_ENOUGH, closeness
from vault.interfaces import CommitId, Damage, Hit, Index, MatchedBy, Store
from vault.model.base import Record
from vault.model.ids import Thing
from vault.records.codec import decode
from vault.records.paths import path_of
from vault.records.references import Reference, own_name, references

_OWNERS = ("part", "target.part", "lot", "target.lot", "order", "nonconformance", "delivery", "package")


@dataclass(frozen=True)
class _Known:
    """One record with what is asked of it."""

    record: Record
    own: tuple[Thing, str] | None
    refers: tuple[Reference, ...]
    texts: tuple[Text, ...]

    @property
    def owner(self) -> Reference | None:
        """What the record belongs to: a part, or something that belongs to one."""
        if self.record.KIND == "part":
            return None
        by_field = {reference.field: reference for reference in reversed(self.refers)}
        return next((by_field[field] for field in _OWNERS if field in by_field), None)


def _known(data: bytes) -> _Known:
    record = decode(data)
    texts = texts_of(record.KIND, record.model_dump(mode="json"))
    return _Known(record, own_name(record), references(record), texts)


class MemoryIndex(Index):
    """Answers from memory; holds every record of the register."""

    def __init__(self, store: Store) -> None:
        """Read nothing yet."""
        self._store = store
        self._commit: CommitId | None = None
        self._records: dict[str, _Known] = {}
        self._unreadable: dict[str, str] = {}

    def catch_up(self) -> CommitId:
        """Read the register again where it has moved."""
        return self._commit if self._commit == self._store.head() and self._commit else self.rebuild()

    def rebuild(self) -> CommitId:
        """Read every record."""
        snapshot = self._store.at()
        self._records, self._unreadable = {}, {}
        for path in filter(is_record, snapshot.walk()):
            try:
                self._records[path] = _known(snapshot.read(path))
            except (Damaged, NotFound) as why:
                self._unreadable[path] = str(why)
        self._commit = snapshot.commit
        return snapshot.commit

    def damage(self) -> tuple[Damage, ...]:
        """Return every path whose record cannot be read."""
        return tuple(Damage(path, why) for path, why in sorted(self._unreadable.items()))

    def referrers(self, thing: str, name: str) -> tuple[str, ...]:
        """Return the paths of the records that point at this thing, sorted."""
        self._ready()
        return tuple(sorted(path for path, known in self._records.items() if _points_at(known, thing, name)))

    def locate(self, thing: str, name: str) -> str | None:
        """Return the path of the record that this name belongs to, or None."""
        self._ready()
        return min((path for path, known in self._records.items() if known.own == (thing, name)), default=None)

    def paths_of(self, kind: str, part: str | None = None) -> tuple[str, ...]:
        """Return the paths of all records of a kind, oldest first; of one part also those of its lots and orders."""
        self._ready()
        wanted = {path: known for path, known in self._records.items() if kind == known.record.KIND}
        if part is not None:
            wanted = {path: known for path, known in wanted.items() if self._part_of(known) == part}
        return tuple(sorted(wanted, key=lambda path: (wanted[path].record.at, path)))

    def find(self, text: str, limit: int = 20) -> tuple[Hit, ...]:
        """Search as `finder.Finder` does, line by line."""
        self._ready()
        query = read_query(text)
        if query.is_empty or limit < 1:
            return ()
        hits: dict[tuple[str, str, str | None], Hit] = {}
        for stage in (_exact, self._labelled, _beginning, self._holding):
            for hit in self._shown(stage, query):
                hits.setdefault((hit.thing, hit.name, hit.part), hit)
        return tuple([*(hits.values() or self._shown(self._near, query))][:limit])

    def close(self) -> None:
        """Nothing is held."""

    def _ready(self) -> None:
        if self._commit is None:
            self.rebuild()

    def _part_of(self, known: _Known) -> str | None:
        if known.record.KIND == "part" and known.own is not None:
            return known.own[1]
        owner = known.owner
        if owner is None or owner.thing is Thing.PART:
            return owner.name if owner else None
        above = self.locate(owner.thing, owner.name)
        return self._part_of(self._records[above]) if above is not None else None

    def _line(self, known: _Known) -> str:
        lent = []
        for field, thing in BORROWED.get(known.record.KIND, ()):
            path = self.locate(thing, getattr(known.record, field))
            if path is not None and path == path_of(self._records[path].record):
                lent += [plain(text) for place, text, _ in self._records[path].texts if place == "name"]
        return " ".join([search_line(known.texts), *lent])

    def _shown(self, stage: "_Stage", query: Query) -> list[Hit]:
        found: list[tuple[tuple[Any, ...], Hit]] = []
        for known in self._records.values():
            reason = stage(known, query) if is_searched(known.record.KIND) else None
            if reason is not None and known.own is not None:
                found.append((_place(known, reason), self._hit(known, reason)))
        return [hit for _, hit in sorted(found, key=lambda pair: (pair[0], pair[1].name))]

    def _hit(self, known: _Known, reason: "_Reason") -> Hit:
        assert known.own is not None  # `_shown` asks only for what has a name
        shown, title = shown_and_title(known.record.KIND, known.record.model_dump(mode="json"))
        return Hit(known.own[0].value, shown, title, reason.by, reason.field, self._part_of(known))

    def _labelled(self, known: _Known, query: Query) -> "_Reason | None":
        for start, field, label, kind in self._labels(known):
            if any(fits(number, start, label) for number in (query.number, query.spoken_number)):
                return _Reason(MatchedBy.NUMBER, field if known.record.KIND == "part" else kind)
        return None

    def _labels(self, known: _Known) -> list[tuple[str, str, str, str]]:
        """Return (number, its field, label, kind of what is labelled) of a part's labels, or of a label's part."""
        part = self._part_of(known)
        if known.record.KIND not in {"part", *LABELLED}:
            return []
        family = [other for other in self._records.values() if self._part_of(other) == part]
        numbers = [text for other in family if other.record.KIND == "part" for text in other.texts]
        labelled = [other for other in family if other.record.KIND in LABELLED]
        if known.record.KIND in LABELLED:
            labelled = [known]
        return [
            (number, field, getattr(other.record, LABELLED[other.record.KIND]), other.record.KIND)
            for other in labelled
            for field, _, number in numbers
            if number
        ]

    def _holding(self, known: _Known, query: Query) -> "_Reason | None":
        line = self._line(known)
        if query.number not in line and not all(term in line for term in query.terms):
            return None
        for term in (query.number, *sorted(query.terms, key=len, reverse=True)):
            for field, text, number in known.texts:
                if term in f"{plain(text)} {number or ''}":
                    return _Reason(MatchedBy.TEXT, field)
        return _Reason(MatchedBy.TEXT, "customer or material")

    def _near(self, known: _Known, query: Query) -> "_Reason | None":
        score = closeness(query, self._line(known))
        if not score >= NEAR_ENOUGH:
            return None
        lines = [(field, f"{plain(text)} {number or ''}") for field, text, number in known.texts]
        field, _ = max(lines, key=lambda line: closeness(query, line[1]), default=("text", ""))
        return _Reason(MatchedBy.NEAR, field, (-score,))


@dataclass(frozen=True)
class _Reason:
    """Why a record fits."""

    by: MatchedBy
    field: str
    order: tuple[Any, ...] = ()


_Stage = Callable[[_Known, Query], _Reason | None]


def _points_at(known: _Known, thing: str, name: str) -> bool:
    return any(reference.thing == thing and reference.name == name for reference in known.refers)


def _exact(known: _Known, query: Query) -> _Reason | None:
    wanted = {query.number, query.spoken_number}
    return next((_Reason(MatchedBy.NUMBER, field) for field, _, number in known.texts if number in wanted), None)


def _beginning(known: _Known, query: Query) -> _Reason | None:
    numbers = [(number, field) for field, _, number in known.texts if number]
    longer = [pair for pair in numbers if pair[0].startswith(query.number) and pair[0] != query.number]
    return min((_Reason(MatchedBy.PREFIX, field, (number,)) for number, field in longer), key=_order, default=None)


def _order(reason: _Reason) -> tuple[Any, ...]:
    return reason.order


def _place(known: _Known, reason: _Reason) -> tuple[Any, ...]:
    thing = known.own[0].value if known.own else ""
    rank = FIRST_THINGS.index(thing) if thing in FIRST_THINGS else len(FIRST_THINGS)
    newest_first = 0.0 if thing == "part" else -_seconds(known.record.at)
    if reason.by is MatchedBy.NEAR:
        return (reason.order, rank, newest_first)
    return (rank, reason.order, newest_first)


def _seconds(moment: datetime) -> float:
    return moment.timestamp()
