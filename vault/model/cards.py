"""Cards: records that people edit in place. Git keeps every version."""

from datetime import date
from typing import Annotated, ClassVar, Literal

from pydantic import Field

from vault.model.base import (
    Card,
    Count,
    CountOrNone,
    Fraction,
    Line,
    Note,
    NotNegative,
    Positive,
    Sha256,
    Value,
    Vector3,
)
from vault.model.ids import BoxRef, CustomerRef, FurnaceRef, GaugeRef, MachineRef, MaterialRef, PartRef, PersonRef
from vault.model.words import (
    Answer,
    Authority,
    ControlStatus,
    Criticality,
    LabelScheme,
    Role,
)


class RegisterCard(Card):
    """What this register is: written once by `new`, read by every program that opens it."""

    KIND: ClassVar[str] = "register"
    format: Annotated[int, Field(ge=1)]
    id: Annotated[str, Field(min_length=26, max_length=26)]
    name: Line
    demo: bool = False


class WriterCard(Card):
    """One copy of the register that allots ids."""

    KIND: ClassVar[str] = "writer"
    code: Annotated[str, Field(pattern=r"^[A-HJ-NPR-Z]{1,3}$")]
    host: Line


class PublicKey(Value):
    """A key that the person signs with, and since when it counts."""

    line: Line
    since: date
    until: date | None = None


class Person(Card):
    """Somebody who writes here. Entries hold the handle only; personal details stay in this card."""

    KIND: ClassVar[str] = "person"
    handle: PersonRef
    name: Line
    roles: tuple[Role, ...]
    keys: tuple[PublicKey, ...] = ()
    left_on: date | None = None


class Contact(Value):
    """A person at the customer."""

    name: Line
    email: Line | None = None
    telephone: Line | None = None
    task: Line | None = None


class Customer(Card):
    """A customer: the design authority of most parts."""

    KIND: ClassVar[str] = "customer"
    code: CustomerRef
    name: Line
    address: Note | None = None
    contacts: tuple[Contact, ...] = ()
    quality_clauses: tuple[Line, ...] = ()
    first_article_approval: Answer = Answer.NOT_STATED
    show_unaccepted_revisions: bool = False
    note: Note | None = None


class ExportControl(Value):
    """Who may read a part's data, as a named person classified it on a date."""

    status: ControlStatus = ControlStatus.NOT_CLASSIFIED
    jurisdiction: Line | None = None
    classification: Line | None = None
    classified_by: PersonRef | None = None
    classified_on: date | None = None
    basis: Note | None = None
    marking: Note | None = None


class Part(Card):
    """A part: its numbers, whose design it is, and what must be known before it is made."""

    KIND: ClassVar[str] = "part"
    number: PartRef
    customer: CustomerRef
    customer_number: Line
    description: Line
    design_authority: Authority
    label_scheme: LabelScheme = LabelScheme.LETTERS
    criticality: Criticality = Criticality.NOT_SET
    material: MaterialRef
    control: ExportControl = ExportControl()
    other_numbers: tuple[Line, ...] = ()
    note: Note | None = None


class Machine(Card):
    """A printer."""

    KIND: ClassVar[str] = "machine"
    id: MachineRef
    name: Line
    make_and_serial: Line | None = None
    site: Line
    materials: tuple[MaterialRef, ...] = ()
    firmware: Line | None = None
    print_preparation: Line | None = None
    boxes: tuple[BoxRef, ...] = ()
    retired: bool = False


class PowderLimits(Value):
    """Limits of a powder as used, each with None where the shop sets none."""

    oxygen_max_ppm: Positive | None = None
    carbon_max_ppm: Positive | None = None
    moisture_max_percent: Positive | None = None
    reuse_max: CountOrNone | None = None
    sieve_um: Positive | None = None


class Material(Card):
    """A metal as the shop sinters it: reference density with its source, powder limits, cautions."""

    KIND: ClassVar[str] = "material"
    id: MaterialRef
    name: Line
    alloy_family: Line
    reference_density_g_cm3: Positive
    reference_density_source: Line
    sintered_density_g_cm3: Positive
    density_gate_fraction: Fraction = 0.96
    unsealed_reading_below_fraction: Fraction = 0.95
    reactive: Answer = Answer.NOT_STATED
    dust_review_recorded: bool = False
    contains_nickel: Answer = Answer.NOT_STATED
    powder: PowderLimits = PowderLimits()
    binder_powder_goes_back: Note | None = None
    setter_materials: tuple[Line, ...] = ()
    witness_needed: tuple[Literal["density", "carbon", "oxygen", "nitrogen", "hardness", "tensile"], ...] = ()
    safety_data_sheet_sha256: Sha256 | None = None
    extinguishing: Note | None = None
    note: Note | None = None


class Box(Card):
    """A build volume: inside edges of the box at one height, the clear margin, and its printing times."""

    KIND: ClassVar[str] = "box"
    id: BoxRef
    name: Line
    size_mm: Vector3
    wall_margin_mm: NotNegative = 3.0
    fixed_min: NotNegative = 0.0
    layer_s: Positive


class Furnace(Card):
    """A furnace: what it can hold and reach."""

    KIND: ClassVar[str] = "furnace"
    id: FurnaceRef
    name: Line
    make_and_serial: Line | None = None
    site: Line
    max_c: Positive
    hot_zone_mm: Vector3
    trays: Count
    metal_limit_kg: Positive
    binder_limit_kg: Positive
    atmospheres: tuple[Line, ...] = ()
    responsible: PersonRef | None = None
    retired: bool = False


class GaugeStudy(Value):
    """How much of the tolerance the gauge itself uses up."""

    percent_of_tolerance: Annotated[float, Field(ge=0, le=1000)]
    studied_on: date
    note: Line | None = None


class Gauge(Card):
    """A gauge: what it can tell apart and until when it may be believed."""

    KIND: ClassVar[str] = "gauge"
    id: GaugeRef
    name: Line
    resolution_mm: Positive | None = None
    uncertainty_mm: NotNegative | None = None
    calibrated_on: date
    calibration_due: date
    certificate: Line | None = None
    study: GaugeStudy | None = None
    accepts_scans: bool = False
    retired: bool = False


class Rates(Card):
    """What an hour and a kilogram cost here; money in minor units of the currency."""

    KIND: ClassVar[str] = "rates"
    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$")]
    printer_hour_cents: CountOrNone
    furnace_load_cents: CountOrNone
    labour_hour_cents: CountOrNone
    powder_kg_cents: CountOrNone
    binder_litre_cents: CountOrNone


class CarryLimits(Value):
    """How much a shape may change before a proof no longer covers it. Defaults: common practice, no source."""

    carries_deviation_mm: NotNegative = 0.05
    carries_volume_fraction: Fraction = 0.005
    carries_envelope_mm: NotNegative = 0.05
    delta_deviation_mm: NotNegative = 0.5
    delta_volume_fraction: Fraction = 0.02
    delta_envelope_mm: NotNegative = 0.2


class Policy(Card):
    """The shop's own rules. The defaults are common practice, without a source; edit them."""

    KIND: ClassVar[str] = "policy"
    proof_lapses_after_days: Count = 730
    capability_minimum: Positive = 1.33
    capability_confidence: Annotated[float, Field(gt=0.5, lt=1)] = 0.95
    production_measured_minimum: Count = 30
    production_lots_minimum: Count = 3
    production_loads_minimum: Count = 2
    two_persons_from_production: bool = True
    package_valid_days: Count = 30
    start_extra_fraction: Fraction = 0.05
    carry: CarryLimits = CarryLimits()
    note: Note | None = None
