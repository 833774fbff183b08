"""Evidence: what was measured on the pieces, what it proves, and what did not conform."""

from datetime import date
from typing import Annotated, ClassVar, Literal, Self

from pydantic import Field, model_validator

from vault.model.base import Count, CountOrNone, Entry, Line, Note, Positive, Value
from vault.model.design import KeptFile
from vault.model.ids import (
    DeliveryRef,
    EntryRef,
    EscapeRef,
    GaugeRef,
    LoadRef,
    LotRef,
    NonconformanceRef,
    OwnUlid,
    PartRef,
    PersonRef,
    RevisionRef,
    SettingsRef,
)
from vault.model.words import ArticleState, Disposition, MeasuredIn, SealState


class Reading(Value):
    """One reading on one piece: a number, or accept/reject for an attribute."""

    characteristic: Line
    piece: Line
    value: float | None = None
    accepted: bool | None = None

    @model_validator(mode="after")
    def _one_result(self) -> Self:
        if (self.value is None) == (self.accepted is None):
            raise ValueError(
                f"characteristic {self.characteristic}, piece {self.piece}: a number, or accept/reject, not both"
            )
        return self


class DensityReading(Value):
    """A density by weighing in air and in water."""

    piece: Line
    mass_in_air_g: Positive
    mass_in_water_g: Positive
    water_c: Annotated[float, Field(ge=0, le=40)]
    pores: SealState
    density_g_cm3: Positive

    @model_validator(mode="after")
    def _sinks(self) -> Self:
        if not self.mass_in_water_g < self.mass_in_air_g:
            raise ValueError(f"piece {self.piece}: it weighs no less in water than in air")
        return self


class Measurement(Entry):
    """Readings on the pieces of one lot, in one state of the metal."""

    KIND: ClassVar[str] = "measurement"
    id: OwnUlid
    lot: LotRef
    measured_on: date
    measured_by: PersonRef
    measured_in: MeasuredIn
    gauge: GaugeRef | None
    readings: tuple[Reading, ...] = ()
    densities: tuple[DensityReading, ...] = ()
    source: KeptFile | None = None
    scans: tuple[KeptFile, ...] = ()


class Judged(Value):
    """One characteristic judged on its readings."""

    characteristic: Line
    key: bool
    readings: CountOrNone
    lowest: float | None = None
    highest: float | None = None
    mean: float | None = None
    outside: CountOrNone
    passes: bool
    why_not: Line | None = None


class FirstArticle(Value):
    """Full, or partial on top of a full one."""

    extent: Literal["full", "partial"]
    baseline: EntryRef | None = None
    reason: Note | None = None
    affected: tuple[Line, ...] = ()

    @model_validator(mode="after")
    def _partial_names_its_baseline(self) -> Self:
        if self.extent == "partial" and (self.baseline is None or self.reason is None or not self.affected):
            raise ValueError("a partial first article names its baseline, the reason and every characteristic affected")
        return self


class Proof(Entry):
    """Evidence that settings make good parts of a revision."""

    KIND: ClassVar[str] = "proof"
    id: OwnUlid
    part: PartRef
    revision: RevisionRef
    settings: SettingsRef
    requirements: EntryRef
    lots: Annotated[tuple[LotRef, ...], Field(min_length=1)]
    loads: tuple[LoadRef, ...] = ()
    measurements: Annotated[tuple[EntryRef, ...], Field(min_length=1)]
    first_article: FirstArticle
    production_representative: bool
    judged: tuple[Judged, ...]
    relative_density: Positive | None = None
    density_passes: bool | None = None
    open_nonconformances: tuple[NonconformanceRef, ...] = ()
    state: ArticleState
    customer_approval: KeptFile | None = None
    site: Line
    machine_firmware: Line | None = None
    print_preparation: Line | None = None
    last_operation_on: date


class Nonconformance(Entry):
    """Pieces that are not as required: what, where found, how many; they are set apart."""

    KIND: ClassVar[str] = "nonconformance"
    id: NonconformanceRef
    part: PartRef
    lot: LotRef
    count: Count
    characteristic: Line | None = None
    found_at: Line
    found_by: PersonRef
    words: Note
    evidence: KeptFile | None = None


class DispositionEntry(Entry):
    """What was decided about a nonconformance."""

    KIND: ClassVar[str] = "disposition"
    id: OwnUlid
    nonconformance: NonconformanceRef
    decision: Disposition
    count: Count
    concession: EntryRef | None = None
    reinspected: bool = False
    made_unusable_by: PersonRef | None = None
    cause: Note | None = None
    action: Note | None = None

    @model_validator(mode="after")
    def _decision_is_covered(self) -> Self:
        if self.decision in {Disposition.REPAIR, Disposition.USE_AS_IS} and self.concession is None:
            raise ValueError(f"{self.decision}: needs the customer's concession; nobody in the shop may grant one")
        if self.decision is Disposition.REWORK and not self.reinspected:
            raise ValueError("rework: the pieces are inspected again before the decision is recorded")
        if self.decision is Disposition.SCRAP and self.made_unusable_by is None:
            raise ValueError("scrap: say who made the pieces unusable")
        return self


class EscapeNotice(Entry):
    """What was shipped wrongly, who was told, and when."""

    KIND: ClassVar[str] = "escape"
    id: EscapeRef
    delivery: DeliveryRef
    count: Count
    words: Note
    told: Line
    told_on: date
    evidence: KeptFile | None = None
