"""Orders: pulling a repeat order into a reprint package, the contract review, and the end of an order line."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Literal

from vault.actions.context import Vault
from vault.actions.packaging import Issued, issue
from vault.actions.reading import Reader
from vault.actions.readying import Answered, Question, answer
from vault.actions.refusing import refuse_on_stops
from vault.actions.writing import Draft, keep_file, record_of, require, write
from vault.errors import BadInput, Clash, Refused
from vault.interfaces import StoredFile
from vault.model.design import KeptFile
from vault.model.ids import AllottedId, Thing, parse_part_at
from vault.model.orders import CallOff, Clause, ContractReview, Order, OrderVoid
from vault.model.words import FileRole
from vault.rules.facts import Facts, PoFacts
from vault.rules.labels import PoLabel, read_po_label
from vault.rules.permissions import Verb


@dataclass(frozen=True)
class NewOrder:
    """One line of a PO as a clerk types it. `part` may name a revision too: PART@REV."""

    part: str
    po: str
    po_line: str
    po_revision: str | None
    schedule: tuple[CallOff, ...]
    amendment: str | None = None
    confirm_first_issue: bool = False
    over_allowed: int = 0
    under_allowed: int = 0
    clauses: tuple[Clause, ...] = ()
    received_on: date | None = None
    document: Path | None = None
    older_revision: Path | None = None
    settings: str | None = None
    note: str | None = None

    @property
    def quantity(self) -> int:
        """Pieces ordered."""
        return sum(call.quantity for call in self.schedule)


@dataclass(frozen=True)
class Review:
    """What a person says after holding the PO against quote, revision, clauses and capacity."""

    quote_agrees: Literal["agrees", "no quote was made", "does not agree"] = "no quote was made"
    revision_agrees: bool = True
    capacity_agrees: bool = True
    open_points: tuple[str, ...] = ()


@dataclass(frozen=True)
class Reordered:
    """The order as recorded, what it was judged on, and its package where one was made."""

    order: Order
    answered: Answered
    issued: Issued | None


def ask_about(vault: Vault, new: NewOrder) -> Answered:
    """Judge an order before anything is recorded. Raises NotFound, BadInput."""
    return answer(vault, Reader(vault.store.at(), vault.index), _question(new))


def _question(new: NewOrder) -> Question:
    named = parse_part_at(new.part)
    po = PoFacts(
        written=read_po_label(new.po_revision),
        dash_confirmed=new.confirm_first_issue,
        older_revision_document=new.older_revision is not None,
        first_due=min((call.due for call in new.schedule), default=None),
    )
    return Question(named.part, named.revision, new.quantity, new.settings, po)


def record_order(vault: Vault, new: NewOrder, review: Review | None, must_be_ready: bool = True) -> Reordered:
    """Record an order line, with its contract review where one is given.

    Raises:
        Refused: A finding stops (unless the order shall only wait), or the PO line is recorded already.
        BadInput: A quantity or date is impossible.
    """
    # gather
    if not new.schedule:
        raise BadInput("an order needs at least one date with a quantity")
    kept: list[tuple[KeptFile, StoredFile]] = []
    document = _keep(vault, new.document, kept)
    older = _keep(vault, new.older_revision, kept)
    outcome: list[Reordered] = []

    # decide and write
    def decide(reader: Reader, draft: Draft) -> str:
        answered = answer(vault, reader, _question(new))
        facts = answered.facts
        card = facts.history.card
        if must_be_ready:
            refuse_on_stops(f"nothing was recorded for {card.number}:", answered.readiness.findings)
        _refuse_twice(reader, card.number, card.customer, new)
        order = _order(draft, facts, new, document, older)
        draft.add(order, {named.sha256: stored for named, stored in kept})
        if review is not None:
            draft.add(_review(draft, order, review))
        outcome[:] = [Reordered(order, answered, None)]
        return f"{order.id}: {new.quantity} of {card.number} on PO {new.po} line {new.po_line}"

    write(vault, Verb.ORDER, decide)
    return outcome[0]


def _order(draft: Draft, facts: Facts, new: NewOrder, document: KeptFile | None, older: KeptFile | None) -> Order:
    """Make the order's record; a PO that names no revision orders none until it is amended."""
    card = facts.history.card
    names_one = facts.po is not None and facts.po.written.reads_as is not PoLabel.NAMES_NONE
    return record_of(
        draft,
        Order,
        id=draft.allot(Thing.ORDER),
        customer=card.customer,
        part=card.number,
        revision=facts.asked.id if facts.asked and names_one else None,
        po=new.po,
        po_line=new.po_line,
        amendment=new.amendment,
        revision_as_written=new.po_revision or None,
        dash_confirmed_by=draft.by if new.confirm_first_issue else None,
        quantity=new.quantity,
        over_allowed=new.over_allowed,
        under_allowed=new.under_allowed,
        schedule=new.schedule,
        clauses=new.clauses,
        received_on=new.received_on or draft.at.date(),
        document=document,
        older_revision_document=older,
        settings=facts.settings.id if facts.settings and new.settings else None,
        note=new.note,
    )


