"""From what a person typed to the one thing in the register that has this name: a lot, a furnace, a part."""

from dataclasses import dataclass

from vault.actions.context import Vault
from vault.actions.finding import resolve_part, resolve_revision
from vault.actions.reading import Reader
from vault.errors import BadInput, NotFound
from vault.model.base import Record
from vault.model.cards import Box, Customer, Furnace, Gauge, Machine, Material, Part, Person
from vault.model.ids import Thing, is_allotted, parse_allotted, parse_customer_code, parse_part_at
from vault.records import paths
from vault.records.kinds import BY_KIND

_EQUIPMENT = ((Thing.MACHINE, Machine), (Thing.FURNACE, Furnace), (Thing.GAUGE, Gauge), (Thing.MATERIAL, Material),
              (Thing.BOX, Box))  # fmt: skip

_KINDS = {
    Thing.BOX_RUN: "box-run", Thing.LOAD: "load", Thing.BLEND: "blend", Thing.RETURN: "return", Thing.ESCAPE: "escape",
}  # fmt: skip


@dataclass(frozen=True)
class Identified:
    """A thing by its kind, the name that records know it by, and its record."""

    thing: Thing
    name: str
    record: Record


def identify(vault: Vault, reader: Reader, text: str) -> Identified:
    """Return the thing that a person means by an id, a card's id, a customer's code, or PART or PART@REVISION.

    Raises:
        NotFound: Nothing is called so, or several things are; the sentence lists them.
    """
    if is_allotted(text):
        return _allotted(reader, text)
    cards = tuple(_cards(reader, text.strip()))
    if len(cards) == 1:
        return cards[0]
    if cards:
        named = ", ".join(f"{found.thing} {found.name}" for found in cards)
        raise NotFound(
            f"{text!r} names several things: {named}. Ask for each by its own command, such as `partstead part show`"
        )
    return _part(vault, reader, text)


def _allotted(reader: Reader, text: str) -> Identified:
    allotted = parse_allotted(text)
    kind = BY_KIND[_KINDS.get(allotted.thing, str(allotted.thing))]
    return Identified(
        allotted.thing, str(allotted), reader.record(paths.record_of_id(str(allotted)), kind, str(allotted))
    )


def _cards(reader: Reader, text: str) -> list[Identified]:
    found = []
    for thing, kind in _EQUIPMENT:
        folder = paths.CARD_FOLDER_OF[kind]
        for name in reader.snapshot.children(folder):
            if name.removesuffix(".json").casefold() == text.casefold():
                card = reader.record(f"{folder}/{name}", kind, text)
                found.append(Identified(thing, name.removesuffix(".json"), card))
    customer = _customer(reader, text)
    if customer is not None:
        found.append(Identified(Thing.CUSTOMER, customer.code, customer))
    person = reader.person(text.lower()) if text.isascii() and text.replace("-", "").isalnum() else None
    if isinstance(person, Person):
        found.append(Identified(Thing.PERSON, person.handle, person))
    return found


def _customer(reader: Reader, text: str) -> Customer | None:
    try:
        return reader.maybe(paths.customer_card(parse_customer_code(text)), Customer)
    except BadInput:
        return None


def _part(vault: Vault, reader: Reader, text: str) -> Identified:
    named = parse_part_at(text)
    number = resolve_part(vault, reader, named.part)
    if named.revision is None:
        return Identified(Thing.PART, number, reader.record(paths.part_card(number), Part, number))
    revision = resolve_revision(reader.part(number), named.revision)
    return Identified(Thing.REVISION, revision.id, revision)
