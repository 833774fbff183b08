"""What a customer may see of their own parts: the only builder of a `CustomerView`.

Everything is left out unless it is taken here by name: no settings, proofs, measurements, machines, yields, costs,
holds or notes, nobody in the shop, and nothing of another customer.
"""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from vault.model.cards import Customer, RegisterCard
from vault.model.customer_view import ConcessionView, CustomerView, DeliveryView, PartView, RevisionView
from vault.model.decisions import Acceptance, Concession, Permit
from vault.model.design import Revision
from vault.model.orders import Delivery, Order
from vault.model.words import Authority
from vault.rules.change_words import change_sentences
from vault.rules.history import PartHistory

LEFT_OUT = "(left out here: this text names somebody else)"
"""Stands in place of a text in which another customer is named."""

_TYPED = frozenset({
    "description", "reason", "requested_by", "changes", "accepted_by", "acceptance_conditions", "reference",
    "granted_by", "words",
})  # fmt: skip
"""Fields of a view that hold what somebody typed, where another customer may be named by mistake."""


@dataclass(frozen=True)
class Shipped:
    """One delivery, with the order line that it belongs to and the revision that its lot was made to."""

    delivery: Delivery
    order: Order
    revision: str


@dataclass(frozen=True)
class Answering:
    """All that a view is made from: a customer, their parts, what was shipped, and the other customers' cards."""

    register: RegisterCard
    customer: Customer
    parts: Sequence[PartHistory]
    shipped: Sequence[Shipped]
    others: Sequence[Customer]
    head: str
    generated_at: datetime


def customer_view(facts: Answering) -> CustomerView:
    """Build what this customer may see.

    A revision is shown once the customer knows it: they accepted it, got pieces of it, or granted a concession on it.
    Any other one is left out, or shown as under review where the customer's card says so.

    Raises:
        ValueError: One of the parts is another customer's.
    """
    strangers = [history.card.number for history in facts.parts if history.card.customer != facts.customer.code]
    if strangers:
        raise ValueError(f"{strangers[0]} is no part of {facts.customer.code}")
    view = CustomerView(
        shop=facts.register.name,
        customer=facts.customer.name,
        generated_at=facts.generated_at,
        head=facts.head,
        parts=tuple(_part(facts, history) for history in facts.parts),
        demo=facts.register.demo,
    )
    return _without_names_of(facts.others, view)


def _part(facts: Answering, history: PartHistory) -> PartView:
    card = history.card
    shipped = [s for s in facts.shipped if (s.order.part, s.order.customer) == (card.number, facts.customer.code)]
    shown = [revision for revision in history.revisions if _is_shown(facts, history, shipped, revision)]
    stage = f"{history.stage} since {history.moves[-1].at:%Y-%m-%d}" if history.moves else str(history.stage)
    return PartView(
        number=card.number,
        customer_number=card.customer_number,
        description=card.description,
        stage=stage,
        revisions=tuple(_revision(history, shown, shipped, revision) for revision in reversed(shown)),
        concessions=tuple(_concession(history, granted) for granted in _granted(history)),
    )


def _is_shown(facts: Answering, history: PartHistory, shipped: Sequence[Shipped], revision: Revision) -> bool:
    known = (
        _acceptance(history, revision) is not None
        or any(one.revision == revision.id for one in shipped)
        or any(granted.revision == revision.id for granted in _granted(history))
    )
    return known or (facts.customer.show_unaccepted_revisions and not history.is_set_aside(revision))


def _acceptance(history: PartHistory, revision: Revision) -> Acceptance | None:
    """Return the newest acceptance, also where it was withdrawn later: the withdrawal has a date of its own."""
    return next((a for a in reversed(history.acceptances) if a.revision == revision.id), None)


def _granted(history: PartHistory) -> tuple[Concession | Permit, ...]:
    """Return what the customer granted; on the shop's own design the shop grants, and that stays inside."""
    return (*history.concessions, *history.permits) if history.card.design_authority is Authority.CUSTOMER else ()


def _revision(
    history: PartHistory, shown: Sequence[Revision], shipped: Sequence[Shipped], revision: Revision
) -> RevisionView:
    acceptance = _acceptance(history, revision)
    release = next((r for r in reversed(history.releases) if r.revision == revision.id), None)
    withdrawal = history.withdrawal_of(revision.id)
    later = shown[shown.index(revision) + 1 :]
    return RevisionView(
        label=revision.label,
        received_on=_received_on(history, revision),
        released_on=release.at.date() if release else None,
        accepted_on=acceptance.accepted_on if acceptance else None,
        withdrawn_on=withdrawal.at.date() if withdrawal else None,
        superseded_by=next((newer.label for newer in later if history.acceptance_of(newer.id)), None),
        under_review=acceptance is None,
        reason=revision.reason,
        requested_by=revision.requested_by,
        changes=_changes(history, shown, revision),
        accepted_by=acceptance.accepted_by if acceptance else None,
        accepted_basis=acceptance.basis if acceptance else None,
        acceptance_conditions=acceptance.conditions if acceptance else None,
        deliveries=tuple(_delivery(one) for one in shipped if one.revision == revision.id),
    )


def _received_on(history: PartHistory, revision: Revision) -> date:
    """Return the day on which the files arrived; where no receipt was kept, they were here when they were recorded."""
    receipt = next((r for r in history.receipts if r.id == revision.receipt), None)
    return receipt.arrived_on if receipt else revision.at.date()


def _changes(history: PartHistory, shown: Sequence[Revision], revision: Revision) -> tuple[str, ...]:
    since = history.changed_since.get(revision.id, revision.follows)
    before = next((other for other in shown if other.id == since), None)
    if since is not None and before is None:
        earlier = shown[: shown.index(revision)]
        # The step was measured from a revision that this customer does not see: its size would tell of that one.
        return change_sentences(None, None, earlier[-1].label) if earlier else ()
    change = history.changes.get(revision.id)
    return change_sentences(change, history.requirements.get(revision.id), before.label if before else None)


def _delivery(one: Shipped) -> DeliveryView:
    return DeliveryView(
        order=one.order.id,
        po=one.order.po,
        po_line=one.order.po_line,
        quantity=one.delivery.quantity,
        shipped_on=one.delivery.shipped_on,
    )


def _concession(history: PartHistory, granted: Concession | Permit) -> ConcessionView:
    permission = granted.permission
    return ConcessionView(
        reference=permission.reference,
        revision=history.label_of(granted.revision),
        granted_by=permission.granted_by,
        granted_on=permission.granted_on,
        words=permission.words,
        quantity=permission.quantity,
        until=permission.until,
    )


def _without_names_of(others: Sequence[Customer], view: CustomerView) -> CustomerView:
    """Replace each typed text in which another customer's name or code stands as a word of its own."""
    names = sorted({name for other in others for name in (other.name, other.code) if len(name) > 1})
    if not names:
        return view
    found = re.compile(rf"(?<!\w)({'|'.join(map(re.escape, names))})(?!\w)", re.IGNORECASE)
    parts = tuple(PartView.model_validate(_masked(part.model_dump(), found.search)) for part in view.parts)
    return view.model_copy(update={"parts": parts})


def _masked(form: Mapping[str, Any], names_somebody: Callable[[str], object]) -> dict[str, Any]:
    def clean(key: str, value: Any) -> Any:
        if isinstance(value, tuple):
            return tuple(clean(key, item) for item in value)
        if isinstance(value, dict):
            return _masked(value, names_somebody)
        return LEFT_OUT if key in _TYPED and isinstance(value, str) and names_somebody(value) else value

    return {key: clean(key, value) for key, value in form.items()}
