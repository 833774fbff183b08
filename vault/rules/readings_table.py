"""Reading an inspection table: what was understood, and everything that was not, before anything is written.

Two forms. Long: columns `characteristic`, `piece` and `value`, a reading on each line. Wide: pieces as lines and the
numbers of the characteristics as columns. Comma, semicolon or tab between cells; a decimal comma is read as a point.
"""

import csv
import io
import itertools
import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from vault import units
from vault.errors import BadInput
from vault.model.design import Characteristic, Requirements
from vault.model.evidence import Reading
from vault.rules.characteristics import is_outside, limits_in_words

LARGEST_TABLE = 100_000
"""Readings in one table; more than that is split by the person, so that a mistake stays findable."""

_ACCEPT = frozenset({"accept", "accepted", "ok", "pass", "passed", "go", "yes", "good", "conforms"})
_REJECT = frozenset({"reject", "rejected", "nok", "not ok", "fail", "failed", "no-go", "no go", "nogo", "no", "bad"})
_EMPTY = frozenset({"", "-", "--", "n/a", "na", "none"})
_LONG = ("characteristic", "piece", "value")
_PIECE_HEADS = frozenset({"piece", "part", "serial", "sample", "no", "no.", ""})
_NUMBER = re.compile(r"[+-]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)(?:[eE][+-]?[0-9]+)?")
_FORMULA_STARTS = ("=", "+", "-", "@", "'")
_INCH = 25.4


@dataclass(frozen=True)
class Seen:
    """What was read for one characteristic."""

    characteristic: str
    name: str
    readings: int
    outside: int
    lowest: float | None
    highest: float | None


@dataclass(frozen=True)
class Understood:
    """What a table says. Problems must be mended in the table; remarks are for a person to look at."""

    form: Literal["long", "wide", "unknown"]
    readings: tuple[Reading, ...]
    pieces: tuple[str, ...]
    seen: tuple[Seen, ...]
    problems: tuple[str, ...]
    remarks: tuple[str, ...]

    @property
    def is_clean(self) -> bool:
        """True where nothing in the table was left unread and there is something in it."""
        return not self.problems and bool(self.readings)


@dataclass(frozen=True)
class _Cell:
    line: int
    characteristic: str
    piece: str
    text: str


def understand_csv(text: str, requirements: Requirements) -> Understood:
    """Read an inspection table against the requirements of the revision. Nothing raises: all is in the report."""
    lines = [(place, line) for place, line in enumerate(text.lstrip("\ufeff").splitlines(), start=1) if line.strip()]
    # Remarks stand above the heading only: further down, a piece may be called #1.
    lines = list(itertools.dropwhile(lambda numbered: numbered[1].lstrip().startswith("#"), lines))
    if len(lines) < 2:
        return _nothing("the table has a heading and no lines" if lines else "the table is empty")
    rows, problems = _rows(lines)
    head = [cell.casefold() for cell in rows[0][1]]
    known = {c.number.casefold(): c for c in requirements.characteristics}
    form: Literal["long", "wide"]
    if set(_LONG) <= set(head):
        form, cells = "long", list(_long_cells(head, rows[1:], problems))
    elif head[0] in _PIECE_HEADS and len(head) > 1:
        form, cells = "wide", list(_wide_cells(rows[0][1], rows[1:], known, problems))
    else:
        wanted = f"{', '.join(_LONG)}, or piece and the numbers of the characteristics"
        return _nothing(f"line {rows[0][0]}: the heading is not understood; it is {wanted}")
    if len(cells) > LARGEST_TABLE:
        return _nothing(f"the table holds {len(cells)} cells, more than {LARGEST_TABLE}; split it")
    readings, remarks = _readings(cells, known, problems)
    return _report(form, readings, requirements.characteristics, problems, remarks)


def _nothing(problem: str) -> Understood:
    return Understood("unknown", (), (), (), (problem,), ())


