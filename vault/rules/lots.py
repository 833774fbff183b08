"""A lot folded from its entries: how many pieces are good, gone and left, and whether the counts balance."""

from dataclasses import dataclass

from vault.model.decisions import Hold, Lift
from vault.model.evidence import Measurement
from vault.model.findings import Code, Finding
from vault.model.floor import Lot, LotFinish, LotMerge, LotOperation, LotSplit, Surplus
from vault.model.orders import Delivery
from vault.model.words import Role
from vault.rules.finding import stop


@dataclass(frozen=True)
class LotHistory:
    """One lot with everything recorded under it, oldest first, and its deliveries."""

    lot: Lot
    operations: tuple[LotOperation, ...] = ()
    finish: LotFinish | None = None
    split: LotSplit | None = None
    merge: LotMerge | None = None
    surpluses: tuple[Surplus, ...] = ()
    holds: tuple[Hold, ...] = ()
    lifts: tuple[Lift, ...] = ()
    measurements: tuple[Measurement, ...] = ()
    deliveries: tuple[Delivery, ...] = ()
    inherited_loads: tuple[str, ...] = ()  # of the lots that this one was split or merged from

    @property
    def standing_holds(self) -> tuple[Hold, ...]:
        """Holds on the lot that nobody lifted."""
        lifted = {lift.hold for lift in self.lifts}
        return tuple(hold for hold in self.holds if hold.id not in lifted)

    @property
    def loads(self) -> tuple[str, ...]:
        """The furnace loads that the pieces went through, in order."""
        own = (operation.load for operation in self.operations if operation.load is not None)
        return tuple(dict.fromkeys((*self.inherited_loads, *own)))

    @property
    def has_ended(self) -> bool:
        """True where the pieces went on in other lots."""
        return self.split is not None or self.merge is not None

    @property
    def pieces_now(self) -> int:
        """Pieces that the last operation passed on."""
        return self.operations[-1].count_on if self.operations else self.lot.count

    @property
    def delivered(self) -> int:
        """Pieces that went to the customer."""
        return sum(delivery.quantity for delivery in self.deliveries)

    @property
    def left(self) -> int:
        """Good pieces not delivered, not scrapped as surplus."""
        good = self.finish.good if self.finish else 0
        return good - self.delivered - sum(s.count for s in self.surpluses if s.decision == "scrap")


def balance_findings(lot: LotHistory) -> tuple[Finding, ...]:
    """Return a stop for each operation whose counts do not explain every piece."""
    findings = []
    before = lot.lot.count
    for operation in lot.operations:
        where = f"lot {lot.lot.id}, {operation.operation}"
        if operation.unaccounted:
            words = f"{where}: {operation.count_in} pieces in, {operation.unaccounted} not accounted for"
            findings.append(stop(Code.COUNTS_DO_NOT_BALANCE, words, Role.QUALITY))
        if operation.count_in > before:
            words = f"{where}: {operation.count_in} pieces in, but only {before} came from the step before"
            findings.append(stop(Code.COUNTS_DO_NOT_BALANCE, words, Role.QUALITY))
        before = operation.count_on + operation.to_rework
    if lot.finish is not None and lot.finish.good > before:
        words = f"lot {lot.lot.id}: {lot.finish.good} good pieces, but only {before} came from the last step"
        findings.append(stop(Code.COUNTS_DO_NOT_BALANCE, words, Role.QUALITY))
    return tuple(findings)


def reasons_against_merge(lots: tuple[LotHistory, ...]) -> tuple[str, ...]:
    """Say why these lots may not become one: they must share revision, settings, blends and furnace loads."""
    first = lots[0]
    reasons = []
    for other in lots[1:]:
        pair = f"{first.lot.id} and {other.lot.id}"
        if (first.lot.part, first.lot.revision) != (other.lot.part, other.lot.revision):
            reasons.append(f"{pair} are of different revisions")
        if first.lot.settings != other.lot.settings:
            reasons.append(f"{pair} were made with different settings")
        if set(first.lot.blends) != set(other.lot.blends):
            reasons.append(f"{pair} are of different powder blends")
        if set(first.loads) != set(other.loads):
            reasons.append(f"{pair} went through different furnace loads")
    return tuple(reasons)
