"""From what a person types in the shell to a value, or to one sentence that says what is wrong with it.

What a part, a lot or a revision is called is looked up by the actions; here only the form of a word is checked.
"""

import re
from datetime import date
from pathlib import Path
from typing import NamedTuple

from vault import units
from vault.errors import BadInput


class Pair(NamedTuple):
    """NAME=VALUE."""

    name: str
    value: str


class CountOf(NamedTuple):
    """NAME=PIECES."""

    name: str
    pieces: int


class NumberOf(NamedTuple):
    """NAME=NUMBER."""

    name: str
    number: float


class FileOf(NamedTuple):
    """NAME=FILE."""

    name: str
    file: Path


class CallOffTyped(NamedTuple):
    """DATE:QUANTITY."""

    due: date
    quantity: int


class Said(NamedTuple):
    """ABOUT: WORDS."""

    about: str
    words: str


class PlaceTyped(NamedTuple):
    """LOT[:PIECES[:TRAY]]."""

    lot: str
    pieces: int | None
    tray: str | None


class Weighed(NamedTuple):
    """PIECE:AIR_G:WATER_G."""

    piece: str
    air_g: float
    water_g: float


class WitnessTyped(NamedTuple):
    """NAME FIELD=VALUE ..., a test piece with its results."""

    name: str
    results: tuple[Pair, ...]


def a_text(typed: str) -> str:
    """Read words. Raises BadInput where there are none."""
    if not typed.strip():
        raise BadInput("an empty text was given; type words, or leave the option away")
    return typed.strip()


def a_path(typed: str) -> Path:
    """Read the path of a file or a folder. Raises BadInput where it is empty, which would mean the current folder."""
    if not typed.strip() or "\0" in typed:
        raise BadInput("an empty path was given; type the path of a file or a folder")
    return Path(typed)


def a_date(typed: str) -> date:
    """Read a day as YYYY-MM-DD and in no other form. Raises BadInput."""
    if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", typed.strip()):
        raise BadInput(f"date {typed!r} is not written as YYYY-MM-DD, such as 2026-03-02")
    try:
        return date.fromisoformat(typed.strip())
    except ValueError:
        raise BadInput(f"date {typed!r} is no day of the calendar") from None


def a_count(typed: str) -> int:
    """Read a number of pieces from 1 up. Raises BadInput."""
    return units.parse_count(typed)


def a_count_or_none(typed: str) -> int:
    """Read a number of pieces; 0 counts too. Raises BadInput."""
    return 0 if typed.strip() == "0" else units.parse_count(typed)


def a_number(typed: str) -> float:
    """Read a decimal number. Raises BadInput."""
    return units.parse_number(typed, "number")


def a_pair(typed: str) -> Pair:
    """Read NAME=VALUE. Raises BadInput."""
    name, equals, value = typed.partition("=")
    if not equals or not name.strip():
        raise BadInput(f"{typed!r} is not written as NAME=VALUE")
    return Pair(name.strip(), value.strip())


def a_count_by_name(typed: str) -> CountOf:
    """Read NAME=PIECES. Raises BadInput."""
    name, value = a_pair(typed)
    return CountOf(name, a_count(value))


def a_number_by_name(typed: str) -> NumberOf:
    """Read NAME=NUMBER. Raises BadInput."""
    name, value = a_pair(typed)
    return NumberOf(name, units.parse_number(value, name))


def a_file_by_name(typed: str) -> FileOf:
    """Read NAME=FILE. Raises BadInput."""
    name, value = a_pair(typed)
    return FileOf(name, a_path(value))


def a_call_off(typed: str) -> CallOffTyped:
    """Read DATE:QUANTITY of a delivery schedule. Raises BadInput."""
    day, colon, quantity = typed.partition(":")
    if not colon:
        raise BadInput(f"call-off {typed!r} is not written as DATE:QUANTITY, such as 2026-04-01:100")
    return CallOffTyped(a_date(day), a_count(quantity))


def a_clause(typed: str) -> Said:
    """Read "ABOUT: WORDS" of a quality clause. Raises BadInput."""
    about, colon, words = typed.partition(":")
    if not colon or not words.strip():
        raise BadInput(f"clause {typed!r} is not written as ABOUT: WORDS, such as 'certificate: with each delivery'")
    return Said(about.strip().lower(), words.strip())


def a_place(typed: str) -> PlaceTyped:
    """Read LOT, LOT:PIECES or LOT:PIECES:TRAY, where a lot stands in the furnace. Raises BadInput."""
    lot, _, rest = a_text(typed).partition(":")
    count, _, tray = rest.partition(":")
    return PlaceTyped(lot, a_count(count) if count else None, tray.strip() or None)


def a_witness(typed: str) -> WitnessTyped:
    """Read "NAME density_g_cm3=7.61 hardness=38HRC". Raises BadInput."""
    name, *results = a_text(typed).split()
    return WitnessTyped(name, tuple(a_pair(result) for result in results))


def a_weighing(typed: str) -> Weighed:
    """Read PIECE:AIR_G:WATER_G, a piece weighed in air and in water. Raises BadInput."""
    parts = a_text(typed).rsplit(":", 2)
    if len(parts) != 3 or not parts[0].strip():
        raise BadInput(f"weighing {typed!r} is not written as PIECE:AIR_G:WATER_G, such as 1:45.913:39.842")
    piece, air, water = parts
    return Weighed(piece.strip(), units.parse_number(air, "mass in air"), units.parse_number(water, "mass in water"))