def _rows(lines: Sequence[tuple[int, str]]) -> tuple[list[tuple[int, list[str]]], list[str]]:
    """Take lines apart at the mark that the heading uses most."""
    mark = max(";\t,", key=lines[0][1].count)
    rows: list[tuple[int, list[str]]] = []
    problems: list[str] = []
    for place, line in lines:
        try:
            cells = [_shown(cell) for cell in next(csv.reader(io.StringIO(line), delimiter=mark, strict=True))]
        except csv.Error as error:
            problems.append(f"line {place}: {error}")
            continue
        if rows and len(cells) != len(rows[0][1]):
            hint = "; a decimal comma needs semicolons or tabs between the cells" if mark == "," else ""
            problems.append(f"line {place}: {len(cells)} cells, the heading has {len(rows[0][1])}{hint}")
            continue
        rows.append((place, cells))
    return rows, problems


def _shown(cell: str) -> str:
    """Return a cell without outer spaces, and without the apostrophe that keeps spreadsheets from computing it."""
    cell = cell.strip()
    return cell[1:] if cell[:1] == "'" and cell[1:2] in {"=", "+", "-", "@", "'"} else cell


def _long_cells(head: list[str], rows: Sequence[tuple[int, list[str]]], problems: list[str]) -> Iterator[_Cell]:
    places = [head.index(name) for name in _LONG]
    for line, cells in rows:
        number, piece, value = (cells[place] for place in places)
        if not number or not piece:
            problems.append(f"line {line}: the {'characteristic' if not number else 'piece'} is missing")
        else:
            yield _Cell(line, number, piece, value)


def _wide_cells(
    head: list[str], rows: Sequence[tuple[int, list[str]]], known: dict[str, Characteristic], problems: list[str]
) -> Iterator[_Cell]:
    for number in head[1:]:
        if number.casefold() not in known:
            problems.append(f"column {number!r} is no characteristic of this revision")
        if head[1:].count(number) > 1:
            problems.append(f"column {number!r} stands twice")
    for line, cells in rows:
        if not cells[0]:
            problems.append(f"line {line}: the piece is missing")
            continue
        for number, value in zip(head[1:], cells[1:], strict=True):
            if number.casefold() in known:
                yield _Cell(line, number, cells[0], value)


def _readings(
    cells: Sequence[_Cell], known: dict[str, Characteristic], problems: list[str]
) -> tuple[list[Reading], list[str]]:
    """Turn cells into readings; what cannot be read becomes a problem, what is empty a remark."""
    readings: list[Reading] = []
    empty: dict[str, int] = {}
    first_at: dict[tuple[str, str], int] = {}
    commas = 0
    for cell in cells:
        characteristic = known.get(cell.characteristic.casefold())
        if characteristic is None:
            problems.append(f"line {cell.line}: {cell.characteristic!r} is no characteristic of this revision")
            continue
        key = (characteristic.number, cell.piece.casefold())
        if key in first_at:
            words = (
                f"line {cell.line}: characteristic {key[0]} of piece {cell.piece} stands on line {first_at[key]} too"
            )
            problems.append(words)
            continue
        first_at[key] = cell.line
        if cell.text.casefold() in _EMPTY:
            empty[characteristic.number] = empty.get(characteristic.number, 0) + 1
            continue
        try:
            readings.append(_reading(cell, characteristic))
        except BadInput as error:
            problems.append(f"line {cell.line}: {error}")
        commas += characteristic.form == "variable" and "," in cell.text
    remarks = [f"characteristic {number}: {count} cells are empty" for number, count in empty.items()]
    return readings, [*([f"{commas} numbers with a decimal comma were read"] if commas else []), *remarks]


def _reading(cell: _Cell, characteristic: Characteristic) -> Reading:
    if len(cell.piece) > 40:
        raise BadInput(f"the name of piece {cell.piece[:20]}... is longer than 40 characters")
    if characteristic.form == "attribute":
        return Reading(characteristic=characteristic.number, piece=cell.piece, accepted=_verdict(cell, characteristic))
    return Reading(characteristic=characteristic.number, piece=cell.piece, value=_number(cell, characteristic))


