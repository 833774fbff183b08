"""From what a person typed to the one part or revision that it means, or to a sentence that lists what it may mean.

Picking the wrong part is the expensive mistake here. So the shop's own number wins, any other reading must be the only
one, and a description or a near match is offered but never chosen.
"""

from collections.abc import Callable, Iterable

from vault.actions.context import Vault
from vault.actions.reading import AnyRecord, Reader
from vault.errors import BadInput, Clash, NotFound
from vault.interfaces import Hit, MatchedBy
from vault.model.cards import Part
from vault.model.design import Revision
from vault.model.ids import PartNumber, Thing, folded, parse_part_number
from vault.records import paths
from vault.rules.history import PartHistory

SHORTEST_PIECE = 3
"""Letters and digits that a piece of a number needs before it may choose a part."""

_LOOKED_AT = 200
_SHOWN = 8


def find(vault: Vault, text: str, limit: int = 20) -> tuple[Hit, ...]:
    """Return what fits a text, best first; near matches only where nothing else fits. `matching` finds by file."""
    vault.index.catch_up()
    return vault.index.find(text, limit)


def listing(
    reader: Reader, kind: type[AnyRecord], part: str | None = None, keep: Callable[[AnyRecord], bool] = lambda _: True
) -> tuple[AnyRecord, ...]:
    """Return the records of a kind, newest first: of one part where one is named, and only those that `keep` wants."""
    return tuple(record for record in reversed(reader.all_of(kind, part)) if keep(record))


def resolve_part(vault: Vault, reader: Reader, text: str) -> PartNumber:
    """Return the part that a person means by the shop's number, the customer's number, or a piece of either.

    Case and separators do not count. The numbers are compared on the cards of the reader's snapshot; the index only
    says which cards to look at.

    Raises:
        NotFound: Nothing fits, or several do; the sentence lists them and ends with what to type.
    """
    twins = _shop_numbers(reader, text)
    if text.strip() in twins or len(twins) == 1:
        return PartNumber(text.strip() if text.strip() in twins else twins[0])
    if twins:
        raise _ambiguous(text, [reader.part_card(number) for number in twins])
    cards, all_seen = _candidates(vault, reader, text)
    wanted = folded(text)
    whole = [card for card in cards if wanted and wanted in _numbers(card)]
    piece = [card for card in cards if _holds_piece(card, wanted)]
    fitting = whole or piece
    if len(fitting) == 1 and (whole or all_seen):
        return fitting[0].number
    if len(fitting) > 1:
        raise _ambiguous(text, fitting)
    if fitting:
        raise NotFound(f"{text!r} fits too many things to be sure that {_named(fitting)} is meant; type more of it")
    raise _unknown(text, cards)


def resolve_revision(history: PartHistory, label: str) -> Revision:
    """Return the revision with this label; C/1 and C/2 name the files of a clash, and a revision's own id works too.

    Raises:
        Clash: Several files carry the label and the customer's written answer is missing.
        NotFound: No revision is called so; the sentence lists the labels there are.
    """
    part = history.card.number
    settled = history.settled(label)
    if settled is not None:
        return settled
    called = history.called(label)
    if called:
        names = ", ".join(f"{revision.label}/{place}" for place, revision in enumerate(called, start=1))
        raise Clash(
            f"rev {called[0].label} of {part} was recorded with {len(called)} different files ({names}); record the "
            f"customer's written answer first: `partstead settle {part}@{called[0].label} --which SHA "
            "--answered-by NAME --evidence FILE`"
        )
    found = _of_a_clash(history, label) or history.revision(label.strip().upper())
    if found is not None:
        return found
    known = ", ".join(dict.fromkeys(revision.label for revision in history.revisions)) or "none yet"
    raise NotFound(f"{part} has no rev {label}; recorded are: {known}")


def _of_a_clash(history: PartHistory, label: str) -> Revision | None:
    name, slash, place = label.rpartition("/")
    if not slash or not place.isdecimal():
        return None
    called = history.called(name)
    return called[int(place) - 1] if 1 <= int(place) <= len(called) else None


def _shop_numbers(reader: Reader, text: str) -> tuple[str, ...]:
    """Return the part numbers that are this text but for case: they lie in one folder, so no index is asked."""
    try:
        number = parse_part_number(text)
    except BadInput:
        return ()
    beside = paths.part_folder(number).rpartition("/")[0]
    return tuple(name for name in reader.snapshot.children(beside) if name.casefold() == number.casefold())


def _candidates(vault: Vault, reader: Reader, text: str) -> tuple[list[Part], bool]:
    """Return the cards of every part that a search leads to, best hits first, and whether it saw all there is."""
    vault.index.catch_up()
    hits = vault.index.find(text, _LOOKED_AT)
    far_last = sorted(hits, key=lambda hit: hit.matched_by is MatchedBy.NEAR)
    numbers = dict.fromkeys(hit.name if hit.thing == Thing.PART else hit.part for hit in far_last)
    known = (number for number in numbers if number and reader.snapshot.exists(paths.part_card(number)))
    return [reader.part_card(number) for number in known], len(hits) < _LOOKED_AT


def _numbers(card: Part) -> tuple[str, ...]:
    return tuple(folded(number) for number in (card.number, card.customer_number, *card.other_numbers))


def _holds_piece(card: Part, wanted: str) -> bool:
    return len(wanted) >= SHORTEST_PIECE and any(wanted in number for number in _numbers(card))


def _named(cards: Iterable[Part]) -> str:
    listed = [f"{card.number} ({card.customer} {card.customer_number}, {card.description})" for card in cards]
    more = f" and {len(listed) - _SHOWN} more" if len(listed) > _SHOWN else ""
    return "; ".join(listed[:_SHOWN]) + more


def _ambiguous(text: str, cards: list[Part]) -> NotFound:
    named = _named(cards)
    return NotFound(f"{text!r} fits {len(cards)} parts: {named}. Type the shop's number, such as {cards[0].number}")


def _unknown(text: str, cards: list[Part]) -> NotFound:
    if cards:
        return NotFound(f"no part has the number {text!r}. Did you mean {_named(cards)}? Type the shop's number")
    return NotFound(f"no part has the number {text!r}, or a piece of it; `partstead find {text}` searches everything")
