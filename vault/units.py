"""The only place where numbers with units become text, and text from people becomes numbers."""

import math
import re
from collections.abc import Callable
from decimal import Decimal, InvalidOperation

from vault.errors import BadInput

UNIT_IN_MM = {"micron": 0.001, "mm": 1.0, "cm": 10.0, "inch": 25.4, "foot": 304.8, "m": 1000.0}
"""Length units that a shape file may be drawn in, in millimetres (exact by definition)."""

MAX_PIECES = 10_000_000

Show = Callable[[float], str]
"""A function of this module that prints a number with its unit."""

_MINOR_DIGITS = {"JPY": 0, "KRW": 0, "BHD": 3, "KWD": 3, "TND": 3}  # ISO 4217; all others here have 2


def mm(value: float, digits: int = 3) -> str:
    """Print a length: 12.5 -> "12.500 mm"."""
    return f"{value:.{digits}f} mm"


def mm3(value: float) -> str:
    """Print a volume: under 1 cm3 in mm3, above in cm3."""
    return f"{value / 1000:.2f} cm3" if abs(value) >= 1000 else f"{value:.1f} mm3"


def mm2(value: float) -> str:
    """Print an area: under 1 cm2 in mm2, above in cm2."""
    return f"{value / 100:.2f} cm2" if abs(value) >= 100 else f"{value:.1f} mm2"


def grams(value: float) -> str:
    """Print a mass: 45.9 -> "45.9 g", from one kilogram up in kg."""
    return f"{value / 1000:.3f} kg" if abs(value) >= 1000 else f"{value:.1f} g"


def percent(fraction: float, digits: int = 2) -> str:
    """Print a fraction as percent: 0.005 -> "0.50 %"."""
    return f"{fraction * 100:.{digits}f} %"


def celsius(value: float) -> str:
    """Print a temperature."""
    return f"{value:.0f} C"


def minutes(value: float) -> str:
    """Print a time: 95 -> "1 h 35 min"."""
    hours, rest = divmod(round(value), 60)
    return f"{hours} h {rest} min" if hours else f"{rest} min"


def scale(value: float) -> str:
    """Print a scale factor: 1.1875 -> "1.18750"."""
    return f"{value:.5f}"


def pieces(count: int) -> str:
    """Print a count of pieces."""
    return "1 piece" if count == 1 else f"{count} pieces"


def money(minor_units: int, currency: str) -> str:
    """Print money kept in minor units (cents) of an ISO 4217 currency."""
    digits = _MINOR_DIGITS.get(currency, 2)
    return f"{Decimal(minor_units).scaleb(-digits):.{digits}f} {currency}"


def file_size(size_bytes: int) -> str:
    """Print the size of a file."""
    if size_bytes < 1000:
        return f"{size_bytes} bytes"
    return f"{size_bytes / 1e6:.1f} MB" if size_bytes >= 1e6 else f"{size_bytes / 1e3:.1f} kB"


def parse_count(text: str, what: str = "quantity") -> int:
    """Read a whole number of pieces from 1 to ten million.

    Raises:
        BadInput: The text is not such a number; fractions, signs and separators are refused.
    """
    if not re.fullmatch(r"[0-9]{1,12}", text.strip()):
        raise BadInput(f"{what} {text!r} is not a whole number of pieces; type it in digits, such as 200")
    count = int(text)
    if not 1 <= count <= MAX_PIECES:
        raise BadInput(f"{what} {count} is outside 1 to {MAX_PIECES}")
    return count


def parse_number(text: str, what: str) -> float:
    """Read a decimal number; a decimal comma is taken as a point.

    Raises:
        BadInput: The text is not a finite number.
    """
    try:
        value = float(Decimal(text.strip().replace(",", ".")))
    except InvalidOperation:
        raise BadInput(f"{what} {text!r} is not a number") from None
    if not math.isfinite(value):
        raise BadInput(f"{what} {text!r} is not a finite number")
    return value


def parse_unit(text: str) -> str:
    """Read a length unit of a shape file.

    Raises:
        BadInput: Not one of micron, mm, cm, inch, foot, m.
    """
    unit = {"in": "inch", "millimeter": "mm", "millimetre": "mm", "um": "micron"}.get(
        text.strip().lower(), text.strip().lower()
    )
    if unit not in UNIT_IN_MM:
        raise BadInput(f"unit {text!r} is not known; use one of {', '.join(UNIT_IN_MM)}")
    return unit