def _verdict(cell: _Cell, characteristic: Characteristic) -> bool:
    word = cell.text.casefold()
    if word in _ACCEPT:
        return True
    if word in _REJECT:
        return False
    raise BadInput(f"{cell.text!r} says neither accept nor reject for characteristic {characteristic.number}")


def _number(cell: _Cell, characteristic: Characteristic) -> float:
    if not _NUMBER.fullmatch(cell.text):
        unit = f"; the unit {characteristic.unit} is left out" if characteristic.unit in cell.text else ""
        raise BadInput(f"{cell.text[:40]!r} is not a number for characteristic {characteristic.number}{unit}")
    value = float(Decimal(cell.text.replace(",", ".")))
    if not math.isfinite(value):
        raise BadInput(f"{cell.text[:40]!r} is too large for characteristic {characteristic.number}")
    return value


def _report(
    form: Literal["long", "wide"],
    readings: Sequence[Reading],
    characteristics: Sequence[Characteristic],
    problems: list[str],
    remarks: list[str],
) -> Understood:
    seen = []
    for characteristic in characteristics:
        own = [reading for reading in readings if reading.characteristic == characteristic.number]
        if not own:
            remarks.append(f"characteristic {characteristic.number} ({characteristic.name}) is not in the table")
            continue
        values = [reading.value for reading in own if reading.value is not None]
        outside = sum(is_outside(reading, characteristic) for reading in own)
        seen.append(
            Seen(
                characteristic.number,
                characteristic.name,
                len(own),
                outside,
                min(values, default=None),
                max(values, default=None),
            )
        )
        remarks += _unlikely(characteristic, values)
    pieces = tuple(dict.fromkeys(reading.piece for reading in readings))
    if not readings and not problems:
        problems.append("there is no reading in the table")
    return Understood(form, tuple(readings), pieces, tuple(seen), tuple(dict.fromkeys(problems)), tuple(remarks))


def _unlikely(characteristic: Characteristic, values: Sequence[float]) -> Iterator[str]:
    nominal = characteristic.nominal
    if characteristic.unit != "mm" or nominal is None or nominal <= 0 or not values:
        return
    middle = sorted(values)[len(values) // 2]
    name = f"characteristic {characteristic.number} ({characteristic.name})"
    if abs(middle * _INCH / nominal - 1) < 0.05:
        yield f"{name}: readings near {middle:g} where {units.mm(nominal)} is asked; they look like inches"
    elif not 0.5 <= middle / nominal <= 2:
        yield f"{name}: readings near {middle:g} where {units.mm(nominal)} is asked"


def template_csv(requirements: Requirements, pieces: Sequence[str]) -> str:
    """Return an empty wide table to fill in: a line for each piece, a column for each characteristic.

    Cells that a spreadsheet would compute begin with an apostrophe, which is read back as if it were not there.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    for characteristic in requirements.characteristics:
        out.write(f"# {_safe_line(characteristic)}\n")
    writer.writerow(["piece", *(_safe(characteristic.number) for characteristic in requirements.characteristics)])
    for piece in pieces:
        writer.writerow([_safe(piece), *("" for _ in requirements.characteristics)])
    return out.getvalue()


def _safe(cell: str) -> str:
    return f"'{cell}" if cell.startswith(_FORMULA_STARTS) else cell


def _safe_line(characteristic: Characteristic) -> str:
    asked = characteristic.requirement or limits_in_words(characteristic)
    # A comma would make a second cell, which could begin with a sign that a spreadsheet computes.
    line = f"{characteristic.number} {characteristic.name}: {asked}, measured {characteristic.measured_in}"
    return re.sub(r"[\r\n,;\t]+", " ", line)
