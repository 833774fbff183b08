"""Any record of the register, made from its model alone: one walk over the fields, with leaves that somebody chooses.

`Leaves` says what stands at the end of each branch: a canary in one test, a random value in another. So a new field or
a new kind of record takes part in those tests without being written down in them.
"""

import enum
import types
from collections.abc import Mapping, Sequence
from datetime import date, datetime
from typing import Annotated, Any, Literal, Protocol, TypeVar, Union, get_args, get_origin

from pydantic import AwareDatetime
from pydantic.fields import FieldInfo

from vault.model.base import Value
from vault.model.ids import Refers, Thing

AnyValue = TypeVar("AnyValue", bound=Value)


class Leaves(Protocol):
    """What stands at the ends of the branches. `where` is the field, such as "Lot.count"."""

    def given(self, model: type[Value]) -> Mapping[str, Any]:
        """Return fields that must fit each other, so that no field of them can be chosen alone."""
        ...

    def present(self, where: str) -> bool:
        """Say whether an optional field holds something."""
        ...

    def how_many(self, where: str, at_least: int) -> int:
        """Return how many items a list holds."""
        ...

    def choice(self, where: str, options: Sequence[Any]) -> Any:
        """Choose one of a closed list."""
        ...

    def reference(self, where: str, thing: Thing, pattern: str) -> str:
        """Return the name of another record."""
        ...

    def text(self, where: str, pattern: str | None, longest: int) -> str:
        """Return a text, of a pattern where there is one."""
        ...

    def number(self, where: str, kind: type, low: float | None, high: float | None) -> Any:
        """Return an int or a float between two limits that are kept clear of."""
        ...

    def day(self, where: str) -> date:
        """Return a date."""
        ...

    def moment(self, where: str) -> datetime:
        """Return a moment in UTC."""
        ...


def filled(model: type[AnyValue], leaves: Leaves) -> AnyValue:
    """Build a value with every field from the leaves."""
    given = leaves.given(model)
    fields = {
        name: given[name] if name in given else _one(info.annotation, info.metadata, f"{model.__name__}.{name}", leaves)
        for name, info in model.model_fields.items()
    }
    return model(**fields)


def _one(annotation: Any, metadata: Sequence[Any], where: str, leaves: Leaves) -> Any:
    origin, inner = get_origin(annotation), get_args(annotation)
    if origin is Annotated:
        return _one(inner[0], [*metadata, *annotation.__metadata__], where, leaves)
    if origin in {Union, types.UnionType}:
        [value] = [kind for kind in inner if kind is not type(None)]
        return _one(value, metadata, where, leaves) if leaves.present(where) else None
    if origin is tuple:
        many = leaves.how_many(where, _limits(metadata).get("min_length", 0)) if inner[-1] is ... else len(inner)
        return tuple(_one(inner[0], [], where, leaves) for _ in range(many))
    if origin is dict:
        return {leaves.text(where, None, 20): _one(inner[1], [], where, leaves)}
    if origin is Literal:
        return leaves.choice(where, inner)
    annotation = getattr(annotation, "__supertype__", annotation)  # what a NewType such as PartNumber stands for
    if issubclass(annotation, Value):
        return filled(annotation, leaves)
    if issubclass(annotation, enum.Enum):
        return leaves.choice(where, tuple(annotation))
    return _leaf(annotation, metadata, where, leaves)


def _leaf(kind: type, metadata: Sequence[Any], where: str, leaves: Leaves) -> Any:
    limits = _limits(metadata)
    if kind is bool:
        return leaves.choice(where, (True, False))
    if kind is str:
        thing = next((mark.thing for mark in metadata if isinstance(mark, Refers)), None)
        if thing is not None:
            return leaves.reference(where, thing, limits["pattern"])
        pattern = limits.get("pattern")
        if pattern is None and limits.get("min_length", 1) > 1:
            pattern = f"^[A-Z0-9]{{{limits['min_length']}}}$"
        return leaves.text(where, pattern, limits.get("max_length", 80))
    if kind in {datetime, AwareDatetime}:
        return leaves.moment(where)
    if kind is date:
        return leaves.day(where)
    low = limits.get("gt", limits.get("ge"))
    return leaves.number(where, kind, low, limits.get("lt", limits.get("le")))


def _limits(metadata: Sequence[Any]) -> dict[str, Any]:
    """Return the limits in a field's marks: gt, ge, lt, le, min_length, max_length, pattern."""
    flat = [mark for entry in metadata for mark in (entry.metadata if isinstance(entry, FieldInfo) else [entry])]
    names = ("gt", "ge", "lt", "le", "min_length", "max_length", "pattern")
    return {name: value for mark in flat for name in names if (value := getattr(mark, name, None)) is not None}
