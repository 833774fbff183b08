"""A lot folded from its entries: how many pieces are good, gone and left, and whether the counts balance."""

from collections.abc import Iterator
from dataclasses import dataclass

from vault.model.decisions import Hold, Lift
from vault.model.evidence import DispositionEntry, Measurement, Nonconformance
from vault.model.findings import Code, Finding
from vault.model.floor import Lot, LotFinish, LotMerge, LotOperation, LotSplit, Surplus
from vault.model.orders import Delivery
from vault.model.words import Disposition, Role
from vault.rules.finding import stop

_USABLE = frozenset({Disposition.REWORK, Disposition.REPAIR, Disposition.USE_AS_IS})


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
    found: tuple[Nonconformance, ...] = ()
    decisions: tuple[DispositionEntry, ...] = ()  # about what was found
    inherited_apart: int = 0  # pieces of the lots above that may not be used and may be among these
    passed_on: int | None = None  # pieces that its children began with, where it was split

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
    def set_apart(self) -> int:
        """Pieces found nonconforming that may not be used: undecided, to be scrapped, or to go back."""
        usable = sum(decision.count for decision in self.decisions if decision.decision in _USABLE)
        return self.inherited_apart + sum(found.count for found in self.found) - usable

    @property
    def apart_among_them(self) -> int:
        """Pieces set apart that no count has taken out yet, so that they still stand among those counted."""
        return self.walked()[1]

    @property
    def usable_now(self) -> int:
        """Pieces that the last operation passed on, without those set apart."""
        return max(0, self.pieces_now - self.apart_among_them)

    @property
    def in_the_shop(self) -> int:
        """Pieces counted last that were neither delivered nor scrapped as surplus; those set apart are among them."""
        there = self.finish.good if self.finish else self.pieces_now
        return there - self.delivered - sum(s.count for s in self.surpluses if s.decision == "scrap")

    @property
    def left(self) -> int:
        """Good pieces not delivered, not scrapped as surplus, not set apart as nonconforming."""
        return max(0, self.in_the_shop - self.apart_among_them) if self.finish else 0

    @property
    def kept(self) -> int:
        """Good pieces on the shelf."""
        return sum(surplus.count for surplus in self.surpluses if surplus.decision == "keep")

    def _steps(self) -> Iterator[tuple[str, int, int, int, int]]:
        """Yield each count: where, pieces in, pieces on, sent to rework, held."""
        for done in self.operations:
            yield done.operation, done.count_in, done.count_on, done.to_rework, done.held
        if self.passed_on is not None:
            yield "its children", self.passed_on, self.passed_on, 0, 0
        if self.finish is not None:
            yield "good pieces", self.finish.good, self.finish.good, 0, 0

    def walked(self) -> tuple[tuple[str, ...], int]:
        """Follow the pieces from count to count.

        Rework may bring pieces back later; a nonconforming piece is counted as held, or misses from the next count.
        Returns what does not follow, in words, and how many pieces set apart no count has taken out.
        """
        wrong = []
        before, at_rework, apart = self.lot.count, 0, self.set_apart
        for where, count_in, count_on, to_rework, held in self._steps():
            name = f"lot {self.lot.id}, {where}"
            back = max(0, count_in - before)
            if back > at_rework:
                wrong.append(f"{name}: {count_in} pieces, but only {before + at_rework} came from the step before")
            gone = max(0, before - count_in)
            if gone > apart:
                wrong.append(f"{name}: {count_in} pieces, but {before} came from the step before: {gone - apart} gone")
            apart = max(0, apart - gone - held)
            at_rework = max(0, at_rework - back) + to_rework
            before = count_on
        return tuple(wrong), apart


def balance_findings(lot: LotHistory) -> tuple[Finding, ...]:
    """Return a stop for each count that does not explain every piece, within an operation and from one to the next."""
    words = [
        f"lot {lot.lot.id}, {done.operation}: {done.count_in} pieces in, {done.unaccounted} not accounted for"
        for done in lot.operations
        if done.unaccounted
    ]
    return tuple(stop(Code.COUNTS_DO_NOT_BALANCE, each, Role.QUALITY) for each in (*words, *lot.walked()[0]))


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
