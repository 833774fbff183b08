"""Readiness, last question: what about this order? Review, packages already out, dates, kept pieces."""

from collections.abc import Iterator

from vault import units
from vault.model.findings import Code, Finding
from vault.model.words import Role
from vault.rules.facts import Facts, OrderFacts
from vault.rules.finding import caution, note, stop


def order_findings(facts: Facts) -> Iterator[Finding]:
    """Yield what the order itself adds."""
    if facts.po is not None and facts.po.first_due is not None and facts.po.first_due < facts.today:
        yield caution(Code.DUE_DATE_PAST, f"due on {facts.po.first_due}, which is past", Role.CLERK, Role.DESK)
    if facts.order is not None:
        yield from _recorded_order(facts.order)
        yield from _other_revision(facts, facts.order)
    for kept in facts.kept:
        if facts.asked is not None and kept.revision == facts.asked.id:
            words = f"{units.pieces(kept.count)} of rev {facts.asked.label} kept from lot {kept.lot}, {kept.where}"
            yield note(Code.SURPLUS_KEPT, words)


def _other_revision(facts: Facts, order: OrderFacts) -> Iterator[Finding]:
    """The order keeps the one design that it is for: it must be the one that its label means today."""
    if facts.asked is None or facts.asked.id == order.revision:
        return
    label, command = facts.asked.label, f"partstead order amend {order.order_id} --because REASON"
    if order.revision is None:
        words = f"order {order.order_id} was recorded before rev {label} was, so it is for no recorded revision yet"
        yield stop(Code.PO_NAMES_NO_REVISION, words, Role.CLERK, Role.DESK, next_command=command)
    else:
        words = f"order {order.order_id} was recorded for another design than the one that is rev {label} now"
        yield stop(Code.PO_REVISION_DIFFERS, words, Role.CLERK, Role.DESK, next_command=command)


def _recorded_order(order: OrderFacts) -> Iterator[Finding]:
    if order.is_void:
        yield stop(Code.ORDER_VOID, f"order {order.order_id} was voided", Role.CLERK)
    for package in order.live_packages:
        command = f"partstead package supersede {package} --because REASON"
        words = f"order {order.order_id} has the package {package} already"
        yield stop(Code.LIVE_PACKAGE, words, Role.ENGINEER, next_command=command)
    review = order.review
    if review is None or (order.amended_at is not None and review.at < order.amended_at):
        why = "is missing" if review is None else "was made before the order was amended"
        words = f"the contract review of {order.order_id} {why}"
        yield stop(Code.REVIEW_MISSING, words, Role.CLERK, Role.DESK, next_command=f"partstead review {order.order_id}")
        return
    unanswered = [clause for clause in order.clauses if clause not in review.clauses_accounted_for]
    if not review.is_clear or unanswered:
        open_points = ", ".join((*review.open_points, *unanswered)) or "revision, quote or capacity does not agree"
        yield stop(
            Code.REVIEW_NOT_CLEAR, f"the contract review of {order.order_id} is not clear: {open_points}", Role.DESK
        )
