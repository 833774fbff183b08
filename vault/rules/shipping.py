"""May these pieces go to this order? Right revision, released and accepted, good, free, counted, and not too many."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from vault import units
from vault.model.cards import Gauge
from vault.model.decisions import Hold
from vault.model.evidence import Measurement, Nonconformance
from vault.model.findings import Code, Finding, stops
from vault.model.orders import Order
from vault.model.words import Role, Stage
from vault.rules.finding import caution, stop
from vault.rules.gauges import calibration_findings
from vault.rules.history import PartHistory
from vault.rules.holds import hold_findings
from vault.rules.lots import LotHistory, balance_findings


@dataclass(frozen=True)
class ShipFacts:
    """Everything that bears on a delivery."""

    order: Order
    lot: LotHistory
    history: PartHistory  # of the part ordered
    quantity: int
    serials: tuple[str, ...] = ()
    delivered_before: int = 0  # to this order, from any lot
    void_because: str | None = None
    holds: tuple[tuple[str, Hold], ...] = ()  # on the part, the lot, and everything that its pieces are made of
    open_nonconformances: tuple[Nonconformance, ...] = ()  # on the lot and the lots above it
    measurements: tuple[Measurement, ...] = ()  # of the lot and the lots above it
    gauges: Mapping[str, Gauge] = field(default_factory=dict)
    acceptance_scope: tuple[Finding, ...] = ()  # what the acceptance says about the pieces of this order


def shipping_findings(facts: ShipFacts) -> Iterator[Finding]:
    """Yield what stands against shipping these pieces to this order."""
    yield from balance_findings(facts.lot)
    yield from hold_findings(facts.holds)
    yield from _open_findings(facts)
    yield from _piece_findings(facts)
    yield from _revision_findings(facts)
    yield from _gauge_findings(facts)
    yield from facts.acceptance_scope
    yield from _order_findings(facts)


def _open_findings(facts: ShipFacts) -> Iterator[Finding]:
    for found in facts.open_nonconformances:
        words = f"{found.id} is open on lot {found.lot}: {found.words}"[:500]
        command = f"partstead nonconformance decide {found.id} --decision DECISION --count N"
        yield stop(Code.NONCONFORMANCE_OPEN, words, Role.QUALITY, next_command=command)


def _piece_findings(facts: ShipFacts) -> Iterator[Finding]:
    lot = facts.lot
    if lot.finish is None:
        command = f"partstead lot finish {lot.lot.id} --good N"
        yield stop(Code.STILL_RUNNING, f"lot {lot.lot.id} is not finished", Role.CLERK, next_command=command)
    elif facts.quantity > lot.left:
        words = f"lot {lot.lot.id} has {lot.left} good pieces left, not {facts.quantity}"
        yield stop(Code.COUNTS_DO_NOT_BALANCE, words, Role.CLERK)
    if not lot.lot.production_representative and facts.history.stage is not Stage.PROTOTYPE:
        words = f"lot {lot.lot.id}: development pieces, not a production run; they are shipped as prototypes only"
        yield stop(Code.NOT_PRODUCTION_RUN, words, Role.QUALITY)


def _revision_findings(facts: ShipFacts) -> Iterator[Finding]:
    lot, order, history = facts.lot.lot, facts.order, facts.history
    if lot.part != order.part:
        yield stop(Code.LOTS_DIFFER, f"lot {lot.id} is of {lot.part}, the order is for {order.part}", Role.CLERK)
        return
    label = history.label_of(lot.revision)
    if lot.revision != order.revision:
        asked = history.label_of(order.revision) if order.revision else "none"
        words = f"lot {lot.id} is rev {label}, the order is for rev {asked}: the wrong revision"
        yield stop(Code.PO_REVISION_DIFFERS, words, Role.DESK)
    withdrawal = history.withdrawal_of(lot.revision)
    if withdrawal is not None:
        words = f"rev {label}: its {withdrawal.what} was withdrawn on {withdrawal.at:%Y-%m-%d}: {withdrawal.reason}"
        yield stop(Code.WITHDRAWN, words[:500], Role.ENGINEER, Role.DESK)
    if history.release_of(lot.revision) is None:
        command = f"partstead release {history.card.number}@{label}"
        yield stop(Code.NOT_RELEASED, f"rev {label} is not released", Role.ENGINEER, next_command=command)
    if history.acceptance_of(lot.revision) is None:
        # Prototypes go to the customer so that they can accept them.
        weigh = caution if history.stage is Stage.PROTOTYPE else stop
        yield weigh(Code.NOT_ACCEPTED, f"rev {label} was not accepted by the customer", Role.DESK)


def _gauge_findings(facts: ShipFacts) -> Iterator[Finding]:
    """A gauge past its day accepts nothing; a card that merely shows no earlier calibration is told at proving."""
    for measurement in facts.measurements:
        if measurement.gauge is not None:
            yield from stops(tuple(calibration_findings(facts.gauges[measurement.gauge], measurement.measured_on)))


def _order_findings(facts: ShipFacts) -> Iterator[Finding]:
    order, before = facts.order, facts.delivered_before
    if facts.void_because is not None:
        yield stop(Code.ORDER_VOID, f"order {order.id} was voided: {facts.void_because}"[:500], Role.CLERK)
    allowed = order.quantity + order.over_allowed
    if before + facts.quantity > allowed:
        room = f"order {order.id} allows {units.pieces(allowed)}"
        words = f"{room}; {before} went already, {facts.quantity} more are too many"
        yield stop(Code.COUNTS_DO_NOT_BALANCE, words, Role.DESK, Role.CLERK)
    given = len(set(facts.serials))
    if any(clause.about == "serials" for clause in order.clauses) and given != facts.quantity:
        words = f"order {order.id} asks for a serial on every piece, and {given} were given"
        yield stop(Code.SERIALS_MISSING, words, Role.CLERK)
