"""Concession or permit? By when it was granted and when the pieces were made; and who may grant one at all."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date

from vault.model.cards import Part, Person
from vault.model.decisions import Concession, Permit
from vault.model.evidence import DispositionEntry
from vault.model.findings import Code, Finding
from vault.model.floor import Lot
from vault.model.words import Authority, Role
from vault.rules.finding import caution


def granter_reasons(card: Part, granted_by: str, people: Iterable[Person]) -> Iterator[str]:
    """Yield why this person may not grant: on a customer's design nobody in the shop may."""
    if card.design_authority is Authority.SHOP:
        return
    name = granted_by.strip().casefold()
    if any(name in {person.handle.casefold(), person.name.casefold()} for person in people):
        yield (
            f"{granted_by} works in this shop, and {card.number} is the design of {card.customer}: only the customer "
            "grants; name the person there and attach what they wrote"
        )


def concession_reasons(granted_on: date, made: Iterable[tuple[str, date]]) -> Iterator[str]:
    """Yield why this is no concession: it lets pieces that exist be used (ISO 9000:2015, 3.12.5, second-hand).

    `made` holds each lot with the day on which it was started.
    """
    for lot, started_on in made:
        if granted_on < started_on:
            words = f"lot {lot} was started on {started_on}, after {granted_on}"
            yield f"{words}: what is granted before making is a permit, `partstead permit add`"


def permit_reasons(granted_on: date, made: Iterable[tuple[str, date]]) -> Iterator[str]:
    """Yield why this is no permit: it lets the shop depart before making (ISO 9000:2015, 3.12.6, second-hand)."""
    for lot, started_on in made:
        if started_on < granted_on:
            words = f"lot {lot} was started on {started_on}, before {granted_on}"
            yield f"{words}: what is granted after making is a concession, `partstead concession add`"


def running_lots_findings(granted_on: date, running: Iterable[tuple[str, date]]) -> Iterator[Finding]:
    """Yield a caution for each lot that was started before the permit and goes on: the permit is not for it."""
    for lot, started_on in running:
        if started_on < granted_on:
            words = f"lot {lot} was started on {started_on}, before the permit; its pieces need a concession"
            yield caution(Code.CONCESSION_IN_FORCE, words, Role.QUALITY)


def concession_used(concession: Concession, decisions: Iterable[DispositionEntry]) -> int:
    """Return how many pieces were decided about under a concession: each decision names the one it rests on."""
    return sum(decision.count for decision in decisions if decision.concession == concession.id)


def permit_used(permit: Permit, lots: Iterable[Lot]) -> int:
    """Return how many pieces were started under a permit: since it was recorded, with its revision and settings.

    Children of a lot are the same pieces again and count once, with their first parent.
    """
    return sum(
        lot.count
        for lot in lots
        if not lot.parents
        and lot.at >= permit.at
        and lot.revision == permit.revision
        and permit.settings in {None, lot.settings}
    )


def cover_reasons(
    concession: Concession, family: Sequence[Lot], characteristic: str | None, count: int, used: int, today: date
) -> Iterator[str]:
    """Yield why a concession does not cover these pieces; `used` pieces were used under it before.

    `family` is the lot of the pieces, and after it the lots that it was split or merged from: a concession for a lot
    is for its children too.
    """
    lot = family[0]
    granted, name = concession.permission, f"concession {concession.permission.reference}"
    if lot.revision != concession.revision or not any(above.id in concession.lots for above in family):
        yield f"{name} is not for lot {lot.id}"
    if granted.characteristics and characteristic is not None and characteristic not in granted.characteristics:
        yield f"{name} is for characteristic {', '.join(granted.characteristics)}, not for {characteristic}"
    if granted.until is not None and today > granted.until:
        yield f"{name} ended on {granted.until}"
    if granted.quantity is not None and used + count > granted.quantity:
        yield f"{name} is for {granted.quantity} pieces; {used} are used, {count} more are asked for"
