"""From what a person types in the shell to a value, or to one sentence that says what is wrong with it.

What a part, a lot or a revision is called is looked up by the actions; here only the form of a word is checked.
"""

import re
from datetime import date
from pathlib import Path

from vault import units
from vault.errors import BadInput


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


def a_pair(typed: str) -> tuple[str, str]:
    """Read NAME=VALUE. Raises BadInput."""
    name, equals, value = typed.partition("=")
    if not equals or not name.strip():
        raise BadInput(f"{typed!r} is not written as NAME=VALUE")
    return name.strip(), value.strip()


def a_count_by_name(typed: str) -> tuple[str, int]:
    """Read NAME=PIECES. Raises BadInput."""
    name, value = a_pair(typed)
    return name, a_count(value)


def a_number_by_name(typed: str) -> tuple[str, float]:
    """Read NAME=NUMBER. Raises BadInput."""
    name, value = a_pair(typed)
    return name, units.parse_number(value, name)


def a_file_by_name(typed: str) -> tuple[str, Path]:
    """Read NAME=FILE. Raises BadInput."""
    name, value = a_pair(typed)
    return name, a_path(value)


def a_call_off(typed: str) -> tuple[date, int]:
    """Read DATE:QUANTITY of a delivery schedule. Raises BadInput."""
    day, colon, quantity = typed.partition(":")
    if not colon:
        raise BadInput(f"call-off {typed!r} is not written as DATE:QUANTITY, such as 2026-04-01:100")
    return a_date(day), a_count(quantity)


def a_clause(typed: str) -> tuple[str, str]:
    """Read "ABOUT: WORDS" of a quality clause. Raises BadInput."""
    about, colon, words = typed.partition(":")
    if not colon or not words.strip():
        raise BadInput(f"clause {typed!r} is not written as ABOUT: WORDS, such as 'certificate: with each delivery'")
    return about.strip().lower(), words.strip()


def a_place(typed: str) -> tuple[str, int | None, str | None]:
    """Read LOT, LOT:PIECES or LOT:PIECES:TRAY, where a lot stands in the furnace. Raises BadInput."""
    lot, _, rest = a_text(typed).partition(":")
    count, _, tray = rest.partition(":")
    return lot, a_count(count) if count else None, tray.strip() or None


def some_fields(typed: str) -> dict[str, str]:
    """Read "NAME=VALUE NAME=VALUE". Raises BadInput."""
    return dict(a_pair(word) for word in a_text(typed).split())


def a_witness(typed: str) -> dict[str, object]:
    """Read "NAME density_g_cm3=7.61 hardness=38HRC", a test piece with its results. Raises BadInput."""
    name, _, results = a_text(typed).partition(" ")
    fields: dict[str, object] = {"name": name}
    for field, value in some_fields(results).items() if results else ():
        fields[field] = value if field == "hardness" else units.parse_number(value, field)
    return fields


def a_weighing(typed: str) -> tuple[str, float, float]:
    """Read PIECE:AIR_G:WATER_G, a piece weighed in air and in water. Raises BadInput."""
    parts = a_text(typed).rsplit(":", 2)
    if len(parts) != 3 or not parts[0].strip():
        raise BadInput(f"weighing {typed!r} is not written as PIECE:AIR_G:WATER_G, such as 1:45.913:39.842")
    piece, air, water = parts
    return piece.strip(), units.parse_number(air, "mass in air"), units.parse_number(water, "mass in water")
