"""The soil that every value grows in: frozen, closed to unknown fields, and strict about text and numbers."""

import unicodedata
from datetime import UTC, datetime
from typing import Annotated, ClassVar

from pydantic import AfterValidator, AwareDatetime, BaseModel, ConfigDict, Field

_BIDI_CONTROLS = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\u200e\u200f\u061c")


def _hidden_character(text: str, allowed: str = "") -> str | None:
    """Return the first character that does not show as itself, or None."""
    for char in text:
        if char in allowed:
            continue
        if char in _BIDI_CONTROLS or unicodedata.category(char) in {"Cc", "Cs", "Co", "Cn", "Zl", "Zp"}:
            return char
    return None


def _one_line(text: str) -> str:
    if (char := _hidden_character(text)) is not None:
        raise ValueError(f"holds the hidden character U+{ord(char):04X}; type it without")
    if text != text.strip():
        raise ValueError("begins or ends with a space")
    return text


def _several_lines(text: str) -> str:
    if (char := _hidden_character(text, allowed="\n\t")) is not None:
        raise ValueError(f"holds the hidden character U+{ord(char):04X}; type it without")
    return text


def _in_utc(moment: datetime) -> datetime:
    if moment.utcoffset() != UTC.utcoffset(None):
        raise ValueError("times are kept in UTC")
    return moment.replace(tzinfo=UTC)


Line = Annotated[str, Field(min_length=1, max_length=200), AfterValidator(_one_line)]
"""One line of text typed by a person: a name, a title, a reference."""

Note = Annotated[str, Field(min_length=1, max_length=4000), AfterValidator(_several_lines)]
"""Several lines of text typed by a person: a reason, a remark."""

WireText = Annotated[str, Field(max_length=500), AfterValidator(_several_lines)]
"""Text that the program or a file made."""

Sha256 = Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]
Moment = Annotated[AwareDatetime, AfterValidator(_in_utc)]
Positive = Annotated[float, Field(gt=0)]
NotNegative = Annotated[float, Field(ge=0)]
Fraction = Annotated[float, Field(ge=0, le=1)]
Count = Annotated[int, Field(ge=1, le=10_000_000)]
CountOrNone = Annotated[int, Field(ge=0, le=10_000_000)]
Vector3 = tuple[float, float, float]


class Value(BaseModel):
    """A frozen value; unknown fields, NaN, infinities and silent conversions are refused."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)


class Record(Value):
    """Something the register keeps: what kind, in which version of its form, by whom, when."""

    KIND: ClassVar[str]
    SCHEMA: ClassVar[int] = 1

    by: Annotated[str, Field(pattern=r"^[a-z][a-z0-9-]{0,31}$")]
    at: Moment


class Card(Record):
    """A record edited in place; git keeps every version."""


class Entry(Record):
    """A record written once and never changed."""