def _keep(vault: Vault, path: Path | None, kept: list[tuple[KeptFile, StoredFile]]) -> KeptFile | None:
    if path is None:
        return None
    kept.append(keep_file(vault, path, FileRole.EVIDENCE))
    return kept[-1][0]


def _refuse_twice(reader: Reader, part: str, customer: str, new: NewOrder) -> None:
    """One PO line is ordered once: a second entry is a second shipment."""
    for recorded in reader.referring(Thing.PART, part, Order):
        order = reader.order(recorded.id).order
        same = (order.customer, order.po.casefold(), order.po_line.casefold(), order.amendment)
        asked = (customer, new.po.casefold(), new.po_line.casefold(), new.amendment)
        if same == asked and reader.order(order.id).void is None:
            words = f"PO {new.po} line {new.po_line} is recorded already as {order.id}"
            raise Refused(f"{words}; void it first, or type the amendment with --amendment")


def _review(draft: Draft, order: Order, review: Review) -> ContractReview:
    return record_of(
        draft,
        ContractReview,
        id=draft.new_ulid(),
        order=order.id,
        reviewed_by=draft.by,
        revision_agrees=review.revision_agrees,
        quote_agrees=review.quote_agrees,
        clauses_accounted_for=tuple(clause.words for clause in order.clauses),
        capacity_agrees=review.capacity_agrees,
        open_points=review.open_points,
    )


def reorder(
    vault: Vault, new: NewOrder, review: Review, folder: Path, told: Callable[[str], None] = lambda words: None
) -> Reordered:
    """Record a repeat order and its review, and make its reprint package.

    The order is one commit and the package the next: if the second is refused, the order stays and says so.

    Raises:
        Refused: A finding stops; nothing was recorded, or the order was and the message names it.
        NotAllowed: This person may not make packages.
    """
    require(vault, Reader(vault.store.at(), vault.index), Verb.PACKAGE)
    recorded = record_order(vault, new, review)
    told(f"{recorded.order.id} recorded")
    try:
        issued = issue(vault, recorded.order.id, folder)
    except (Refused, Clash, BadInput) as stopped:
        again = f"`partstead package issue {recorded.order.id}`"
        # The order is written: what comes now must not end as bad input, with which nothing is.
        kind = Clash if isinstance(stopped, Clash) else Refused
        raise kind(f"order {recorded.order.id} is recorded, its package is not: {stopped}\n{again}") from stopped
    return replace(recorded, issued=issued)


def review_order(vault: Vault, order_id: str, review: Review) -> ContractReview:
    """Record a contract review. A later one takes the place of an earlier. Raises NotFound."""
    made: list[ContractReview] = []

    def decide(reader: Reader, draft: Draft) -> str:
        recorded = reader.order(order_id)
        if recorded.void is not None:
            raise Refused(f"{order_id} was voided: {recorded.void.reason}")
        made[:] = [_review(draft, recorded.order, review)]
        draft.add(made[0])
        return f"{order_id}: contract review, {'clear' if made[0].is_clear else 'with open points'}"

    write(vault, Verb.REVIEW, decide)
    return made[0]


def void_order(vault: Vault, order_id: str, reason: str) -> AllottedId:
    """Cancel an order line. Raises NotFound; Refused where it was voided or shipped already."""

    def decide(reader: Reader, draft: Draft) -> str:
        recorded = reader.order(order_id)
        if recorded.void is not None:
            raise Refused(f"{order_id} was voided already: {recorded.void.reason}")
        draft.add(record_of(draft, OrderVoid, id=draft.new_ulid(), order=recorded.order.id, reason=reason))
        return f"{order_id} voided: {reason}"

    write(vault, Verb.ORDER, decide)
    return AllottedId(order_id)
