"""What happens on the floor: powder, box runs, furnace loads, lots, counts."""

from datetime import date
from typing import Annotated, ClassVar, Literal, Self

from pydantic import Field, model_validator

from vault.model.base import Count, CountOrNone, Entry, Fraction, Line, Moment, Note, NotNegative, Positive, Value
from vault.model.design import KeptFile
from vault.model.ids import (
    BlendRef,
    BoxRef,
    BoxRunRef,
    FurnaceRef,
    GaugeRef,
    LoadRef,
    LotRef,
    MachineRef,
    MaterialRef,
    OrderRef,
    OwnUlid,
    PackageRef,
    PartRef,
    PersonRef,
    RevisionRef,
    SettingsRef,
)
from vault.model.words import SealState, ServiceEffect


class BlendPart(Value):
    """What went into a blend: an older blend, or powder as supplied."""

    blend: BlendRef | None = None
    supplier_lot: Line | None = None
    supplier_certificate: KeptFile | None = None
    kg: Positive

    @model_validator(mode="after")
    def _one_source(self) -> Self:
        if (self.blend is None) == (self.supplier_lot is None):
            raise ValueError("a part of a blend is either an older blend or a supplier's lot")
        return self


class PowderTest(Value):
    """A dated reading on the powder itself; never the part's."""

    tested_on: date
    oxygen_ppm: NotNegative | None = None
    carbon_ppm: NotNegative | None = None
    moisture_percent: NotNegative | None = None
    flow_s_per_50g: Positive | None = None
    d10_um: Positive | None = None
    d50_um: Positive | None = None
    d90_um: Positive | None = None


class Blend(Entry):
    """A powder blend with its genealogy."""

    KIND: ClassVar[str] = "blend"
    id: BlendRef
    material: MaterialRef
    parents: Annotated[tuple[BlendPart, ...], Field(min_length=1)]
    made_kg: Positive
    virgin_fraction: Fraction
    reuse_count: CountOrNone
    returned_from_run: bool = False
    sieve_um: Positive | None = None
    tests: tuple[PowderTest, ...] = ()

    @model_validator(mode="after")
    def _mass_balances(self) -> Self:
        put_in = sum(parent.kg for parent in self.parents)
        if not self.made_kg <= put_in * 1.001:
            raise ValueError(f"the blend weighs {self.made_kg} kg, more than the {put_in} kg put in")
        return self


class BinderLot(Value):
    """The binder that was used."""

    lot: Line
    expires: date | None = None


class BoxRun(Entry):
    """A box printed on a date."""

    KIND: ClassVar[str] = "box-run"
    id: BoxRunRef
    machine: MachineRef
    box: BoxRef
    material: MaterialRef
    blend: BlendRef
    binder: BinderLot
    started_at: Moment
    operator: PersonRef
    packages: tuple[PackageRef, ...] = ()
    file: KeptFile | None = None


class BoxRunFinish(Entry):
    """How a box run ended."""

    KIND: ClassVar[str] = "box-run-finish"
    id: OwnUlid
    box_run: BoxRunRef
    finished_at: Moment
    went_well: bool
    alarms: tuple[Line, ...] = ()
    note: Note | None = None


class Witness(Value):
    """A test piece that went through the furnace with the load."""

    name: Line
    density_g_cm3: Positive | None = None
    pores: SealState | None = None  # None where nobody said: the density then counts as read on open pores
    carbon_percent: NotNegative | None = None
    oxygen_ppm: NotNegative | None = None
    nitrogen_ppm: NotNegative | None = None
    hardness: Line | None = None
    report: KeptFile | None = None


class Placed(Value):
    """Where a lot stood in the furnace."""

    lot: LotRef
    count: Count
    tray: Line | None = None


class FurnaceLoad(Entry):
    """One load of one heat cycle."""

    KIND: ClassVar[str] = "load"
    id: LoadRef
    furnace: FurnaceRef
    heat: Literal["debind", "sinter", "debind and sinter", "HIP", "heat treatment"]
    cycle_name: Line
    material: MaterialRef
    started_at: Moment
    operator: PersonRef
    placed: Annotated[tuple[Placed, ...], Field(min_length=1)]
    metal_kg: Positive | None = None
    binder_kg: NotNegative | None = None
    pairing_by: PersonRef | None = None


