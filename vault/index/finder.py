"""Search, as fast as it starts: SQLite and the standard library, nothing of the tables' library.

Exact numbers come first, then numbers that begin so, then texts that hold what was typed; near matches only where
nothing else fits. Case, accents and separators do not count.
"""

import sqlite3
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import log
from pathlib import Path
from threading import Lock
from typing import Any

from vault.errors import Damaged
from vault.index.folding import SHORTEST_IN_INDEX, Query, fits, plain, read_query
from vault.index.generations import SCHEMA
from vault.index.likeness import NEAR_ENOUGH, closeness, pieces_of
from vault.interfaces import Hit, MatchedBy

FIRST_THINGS = ("part", "revision", "settings", "order", "customer", "lot", "package", "delivery")
"""What people look for most, in this order; all else comes behind."""

_LONGEST_LABEL = 16
_ENOUGH = 400  # text matches that are looked at: who typed so little that more match must type on anyway
_NEAR_CANDIDATES = 60  # lines that are compared letter by letter
_NEAR_LINES = 20_000  # lines that are weighed to find them: 30 ms; more found no more parts (tried on 100,000 parts)
_RAREST = 12
_AFTER_ALL = "\U0010ffff"


@dataclass(frozen=True)
class _Found:
    """One record that fits, and why."""

    record: int
    by: MatchedBy
    field: str | None = None  # None: to be told from its texts
    order: tuple[Any, ...] = ()


