"""Cards: adding, and editing field by field so that two people's edits of one card both survive."""

import json
from dataclasses import dataclass
from typing import Any, TypeVar

from pydantic import ValidationError

from vault.actions.context import Vault
from vault.actions.reading import Reader
from vault.actions.writing import Draft, refuse_twin, write
from vault.errors import BadInput, Clash, NotFound
from vault.interfaces import CommitId
from vault.model.base import Card
from vault.model.cards import Person, Policy, Rates, RegisterCard, WriterCard
from vault.records.codec import decode_as, sentence_of
from vault.records.merge import set_field
from vault.records.paths import card_path_of, path_of
from vault.records.references import references
from vault.rules.permissions import Verb

AnyCard = TypeVar("AnyCard", bound=Card)
_OWNERS = (Person, Policy, Rates)


@dataclass(frozen=True)
class Edit:
    """One field of a card, as the person last saw it and as it shall be; a dotted field reaches inside."""

    field: str
    value: Any


def _verb(kind: type[Card]) -> Verb:
    return Verb.EDIT_PEOPLE if kind in _OWNERS else Verb.EDIT_CARDS


def card_from(kind: type[AnyCard], fields: dict[str, Any]) -> AnyCard:
    """Build a card from JSON-like fields, as strictly as a record is read. Raises BadInput."""
    try:
        return kind.model_validate_json(json.dumps(fields))
    except ValidationError as error:
        raise BadInput(sentence_of(error, kind.KIND)) from None


def add_card(vault: Vault, kind: type[AnyCard], fields: dict[str, Any]) -> AnyCard:
    """Add a card made of JSON-like fields.

    Raises:
        BadInput: A field is missing, unknown or impossible.
        Clash: There is such a card already.
        NotFound: It points at something that is not recorded.
    """
    if kind in {RegisterCard, WriterCard}:
        raise BadInput(f"a {kind.KIND} card is made by the program alone")
    made: list[AnyCard] = []

    def decide(reader: Reader, draft: Draft) -> str:
        card = card_from(kind, {**fields, "by": draft.by, "at": draft.at.isoformat()})
        path = path_of(card)
        if kind in {Policy, Rates} and reader.snapshot.exists(path):
            raise Clash(f"there is a {kind.KIND} card already; edit it")
        refuse_twin(reader, path.removesuffix("/part.json"), f"{kind.KIND} {name_of(card)}")
        _refuse_dangling(reader, card, own=path)
        draft.put(card)
        made[:] = [card]
        return f"Card of {kind.KIND} {name_of(card)} added"

    write(vault, _verb(kind), decide)
    return made[0]


def edit_card(
    vault: Vault, kind: type[AnyCard], path: str, edits: tuple[Edit, ...], seen_at: CommitId | None = None
) -> AnyCard:
    """Change fields of a card. With `seen_at`, a field that somebody else changed since then is a clash.

    Raises:
        NotFound: There is no such card.
        BadInput: A field is unknown or its value impossible.
        Clash: Somebody else changed the same field to another value since `seen_at`.
    """
    made: list[AnyCard] = []
    base = vault.store.at(seen_at) if seen_at else None

    def decide(reader: Reader, draft: Draft) -> str:
        now = reader.record(path, kind, path.rpartition("/")[2].removesuffix(".json"))
        then = decode_as(kind, base.read(path)) if base else now
        form = now.model_dump(mode="json")
        for edit in edits:
            _refuse_overwritten(form, then.model_dump(mode="json"), edit)
            set_field(form, edit.field, edit.value)
        card = card_from(kind, {**form, "by": draft.by, "at": draft.at.isoformat()})
        if path_of(card) != path:
            raise BadInput(f"the name of a {kind.KIND} is not edited; add another card")
        _refuse_dangling(reader, card, own=path)
        draft.put(card)
        made[:] = [card]
        return f"Card of {kind.KIND} {name_of(card)} edited: {', '.join(edit.field for edit in edits)}"

    write(vault, _verb(kind), decide)
    return made[0]


def _refuse_overwritten(now: dict[str, Any], then: dict[str, Any], edit: Edit) -> None:
    mine, theirs, before = edit.value, _field(now, edit.field), _field(then, edit.field)
    if theirs not in (before, mine):
        raise Clash(f"{edit.field}: somebody else made it {theirs!r} meanwhile, you want {mine!r}; look and edit again")


def _field(form: dict[str, Any], dotted: str) -> Any:
    here: Any = form
    for step in dotted.split("."):
        here = here.get(step) if isinstance(here, dict) else None
    return here


def _refuse_dangling(reader: Reader, card: Card, own: str) -> None:
    """A card may only point at what is recorded: customers, materials, boxes, people."""
    for reference in references(card):
        path = card_path_of(reference.thing, reference.name)
        if path is not None and path != own and not reader.snapshot.exists(path):
            raise NotFound(f"{reference.field}: there is no {reference.thing} {reference.name}; add it first")


def name_of(card: Card) -> str:
    """Return what people call a card."""
    for attribute in ("handle", "code", "number", "id"):
        if (name := getattr(card, attribute, None)) is not None:
            return str(name)
    return ""