class LoadFinish(Entry):
    """How a furnace load ended, with its chart and witness pieces."""

    KIND: ClassVar[str] = "load-finish"
    id: OwnUlid
    load: LoadRef
    finished_at: Moment
    as_run: Literal["as the cycle", "deviations, see words"]
    deviations: Note | None = None
    chart: KeptFile | None = None
    witnesses: tuple[Witness, ...] = ()


class Lot(Entry):
    """Pieces that share revision, settings, powder blends, box runs and one load of each heat cycle."""

    KIND: ClassVar[str] = "lot"
    id: LotRef
    part: PartRef
    revision: RevisionRef
    settings: SettingsRef
    order: OrderRef | None = None
    package: PackageRef | None = None
    blends: Annotated[tuple[BlendRef, ...], Field(min_length=1)]
    box_runs: tuple[BoxRunRef, ...] = ()
    count: Count
    serials: tuple[Line, ...] = ()
    parents: tuple[LotRef, ...] = ()
    production_representative: bool

    @model_validator(mode="after")
    def _serials_fit(self) -> Self:
        if self.serials and len(set(self.serials)) != self.count:
            raise ValueError(f"{self.count} pieces, but {len(set(self.serials))} different serials")
        return self


class LotSplit(Entry):
    """A lot ends and its pieces go on in children."""

    KIND: ClassVar[str] = "lot-split"
    id: OwnUlid
    lot: LotRef
    children: Annotated[tuple[LotRef, ...], Field(min_length=2)]
    reason: Note


class LotMerge(Entry):
    """A lot ends and its pieces go on in another lot."""

    KIND: ClassVar[str] = "lot-merge"
    id: OwnUlid
    lot: LotRef
    into: LotRef
    reason: Note


class Scrapped(Value):
    """Pieces lost, and why."""

    cause: Line
    count: Count


class LotOperation(Entry):
    """Counts at one operation: in = on + scrapped + to rework + held + destroyed in test + missing."""

    KIND: ClassVar[str] = "lot-operation"
    id: OwnUlid
    lot: LotRef
    operation: Line
    done_on: date
    done_by: PersonRef | None = None
    supplier: Line | None = None
    supplier_certificate: KeptFile | None = None
    load: LoadRef | None = None
    count_in: CountOrNone
    count_on: CountOrNone
    scrapped: tuple[Scrapped, ...] = ()
    to_rework: CountOrNone = 0
    held: CountOrNone = 0
    destroyed_in_test: CountOrNone = 0
    missing: CountOrNone = 0

    @property
    def unaccounted(self) -> int:
        """Pieces that the counts do not explain; 0 where they balance."""
        out = sum(scrap.count for scrap in self.scrapped)
        return self.count_in - self.count_on - out - self.to_rework - self.held - self.destroyed_in_test - self.missing


class LotFinish(Entry):
    """A lot is finished: how many good pieces came out."""

    KIND: ClassVar[str] = "lot-finish"
    id: OwnUlid
    lot: LotRef
    finished_on: date
    good: CountOrNone
    note: Note | None = None


class Surplus(Entry):
    """Good pieces above the order: what happens to them."""

    KIND: ClassVar[str] = "surplus"
    id: OwnUlid
    lot: LotRef
    count: Count
    decision: Literal["ship with the customer's consent", "keep", "scrap"]
    where: Line | None = None
    until: date | None = None
    consent: KeptFile | None = None


class EquipmentEvent(Entry):
    """Something happened to a printer, furnace or gauge that a proof may depend on."""

    KIND: ClassVar[str] = "equipment-event"
    id: OwnUlid
    machine: MachineRef | None = None
    furnace: FurnaceRef | None = None
    gauge: GaugeRef | None = None
    what: Line
    effect: ServiceEffect
    happened_on: date
    characteristics: tuple[Line, ...] = ()
    new_material: MaterialRef | None = None
    note: Note | None = None

    @model_validator(mode="after")
    def _one_equipment(self) -> Self:
        if sum(value is not None for value in (self.machine, self.furnace, self.gauge)) != 1:
            raise ValueError("an event happened to one printer, furnace or gauge")
        return self