class Finder:
    """A search over one database of the index. Several threads may share it."""

    def __init__(self, source: Path | sqlite3.Connection) -> None:
        """Search a database file, read only, or a database that is open already.

        Raises:
            Damaged: The file cannot be opened.
        """
        self._lock = Lock()
        self._owned = isinstance(source, Path)
        if isinstance(source, sqlite3.Connection):
            self._connection = source
            return
        try:
            uri = f"{source.resolve().as_uri()}?mode=ro"
            self._connection = sqlite3.connect(uri, uri=True, isolation_level=None, check_same_thread=False)
        except sqlite3.Error as error:
            raise Damaged(f"the index {source} cannot be opened: {error}") from None

    def commit(self) -> str:
        """Return the commit that the rows show. Raises Damaged where the database is not usable."""
        rows = self._locked('SELECT "commit", schema_number FROM state')
        if len(rows) != 1 or rows[0][1] != SCHEMA:
            raise Damaged("the index was made by another version of this program")
        return str(rows[0][0])

    def find(self, text: str, limit: int = 20) -> tuple[Hit, ...]:
        """Return what fits `text`, best first, each thing once.

        Raises:
            Damaged: The database is not usable and must be made anew.
        """
        query = read_query(text)
        if query.is_empty or limit < 1:
            return ()
        self.commit()
        with self._lock:
            try:
                return self._found(query, limit)
            except sqlite3.Error as error:
                raise Damaged(f"the index cannot be read: {error}") from None

    def close(self) -> None:
        """Release the file."""
        with self._lock:
            if self._owned:
                self._connection.close()

    def _locked(self, sql: str) -> list[Any]:
        with self._lock:
            try:
                return self._rows(sql)
            except sqlite3.Error as error:
                raise Damaged(f"the index cannot be read: {error}") from None

    def _rows(self, sql: str, values: Sequence[object] = ()) -> list[Any]:
        return self._connection.execute(sql, values).fetchall()

    def _found(self, query: Query, limit: int) -> tuple[Hit, ...]:
        hits: dict[tuple[str, str, str | None], Hit] = {}
        for stage in (self._exact, self._labelled, self._beginning, self._holding):
            for hit in self._shown(stage(query, limit), query, limit + len(hits)):
                hits.setdefault((hit.thing, hit.name, hit.part), hit)
            if len(hits) >= limit:
                break
        near = self._shown(self._near(query), query, limit) if not hits else []
        return tuple([*hits.values(), *near][:limit])

    def _exact(self, query: Query, limit: int) -> list[_Found]:
        """Numbers that are what was typed."""
        sql = "SELECT record, field FROM text WHERE number IN (?, ?) LIMIT ?"
        rows = self._rows(sql, (query.number, query.spoken_number, _ENOUGH))
        return [_Found(record, MatchedBy.NUMBER, field) for record, field in rows]

    def _labelled(self, query: Query, limit: int) -> list[_Found]:
        """Parts whose number and a revision's or settings' label together are what was typed, and that label."""
        found = []
        for number in dict.fromkeys((query.number, query.spoken_number)):
            starts = [number[:end] for end in range(max(1, len(number) - _LONGEST_LABEL), len(number))]
            sql = (
                "SELECT t.record, t.field, t.number, labelled.id, labelled.kind, labelled.label FROM text t "
                "JOIN record part ON part.id = t.record AND part.kind = 'part' "
                "JOIN record labelled ON labelled.owner_thing = 'part' AND labelled.owner_name = part.name "
                f"WHERE t.number IN ({_marks(starts)}) AND labelled.label IS NOT NULL"
            )
            for part, field, start, record, kind, label in self._rows(sql, starts):
                if fits(number, start, label):
                    found += [_Found(part, MatchedBy.NUMBER, field), _Found(record, MatchedBy.NUMBER, kind)]
        return found

    def _beginning(self, query: Query, limit: int) -> list[_Found]:
        """Numbers that begin with what was typed."""
        sql = "SELECT record, field, number FROM text WHERE number > ? AND number < ? ORDER BY number LIMIT ?"
        rows = self._rows(sql, (query.number, query.number + _AFTER_ALL, 4 * limit))
        return [_Found(record, MatchedBy.PREFIX, field, (number,)) for record, field, number in rows]

    def _holding(self, query: Query, limit: int) -> list[_Found]:
        """Texts that hold the typed number somewhere, or each typed word somewhere."""
        records = dict.fromkeys(self._holding_all((query.number,)))
        records |= dict.fromkeys(self._holding_all(query.terms))
        return [_Found(record, MatchedBy.TEXT) for record in records]

    def _holding_all(self, terms: Sequence[str]) -> list[int]:
        in_index = [term for term in terms if len(term) >= SHORTEST_IN_INDEX]
        too_short = [term for term in terms if len(term) < SHORTEST_IN_INDEX]
        source, where, values = "sought s", [], []
        if in_index:
            source = "sought_text JOIN sought s ON s.record = sought_text.rowid"
            where.append("sought_text MATCH ?")
            values.append(" AND ".join(map(_phrase, in_index)))
        for term in too_short:
            where.append("(instr(s.own, ?) > 0 OR instr(s.borrowed, ?) > 0)")
            values += [term, term]
        sql = f"SELECT s.record FROM {source} WHERE {' AND '.join(where)} LIMIT {_ENOUGH}"
        return [record for (record,) in self._rows(sql, values)]

    def _near(self, query: Query) -> list[_Found]:
        """Lines that are most like what was typed, read as words and read as one number."""
        lines = self._sharing_pieces(query.terms)
        if any(char.isdigit() for char in query.number):
            lines |= self._sharing_pieces((query.number,))
        scores = [(closeness(query, line), record) for record, line in lines.items()]
        return [_Found(record, MatchedBy.NEAR, None, (-score,)) for score, record in scores if score >= NEAR_ENOUGH]

    def _sharing_pieces(self, texts: Sequence[str]) -> dict[int, str]:
        """Return the lines, by record, that share the most pieces with the texts, a rare piece counting for more."""
        rarest = self._rarest(pieces_of(texts))
        if not rarest:
            return {}
        # Not FTS5's own rank: it prefers short lines, and a part's line is long.
        holding = "SELECT rowid, ? AS weight FROM sought_text WHERE sought_text MATCH ?"
        sharing = " UNION ALL ".join([holding] * len(rarest))
        sql = (
            f"SELECT record, own, borrowed FROM sought WHERE record IN (SELECT rowid FROM ({sharing}) "
            f"GROUP BY rowid ORDER BY sum(weight) DESC, rowid LIMIT {_NEAR_CANDIDATES})"
        )
        values = [value for piece, lines in rarest for value in (1 / (1 + log(lines)), _phrase(piece))]
        return {record: f"{own} {borrowed}" for record, own, borrowed in self._rows(sql, values)}

    def _rarest(self, pieces: Sequence[str]) -> list[tuple[str, int]]:
        """Return the pieces in the fewest lines, with how many: as many as can be looked at while a person types."""
        self._rows("CREATE VIRTUAL TABLE IF NOT EXISTS temp.piece USING fts5vocab(main, sought_text, row)")
        sql = f"SELECT term, doc FROM temp.piece WHERE term IN ({_marks(pieces)}) ORDER BY doc, term LIMIT ?"
        rarest: list[tuple[str, int]] = []
        for piece, lines in self._rows(sql, (*pieces, _RAREST)):
            if len(rarest) >= 2 and lines + sum(more for _, more in rarest) > _NEAR_LINES:
                break
            rarest.append((piece, lines))
        return rarest

    def _shown(self, found: Sequence[_Found], query: Query, most: int) -> list[Hit]:
        """Return hits for what one stage found, the things that people look for most first."""
        reasons: dict[int, _Found] = {}
        for one in found:
            reasons.setdefault(one.record, one)
        sql = (
            "SELECT r.id, r.thing, s.shown, s.title, r.owner_thing, r.owner_name, r.at_us FROM record r "
            f"JOIN sought s ON s.record = r.id WHERE r.id IN ({_marks(reasons)})"
        )
        rows = self._rows(sql, list(reasons))
        rows.sort(key=lambda row: _place(row[1], row[2], row[6], reasons[row[0]]))
        return [self._hit(row, reasons[row[0]], query) for row in rows[:most]]

    def _hit(self, row: Sequence[Any], why: _Found, query: Query) -> Hit:
        record, thing, shown, title, owner_thing, owner_name, _ = row
        field = why.field or self._field(record, query, why.by)
        part = shown if thing == "part" else self._part_above(owner_thing, owner_name)
        return Hit(thing, shown, title, why.by, field, part)

    def _field(self, record: int, query: Query, by: MatchedBy) -> str:
        """Return which text of a record fits best; what it borrowed is the name of its customer or material."""
        texts = self._rows("SELECT field, text, number FROM text WHERE record = ? ORDER BY id", (record,))
        lines = [(str(field), f"{plain(text)} {number or ''}") for field, text, number in texts]
        if by is MatchedBy.NEAR:
            return max(lines, key=lambda line: closeness(query, line[1]), default=("text", ""))[0]
        for term in (query.number, *sorted(query.terms, key=len, reverse=True)):
            for field, line in lines:
                if term in line:
                    return field
        return "customer or material"

    def _part_above(self, thing: str | None, name: str | None) -> str | None:
        """Follow what a record belongs to, up to a part."""
        for _ in range(4):  # a return belongs to a delivery, that to a lot, that to a part
            if thing == "part" or thing is None:
                return name
            sql = "SELECT owner_thing, owner_name FROM record WHERE thing = ? AND name = ? LIMIT 1"
            rows = self._rows(sql, (thing, name))
            thing, name = rows[0] if rows else (None, None)
        return None


def _marks(values: Iterable[object]) -> str:
    return ", ".join("?" for _ in values)


def _phrase(term: str) -> str:
    """Return a term as the text index takes it literally, whatever signs are in it."""
    return '"' + term.replace('"', '""') + '"'


def _place(thing: str, shown: str, at_us: int, why: _Found) -> tuple[Any, ...]:
    """Return where a hit stands within its stage: how well it fits, its kind, parts by number, else newest first."""
    rank = FIRST_THINGS.index(thing) if thing in FIRST_THINGS else len(FIRST_THINGS)
    newest_first = () if thing == "part" else (-at_us,)
    if why.by is MatchedBy.NEAR:
        return (why.order, rank, newest_first, shown)
    return (rank, why.order, newest_first, shown)
