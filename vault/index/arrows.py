"""Where in a record's JSON its references stand: worked out once per kind, from the marks on the model's fields.

A register is rebuilt from hundreds of thousands of records, and checking each in full takes most of that time. So the
index reads the JSON itself. `records.references` stays the authority: tests hold every arrow found here against it.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Annotated, Any, get_args, get_origin

from vault.model.base import Record, Value
from vault.model.ids import Refers, Thing
from vault.records.kinds import BY_KIND
from vault.records.references import own_name

Form = Mapping[str, Any]
Arrow = tuple[str, str, str]
"""(field, thing, name): plain strings, as they go into a row."""


@dataclass(frozen=True)
class Marked:
    """One place in a record that may hold references: the keys that lead there, and what stands there."""

    keys: tuple[str, ...]
    thing: str

    @property
    def field(self) -> str:
        """The place as `records.references` names it, such as "placed.lot"."""
        return ".".join(self.keys)


@dataclass(frozen=True)
class Plan:
    """How to read the references of one kind of record."""

    thing: str | None  # what others call such a record, or None where nothing can point at it
    name_key: str | None
    flat: tuple[tuple[str, str], ...]  # (key, thing) of references that stand in the record itself
    nested: tuple[Marked, ...]


def _marks_in(annotation: Any) -> Iterator[Refers | type[Value]]:
    """Yield the marks and the nested values in a type such as `tuple[LotRef, ...]` or `NearNet | None`."""
    if get_origin(annotation) is Annotated:
        yield from (mark for mark in annotation.__metadata__ if isinstance(mark, Refers))
    if isinstance(annotation, type) and issubclass(annotation, Value):
        yield annotation
    for inner in get_args(annotation):
        yield from _marks_in(inner)


def _marked(model: type[Value], before: tuple[str, ...] = ()) -> Iterator[Marked]:
    for name, info in model.model_fields.items():
        keys = (*before, name)
        outer = [mark for mark in info.metadata if isinstance(mark, Refers)]
        for mark in (*outer, *_marks_in(info.annotation)):
            if isinstance(mark, Refers):
                yield Marked(keys, mark.thing.value)
            else:
                yield from _marked(mark, keys)


def _name_key(model: type[Record]) -> tuple[Thing | None, str | None]:
    """Ask `own_name` which field names the record, by showing it one whose fields hold their own names."""
    fields: dict[str, Any] = {name: name for name in model.model_fields}
    return own_name(model.model_construct(**fields)) or (None, None)


@cache
def plan_of(kind: str) -> Plan:
    """Return how to read the references of a kind that the register knows."""
    model = BY_KIND[kind]
    thing, name_key = _name_key(model)
    marks = dict.fromkeys(_marked(model))
    flat = tuple((mark.keys[0], mark.thing) for mark in marks if len(mark.keys) == 1)
    nested = tuple(mark for mark in marks if len(mark.keys) > 1)
    return Plan(thing.value if thing else None, name_key, (("by", Thing.PERSON.value), *flat), nested)


def values_at(value: Any, keys: tuple[str, ...]) -> Iterator[Any]:
    """Yield what stands at the end of `keys` in a record's JSON, going into every item of a list on the way."""
    if isinstance(value, list):
        for item in value:
            yield from values_at(item, keys)
    elif not keys:
        yield value
    elif isinstance(value, dict):
        yield from values_at(value.get(keys[0]), keys[1:])


def name_of(plan: Plan, form: Form) -> str | None:
    """Return what others call this record, or None where nothing points at its kind.

    Raises:
        KeyError: The record lacks the field that names it.
        TypeError: The name is no text.
    """
    if plan.name_key is None:
        return None
    name = form[plan.name_key]
    if not isinstance(name, str):
        raise TypeError(f"{plan.name_key} is no text")
    return name


def arrows_of(plan: Plan, form: Form, name: str | None) -> tuple[Arrow, ...]:
    """Return every reference in a record's JSON, each once; who wrote it counts, the record's own name does not."""
    found: dict[Arrow, None] = {}
    for key, thing in plan.flat:
        value = form.get(key)
        if isinstance(value, str):
            found[(key, thing, value)] = None
        elif value is not None:
            found.update((arrow, None) for arrow in _arrows(key, thing, values_at(value, ())))
    for mark in plan.nested:
        if form.get(mark.keys[0]):
            found.update((arrow, None) for arrow in _arrows(mark.field, mark.thing, values_at(form, mark.keys)))
    if plan.thing is not None:
        found = {arrow: None for arrow in found if arrow[2] != name or arrow[1] != plan.thing or arrow[0] == "by"}
    return tuple(found)


def _arrows(field: str, thing: str, values: Iterator[Any]) -> Iterator[Arrow]:
    return ((field, thing, value) for value in values if isinstance(value, str))
