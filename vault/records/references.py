"""What a record points at: read from the marks on its fields, never from a second list."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Annotated, Any, get_args, get_origin

from pydantic.fields import FieldInfo

from vault.model.base import Record, Value
from vault.model.design import KeptFile
from vault.model.ids import Refers, Thing


@dataclass(frozen=True)
class Reference:
    """One arrow: the field that holds it, and what it points at."""

    field: str
    thing: Thing
    name: str


def _thing_in(annotation: Any) -> Thing | None:
    """Return the mark in a type such as `tuple[LotRef, ...]` or `LotRef | None`."""
    if get_origin(annotation) is Annotated:
        for mark in annotation.__metadata__:
            if isinstance(mark, Refers):
                return mark.thing
    for inner in get_args(annotation):
        if (thing := _thing_in(inner)) is not None:
            return thing
    return None


def _thing_of(info: FieldInfo) -> Thing | None:
    for mark in info.metadata:
        if isinstance(mark, Refers):
            return mark.thing
    return _thing_in(info.annotation)


@cache
def _marked(model: type[Value]) -> tuple[tuple[str, Thing | None], ...]:
    return tuple((name, _thing_of(info)) for name, info in model.model_fields.items())


def _items(value: object) -> tuple[object, ...]:
    return value if isinstance(value, tuple) else (value,)


def _walk(value: Value, prefix: str) -> Iterator[Reference]:
    for name, thing in _marked(type(value)):
        for item in _items(getattr(value, name)):
            if isinstance(item, Value):
                yield from _walk(item, f"{prefix}{name}.")
            elif thing is not None and isinstance(item, str):
                yield Reference(f"{prefix}{name}", thing, item)


def references(record: Record) -> tuple[Reference, ...]:
    """Return every other record that this one points at; `by` counts as a person, its own id does not."""
    own = own_name(record)
    found = [Reference("by", Thing.PERSON, record.by)]
    found += [reference for reference in _walk(record, "") if (reference.thing, reference.name) != own]
    return tuple(dict.fromkeys(found))


def own_name(record: Record) -> tuple[Thing, str] | None:
    """Return what others call this record, such as ("lot", "L-26A0118"); None where nothing can point at it."""
    thing = _OWN_THING.get(record.KIND)
    if thing is None:
        ulid = getattr(record, "id", None)
        return (Thing.ENTRY, str(ulid)) if ulid is not None else None
    attribute = {Thing.CUSTOMER: "code", Thing.PART: "number", Thing.PERSON: "handle"}.get(thing, "id")
    return (thing, str(getattr(record, attribute)))


_OWN_THING = {
    "customer": Thing.CUSTOMER, "part": Thing.PART, "person": Thing.PERSON, "machine": Thing.MACHINE,
    "material": Thing.MATERIAL, "box": Thing.BOX, "furnace": Thing.FURNACE, "gauge": Thing.GAUGE,
    "receipt": Thing.RECEIPT, "revision": Thing.REVISION, "settings": Thing.SETTINGS, "order": Thing.ORDER,
    "lot": Thing.LOT, "box-run": Thing.BOX_RUN, "load": Thing.LOAD, "blend": Thing.BLEND,
    "nonconformance": Thing.NONCONFORMANCE, "delivery": Thing.DELIVERY, "return": Thing.RETURN,
    "escape": Thing.ESCAPE, "package": Thing.PACKAGE,
}  # fmt: skip


def _files(value: Value) -> Iterator[KeptFile]:
    for name in type(value).model_fields:
        for item in _items(getattr(value, name)):
            if isinstance(item, KeptFile):
                yield item
            elif isinstance(item, Value):
                yield from _files(item)


def files_of(record: Record) -> tuple[KeptFile, ...]:
    """Return every original that the record names."""
    return tuple(dict.fromkeys(_files(record)))
