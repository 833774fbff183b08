"""What of each kind a search looks at, and how a hit is called in one line."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from vault.index.arrows import Form, values_at
from vault.index.folding import plain, squashed


@dataclass(frozen=True)
class Searched:
    """One place in a record that is searched, and what a hit calls it."""

    key: str  # dots lead into nested values
    field: str


@dataclass(frozen=True)
class About:
    """How one kind of record is found: its numbers match exactly or by their beginning, its words by any piece."""

    shown: str  # the id to type
    title: str
    numbers: tuple[Searched, ...]
    words: tuple[Searched, ...] = ()


_NUMBER, _NAME, _PART = Searched("id", "number"), Searched("name", "name"), Searched("part", "part")
_CUSTOMER, _MATERIAL = Searched("customer", "customer"), Searched("material", "material")
_EQUIPMENT = About("{id}", "{name}", (_NUMBER,), (_NAME, Searched("make_and_serial", "make and serial")))

ABOUT: Mapping[str, About] = {
    "part": About(
        "{number}",
        "{description} ({customer} {customer_number})",
        (
            Searched("number", "number"),
            Searched("customer_number", "customer's number"),
            Searched("other_numbers", "other number"),
        ),
        (Searched("description", "description"), _CUSTOMER, _MATERIAL),
    ),
    "customer": About("{code}", "{name}", (Searched("code", "code"),), (_NAME,)),
    "person": About("{handle}", "{name}", (Searched("handle", "handle"),), (_NAME,)),
    "machine": _EQUIPMENT,
    "furnace": _EQUIPMENT,
    "box": _EQUIPMENT,
    "gauge": _EQUIPMENT,
    "material": _EQUIPMENT,
    "revision": About(
        "{part}@{label}",
        "revision {label} of {part}",
        (Searched("drawing_number", "drawing number"),),
    ),
    "settings": About("{number}", "settings {number} of {part}, on {machine}", ()),
    "order": About(
        "{id}",
        "PO {po} line {po_line}: {quantity} of {part}",
        (_NUMBER, Searched("po", "PO")),
        (_PART, _CUSTOMER),
    ),
    "lot": About(
        "{id}", "lot of {count}, {part}", (_NUMBER,), (_PART, Searched("order", "order"), Searched("serials", "serial"))
    ),
    "package": About(
        "{id}",
        "package for {quantity_to_deliver} of {part}, order {order}",
        (_NUMBER,),
        (_PART, Searched("order", "order")),
    ),
    "box-run": About("{id}", "box run on {machine}, {material}", (_NUMBER,), (_MATERIAL,)),
    "load": About("{id}", "{heat} in {furnace}: {cycle_name}", (_NUMBER,), (_MATERIAL,)),
    "blend": About(
        "{id}",
        "powder blend of {material}",
        (_NUMBER, Searched("parents.supplier_lot", "supplier's lot")),
        (_MATERIAL,),
    ),
    "nonconformance": About(
        "{id}", "{count} pieces of lot {lot} do not conform", (_NUMBER,), (_PART, Searched("words", "words"))
    ),
    "delivery": About(
        "{id}",
        "{quantity} pieces of order {order}, lot {lot}",
        (_NUMBER, Searched("carrier_reference", "carrier's reference")),
        (Searched("order", "order"), Searched("lot", "lot"), Searched("serials", "serial")),
    ),
    "return": About("{id}", "{quantity} pieces of {delivery} came back", (_NUMBER,), (Searched("defect", "defect"),)),
    "escape": About("{id}", "notice on {count} pieces of {delivery}", (_NUMBER,), (Searched("words", "words"),)),
}

LABELLED = {"revision": "label", "settings": "number"}
"""Kinds that are called by their part and a label: BRK-204 C, BRK-204 S2; and the field that holds the label."""

BORROWED = {"part": (("customer", "customer"), ("material", "material"))}
"""Kinds that are found by the names of other things too: (field that names it, what it is)."""

LENDERS = frozenset({"customer", "material"})
"""Kinds whose names others are found by."""

Text = tuple[str, str, str | None]
"""(field, text, squashed number or None where the text is no number)."""


def _places(about: About) -> tuple[tuple[tuple[str, ...], str, bool], ...]:
    numbers = [(tuple(place.key.split(".")), place.field, True) for place in about.numbers]
    words = [(tuple(place.key.split(".")), place.field, False) for place in about.words]
    return (*numbers, *words)


_PLACES = {kind: _places(about) for kind, about in ABOUT.items()}


def _strings(form: Form, keys: tuple[str, ...]) -> Iterator[str]:
    value: Any = form.get(keys[0])
    if isinstance(value, str):
        yield value
    elif value:
        yield from (item for item in values_at(form, keys) if isinstance(item, str))


def texts_of(kind: str, form: Form) -> tuple[Text, ...]:
    """Return the texts by which a record is found, each once; none for a kind that is not searched."""
    found: dict[Text, None] = {}
    for keys, field, is_number in _PLACES.get(kind, ()):
        for text in _strings(form, keys):
            found[(field, text, squashed(text) if is_number else None)] = None
    return tuple(found)


def search_line(texts: tuple[Text, ...]) -> str:
    """Return all texts as one line to look through: without case and accents, numbers also without separators."""
    pieces: dict[str, None] = {}
    for _, text, number in texts:
        pieces[plain(text)] = None
        if number:
            pieces[number] = None
    return " ".join(pieces)


def shown_and_title(kind: str, form: Form) -> tuple[str, str]:
    """Return the id to type for a record, and what it is in one line.

    Raises:
        KeyError: The record lacks a field that it must have.
    """
    about = ABOUT[kind]
    return about.shown.format_map(form), about.title.format_map(form)


def is_searched(kind: str) -> bool:
    """Say whether a search finds records of this kind."""
    return kind in ABOUT
