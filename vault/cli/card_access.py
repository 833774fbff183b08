"""Between the word for a kind of card and its model, its path, and the cards there are."""

from collections.abc import Callable, Sequence
from typing import Any

from vault.actions.cards import Edit, name_of
from vault.actions.context import Vault
from vault.actions.finding import resolve_part
from vault.cli.fields import nested, set_values
from vault.cli.session import reader_of
from vault.errors import BadInput
from vault.model import cards, ids
from vault.model.base import Card
from vault.records import paths

_KINDS: dict[str, tuple[type[Card], str | None]] = {
    "customer": (cards.Customer, "code"),
    "part": (cards.Part, "number"),
    "person": (cards.Person, "handle"),
    "machine": (cards.Machine, "id"),
    "material": (cards.Material, "id"),
    "box": (cards.Box, "id"),
    "furnace": (cards.Furnace, "id"),
    "gauge": (cards.Gauge, "id"),
    "rates": (cards.Rates, None),
    "policy": (cards.Policy, None),
}
_SINGLE = {"rates": paths.RATES, "policy": paths.POLICY}
_READ: dict[str, Callable[[str], str]] = {
    "customer": ids.parse_customer_code,
    "part": ids.parse_part_number,
    "person": ids.parse_handle,
}


def kind_of(word: str) -> type[Card]:
    """Return the model of a kind of card."""
    return _KINDS[word][0]


def read_name(word: str, typed: str) -> str:
    """Read the name of a card that shall be added. Raises BadInput where it cannot be kept on every system."""
    return _READ.get(word, ids.parse_card_id)(typed)


def place_of(vault: Vault, word: str, typed: str | None) -> str:
    """Return the path of the card that a person means. Raises NotFound, BadInput."""
    if typed is None:
        return _SINGLE[word]
    if word == "part":
        return paths.part_card(resolve_part(vault, reader_of(vault), typed))
    place = paths.card_path_of(ids.Thing(word), read_name(word, typed))
    assert place is not None  # every kind of this table is a card
    return place


def card_at(vault: Vault, word: str, typed: str | None) -> Card:
    """Read one card. Raises NotFound, BadInput."""
    return reader_of(vault).record(place_of(vault, word, typed), kind_of(word), typed or "")


def all_cards(vault: Vault, word: str) -> list[Card]:
    """Read all cards of a kind, by name."""
    return sorted(reader_of(vault).all_of(kind_of(word)), key=name_of)


def typed_fields(word: str, pairs: Sequence[tuple[str, str]], handy: dict[str, str | None]) -> dict[str, Any]:
    """Return the value of every field that was typed, by its dotted name. Raises BadInput."""
    named = [(field, text) for field, text in handy.items() if text is not None]
    found = set_values(kind_of(word), (*named, *pairs))
    if (name_field := _KINDS[word][1]) in found:
        raise BadInput(f"{name_field} is the name of the {word}; it is typed before the options")
    return found


def new_fields(word: str, typed: str | None, read: dict[str, Any], flat: dict[str, Any]) -> dict[str, Any]:
    """Return the fields of a new card: those of a file, then those typed, then its name."""
    name_field = _KINDS[word][1]
    named = {name_field: read_name(word, typed)} if name_field is not None and typed is not None else {}
    return {**read, **nested(flat), **named}


def edits_of(flat: dict[str, Any]) -> tuple[Edit, ...]:
    """Return the fields as edits of a card. Raises BadInput where there are none."""
    if not flat:
        raise BadInput("nothing to change; name a field with --set FIELD=VALUE")
    return tuple(Edit(field, value) for field, value in flat.items())
