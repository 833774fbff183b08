"""Reading records of one snapshot, folded into what the rules judge. Decisions read here, never from index rows."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TypeVar

from vault.errors import Damaged, NotFound
from vault.interfaces import Index, Snapshot
from vault.model.base import Record
from vault.model.cards import Box, Customer, Furnace, Gauge, Machine, Material, Part, Person, Policy, RegisterCard
from vault.model.decisions import Hold, HoldTarget, Lift
from vault.model.evidence import DispositionEntry, Measurement, Nonconformance
from vault.model.floor import (
    Blend,
    BoxRun,
    EquipmentEvent,
    FurnaceLoad,
    Lot,
    LotFinish,
    LotMerge,
    LotOperation,
    LotSplit,
    Surplus,
)
from vault.model.ids import Thing
from vault.model.orders import ContractReview, Delivery, Order, OrderAmendment, OrderVoid, Return
from vault.model.packaging import Package, PackageSuperseded, PaperRecovered
from vault.records import paths
from vault.records.codec import decode
from vault.rules.history import PartHistory, fold, in_order, of_kind
from vault.rules.lots import LotHistory

AnyRecord = TypeVar("AnyRecord", bound=Record)


@dataclass(frozen=True)
class OrderHistory:
    """An order line as it stands by its amendments, with its review and its end."""

    order: Order
    review: ContractReview | None
    void: OrderVoid | None
    amendments: tuple[OrderAmendment, ...] = ()


@dataclass(frozen=True)
class PackageHistory:
    """A reprint package and what became of it."""

    package: Package
    superseded: PackageSuperseded | None
    recovered: tuple[PaperRecovered, ...]

    @property
    def is_live(self) -> bool:
        """True while nobody superseded it."""
        return self.superseded is None


@dataclass(frozen=True)
class NonconformanceHistory:
    """A nonconformance and its decisions."""

    nonconformance: Nonconformance
    decisions: tuple[DispositionEntry, ...]

    @property
    def is_open(self) -> bool:
        """True while some of the pieces have no decision."""
        return sum(decision.count for decision in self.decisions) < self.nonconformance.count


class Reader:
    """Records of one snapshot. The index, caught up with this very commit, says where to look for referrers."""

    def __init__(self, snapshot: Snapshot, index: Index) -> None:
        self.snapshot = snapshot
        self._index = index
        self._caught_up = False

    def record(self, path: str, kind: type[AnyRecord], name: str) -> AnyRecord:
        """Read one record.

        Raises:
            NotFound: There is none; the sentence says what was looked for.
            Damaged: The bytes are not such a record.
        """
        try:
            data = self.snapshot.read(path)
        except NotFound:
            raise NotFound(f"there is no {kind.KIND} {name}") from None
        return _typed(path, data, kind)

    def maybe(self, path: str, kind: type[AnyRecord]) -> AnyRecord | None:
        """Read one record, or None where there is none."""
        return self.record(path, kind, path) if self.snapshot.exists(path) else None

    def below(self, folder: str) -> tuple[Record, ...]:
        """Read every record below a folder; originals are left alone."""
        names = [path for path in self.snapshot.walk(folder) if path.endswith(".json") and "/files/" not in path]
        return tuple(_decoded(path, data) for path, data in self.snapshot.read_many(names))

    # ---- cards

    def register(self) -> RegisterCard:
        """Read the register's own card."""
        return self.record(paths.REGISTER, RegisterCard, "")

    def policy(self) -> Policy:
        """Read the shop's policy."""
        return self.record(paths.POLICY, Policy, "")

    def part_card(self, number: str) -> Part:
        """Read a part's card."""
        return self.record(paths.part_card(number), Part, number)

    def customer(self, code: str) -> Customer:
        """Read a customer's card."""
        return self.record(paths.customer_card(code), Customer, code)

    def person(self, handle: str) -> Person | None:
        """Read a person's card, or None."""
        return self.maybe(paths.person_card(handle), Person)

    def people(self) -> tuple[Person, ...]:
        """Read everybody's card."""
        return of_kind(Person, self.below("people"))

    def machine(self, card_id: str) -> Machine:
        """Read a printer's card."""
        return self.record(paths.shop_card(Machine, card_id), Machine, card_id)

    def material(self, card_id: str) -> Material:
        """Read a material's card."""
        return self.record(paths.shop_card(Material, card_id), Material, card_id)

    def box(self, card_id: str) -> Box:
        """Read a box's card."""
        return self.record(paths.shop_card(Box, card_id), Box, card_id)

    def furnace(self, card_id: str) -> Furnace:
        """Read a furnace's card."""
        return self.record(paths.shop_card(Furnace, card_id), Furnace, card_id)

    def gauge(self, card_id: str) -> Gauge:
        """Read a gauge's card."""
        return self.record(paths.shop_card(Gauge, card_id), Gauge, card_id)

    def events(self) -> tuple[EquipmentEvent, ...]:
        """Read everything that happened to printers, furnaces and gauges."""
        return of_kind(EquipmentEvent, in_order(self.below("shop/events")))

    # ---- folded histories

    def part(self, number: str) -> PartHistory:
        """Read everything recorded under a part. Raises NotFound."""
        self.part_card(number)
        return fold(self.below(paths.part_folder(number)))

    def lot(self, lot_id: str) -> LotHistory:
        """Read a lot with everything recorded under it, and its deliveries. Raises NotFound."""
        lot = self.record(paths.record_of_id(lot_id), Lot, lot_id)
        entries = in_order(self.below(paths.folder_of_id(lot_id)))
        parents = tuple(self.lot(parent) for parent in lot.parents)
        split = next(iter(of_kind(LotSplit, entries)), None)
        found = tuple(self.nonconformance(each.id) for each in self.referring(Thing.LOT, lot_id, Nonconformance))
        return LotHistory(
            lot=lot,
            operations=of_kind(LotOperation, entries),
            finish=next(reversed(of_kind(LotFinish, entries)), None),
            split=split,
            merge=next(iter(of_kind(LotMerge, entries)), None),
            surpluses=of_kind(Surplus, entries),
            holds=of_kind(Hold, entries),
            lifts=of_kind(Lift, entries),
            measurements=of_kind(Measurement, entries),
            deliveries=self.referring(Thing.LOT, lot_id, Delivery),
            inherited_loads=tuple(dict.fromkeys(load for parent in parents for load in parent.loads)),
            found=tuple(each.nonconformance for each in found),
            decisions=tuple(decision for each in found for decision in each.decisions),
            # A merge takes only what may be used, and nothing is found on the parents afterwards.
            inherited_apart=sum(parent.apart_among_them for parent in parents if parent.merge is None),
            passed_on=sum(self._began_with(child) for child in split.children) if split else None,
        )

    def _began_with(self, lot_id: str) -> int:
        return self.record(paths.record_of_id(lot_id), Lot, lot_id).count

    def order(self, order_id: str) -> OrderHistory:
        """Read an order line. Raises NotFound."""
        order = self.record(paths.record_of_id(order_id), Order, order_id)
        entries = in_order(self.below(paths.folder_of_id(order_id)))
        amendments = of_kind(OrderAmendment, entries)
        for amendment in amendments:
            order = amendment.applied_to(order)
        reviews, voids = of_kind(ContractReview, entries), of_kind(OrderVoid, entries)
        return OrderHistory(order, next(reversed(reviews), None), next(iter(voids), None), amendments)

    def package(self, package_id: str) -> PackageHistory:
        """Read a reprint package. Raises NotFound."""
        package = self.record(paths.record_of_id(package_id), Package, package_id)
        entries = in_order(self.below(paths.folder_of_id(package_id)))
        superseded = next(iter(of_kind(PackageSuperseded, entries)), None)
        return PackageHistory(package, superseded, of_kind(PaperRecovered, entries))

    def nonconformance(self, found_id: str) -> NonconformanceHistory:
        """Read a nonconformance. Raises NotFound."""
        found = self.record(paths.record_of_id(found_id), Nonconformance, found_id)
        entries = in_order(self.below(paths.folder_of_id(found_id)))
        return NonconformanceHistory(found, of_kind(DispositionEntry, entries))

    def blend(self, blend_id: str) -> Blend:
        """Read a powder blend. Raises NotFound."""
        return self.record(paths.record_of_id(blend_id), Blend, blend_id)

    def box_run(self, run_id: str) -> BoxRun:
        """Read a box run. Raises NotFound."""
        return self.record(paths.record_of_id(run_id), BoxRun, run_id)

    def load(self, load_id: str) -> FurnaceLoad:
        """Read a furnace load. Raises NotFound."""
        return self.record(paths.record_of_id(load_id), FurnaceLoad, load_id)

    def delivery(self, delivery_id: str) -> Delivery:
        """Read a delivery. Raises NotFound."""
        return self.record(paths.record_of_id(delivery_id), Delivery, delivery_id)

    def returned(self, return_id: str) -> Return:
        """Read a return. Raises NotFound."""
        return self.record(paths.record_of_id(return_id), Return, return_id)

    def standing_holds_of(self, owner_id: str) -> tuple[Hold, ...]:
        """Return the holds on a lot, blend, load or box run that nobody lifted."""
        entries = self.below(f"{paths.folder_of_id(owner_id)}/entries")
        lifted = {lift.hold for lift in of_kind(Lift, entries)}
        return tuple(hold for hold in of_kind(Hold, entries) if hold.id not in lifted)

    # ---- found through the index, read from the snapshot

    def _looked_up(self, look: Callable[[Index], Iterable[str]]) -> tuple[str, ...]:
        if not self._caught_up:
            self._index.catch_up()
            self._caught_up = True
        # The index may be ahead of this snapshot, never behind it.
        return tuple(path for path in look(self._index) if self.snapshot.exists(path))

    def referring(self, thing: Thing, name: str, kind: type[AnyRecord]) -> tuple[AnyRecord, ...]:
        """Read the records of one kind that point at a thing, oldest first."""
        found = self._looked_up(lambda index: index.referrers(thing, name))
        return of_kind(kind, in_order(_decoded(path, data) for path, data in self.snapshot.read_many(found)))

    def all_of(self, kind: type[AnyRecord], part: str | None = None) -> tuple[AnyRecord, ...]:
        """Read all records of a kind (of one part), oldest first."""
        found = self._looked_up(lambda index: index.paths_of(kind.KIND, part))
        return of_kind(kind, in_order(_decoded(path, data) for path, data in self.snapshot.read_many(found)))

    def located(self, thing: Thing, name: str) -> Record | None:
        """Read the record that a name belongs to, or None."""
        found = self._looked_up(lambda index: filter(None, [index.locate(thing, name)]))
        return _decoded(found[0], self.snapshot.read(found[0])) if found else None


def target_exists(reader: Reader, target: HoldTarget) -> bool:
    """Say whether the thing that a hold names is recorded."""
    folder = paths.target_folder(target)
    if target.revision is not None and target.part is not None:
        folder = paths.revision_folder(target.part, target.revision)
    return reader.snapshot.exists(folder)


def _decoded(path: str, data: bytes) -> Record:
    try:
        return decode(data)
    except Damaged as damage:
        raise Damaged(f"{path}: {damage}; run `partstead check`") from None


def _typed(path: str, data: bytes, kind: type[AnyRecord]) -> AnyRecord:
    record = _decoded(path, data)
    if not isinstance(record, kind):
        raise Damaged(f"{path}: a {record.KIND} where a {kind.KIND} was expected; run `partstead check`")
    return record
