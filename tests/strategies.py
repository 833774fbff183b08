"""Random records of every kind, for properties that must hold of all of them."""

from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime
from functools import cache
from typing import Any, TypeVar

from hypothesis import strategies as st

from tests.filling import filled
from tests.fitting import fitting
from vault.model.base import Record, Value
from vault.model.ids import Thing
from vault.records.kinds import ALL

AnyValue = TypeVar("AnyValue", bound=Value)

_SHOWN = st.characters(exclude_categories=("Cc", "Cs", "Co", "Cn", "Zl", "Zp", "Cf"))
"""Characters of a line of text; format characters are left out, as some of them turn the reading direction."""

_ASCII = st.characters(min_codepoint=32, max_codepoint=126)


class _Drawn:
    """Leaves that hypothesis chooses."""

    def __init__(self, draw: st.DrawFn) -> None:
        self._draw = draw

    def given(self, model: type[Value]) -> Mapping[str, Any]:
        return fitting(model, self)

    def present(self, where: str) -> bool:
        return self._draw(st.booleans())

    def how_many(self, where: str, at_least: int) -> int:
        return at_least + self._draw(st.integers(0, 2))

    def choice(self, where: str, options: Sequence[Any]) -> Any:
        return self._draw(st.sampled_from(options))

    def reference(self, where: str, thing: Thing, pattern: str) -> str:
        return self._draw(_written(pattern))

    def text(self, where: str, pattern: str | None, longest: int) -> str:
        return self._draw(_line(min(longest, 30)) if pattern is None else _written(pattern))

    def number(self, where: str, kind: type, low: float | None, high: float | None) -> Any:
        if kind is int:
            bottom, top = (int(low) if low is not None else -(10**6)), (int(high) if high is not None else 10**7)
            return self._draw(st.integers(bottom + (bottom < top), top))
        limits = {"min_value": low, "max_value": high, "exclude_min": low is not None, "exclude_max": high is not None}
        return self._draw(st.floats(allow_nan=False, allow_infinity=False, **limits))

    def day(self, where: str) -> date:
        return self._draw(st.dates())

    def moment(self, where: str) -> datetime:
        return self._draw(st.datetimes(timezones=st.just(UTC)))


@cache
def _written(pattern: str) -> st.SearchStrategy[str]:
    return st.from_regex(pattern.replace("$", r"\Z"), alphabet=_ASCII)


@cache
def _line(longest: int) -> st.SearchStrategy[str]:
    return st.text(_SHOWN, min_size=1, max_size=longest).map(str.strip).filter(bool)


@st.composite
def values(draw: st.DrawFn, model: type[AnyValue]) -> AnyValue:
    """Return random values of one model."""
    return filled(model, _Drawn(draw))


def any_record() -> st.SearchStrategy[Record]:
    """Return random records of every kind."""
    return st.sampled_from(ALL).flatmap(values)
