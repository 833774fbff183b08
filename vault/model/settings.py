"""Settings: all that is needed to print, sinter and finish the part again."""

from typing import Annotated, ClassVar, Literal, Self

from pydantic import Field, model_validator

from vault.model.base import Count, CountOrNone, Entry, Line, Note, NotNegative, Positive, Sha256, Value
from vault.model.design import KeptFile
from vault.model.ids import (
    FurnaceRef,
    GaugeRef,
    MachineRef,
    MaterialRef,
    OwnUlid,
    PartRef,
    RevisionRef,
    SettingsNumber,
    SettingsRef,
)
from vault.model.orientation import Orientation
from vault.model.shape import MeasuredShape
from vault.model.words import Answer, Atmosphere, FileRole, TurnsAllowed

ScaleFactor = Annotated[float, Field(ge=0.8, le=2.0)]


class Scale(Value):
    """Green over sintered length, per axis of the box, after the part was turned into its print orientation."""

    x: ScaleFactor
    y: ScaleFactor
    z: ScaleFactor

    @property
    def is_one(self) -> bool:
        """True where nothing is scaled."""
        return (self.x, self.y, self.z) == (1.0, 1.0, 1.0)


class Printing(Value):
    """How the printer is set."""

    layer_um: Positive
    binder: Line
    binder_of_pore_volume_percent: Annotated[float, Field(gt=0, le=200)]
    wait_after_jetting_s: NotNegative
    drying_s: NotNegative
    drying_c: NotNegative
    spreader_mm_s: Positive | None = None
    roller_rpm: NotNegative | None = None
    print_preparation: Line | None = None
    firmware: Line | None = None


class Cure(Value):
    """How the printed box is cured before depowdering."""

    peak_c: Positive
    hold_min: Positive
    atmosphere: Atmosphere


class Segment(Value):
    """One segment of a furnace cycle."""

    ramp_c_per_h: Positive
    target_c: Annotated[float, Field(ge=0, le=3000)]
    hold_min: NotNegative
    atmosphere: Atmosphere
    flow_l_min: NotNegative | None = None


class Cycle(Value):
    """A furnace cycle by segments, from room temperature."""

    name: Line
    furnace: FurnaceRef
    segments: Annotated[tuple[Segment, ...], Field(min_length=1, max_length=60)]


class Setter(Value):
    """What the part stands on in the furnace."""

    material: Line
    layout: Note
    pieces_per_setter: Count
    files: tuple[KeptFile, ...] = ()


class Stock(Value):
    """Material left on a face for machining."""

    face: Line
    stock_mm: Positive


class NearNet(Value):
    """The shape to print where it is not the design itself, and what compensation it already holds."""

    file: KeptFile
    measured: MeasuredShape
    made_from: RevisionRef
    made_from_sha256: Sha256
    holds_machining_stock: Answer
    stock: tuple[Stock, ...] = ()
    holds_distortion: Answer
    holds_shrinkage_scale: Answer

    @model_validator(mode="after")
    def _stock_agrees(self) -> Self:
        if self.file.role is not FileRole.NEAR_NET:
            raise ValueError("the file of a near-net shape has the role near-net")
        if bool(self.stock) != (self.holds_machining_stock is Answer.YES):
            raise ValueError("machining stock is stated per face in mm, and only where there is some")
        return self


class Operation(Value):
    """One step after sintering, in order."""

    number: Annotated[int, Field(ge=1, le=9999)]
    name: Line
    kind: Literal[
        "HIP", "heat treatment", "machining", "sizing", "surface", "coating", "cleaning", "inspection", "other"
    ]
    supplier: Line | None = None
    instruction: Note | None = None
    peak_c: Positive | None = None
    hold_min: NotNegative | None = None
    pressure_mpa: Positive | None = None
    is_rework: bool = False
    times_allowed: CountOrNone = 1


class Inspect(Value):
    """One line of the inspection plan."""

    characteristics: Annotated[tuple[Line, ...], Field(min_length=1)]
    how_many: Literal["100 %", "first piece", "sample"]
    sample: Count | None = None
    plan: Line | None = None
    gauge: GaugeRef | None = None

    @model_validator(mode="after")
    def _sample_has_a_size(self) -> Self:
        if (self.how_many == "sample") != (self.sample is not None or self.plan is not None):
            raise ValueError("a sample needs its size or its plan; 100 % and first piece have neither")
        return self


class Settings(Entry):
    """One proven or still unproven way to make a part: S1, S2 ... per part."""

    KIND: ClassVar[str] = "settings"
    id: OwnUlid
    number: Annotated[SettingsNumber, Field(pattern=r"^S[A-HJ-NPR-Z]{0,3}[1-9][0-9]{0,3}$")]
    part: PartRef
    made_for: RevisionRef
    derived_from: SettingsRef | None = None
    machine: MachineRef
    material: MaterialRef
    powder_specification: Line
    binder_specification: Line | None = None
    printing: Printing
    scale: Scale
    print_orientation: Orientation
    sinter_orientation: Orientation
    turns_allowed: TurnsAllowed = TurnsAllowed.PROVEN_ONLY
    clearance_mm: Annotated[float, Field(ge=0.5, le=50)] = 4.0
    cure: Cure
    depowdering: Note
    debind: Cycle
    sinter: Cycle
    setter: Setter
    near_net: NearNet | None = None
    operations: tuple[Operation, ...] = ()
    inspection: tuple[Inspect, ...] = ()
    reason: Note
    invented_for_demo: bool = False

    @model_validator(mode="after")
    def _operations_in_order(self) -> Self:
        numbers = [operation.number for operation in self.operations]
        if numbers != sorted(set(numbers)):
            raise ValueError("operation numbers rise, and none stands twice")
        return self

    def shape_to_print(self, design: MeasuredShape) -> MeasuredShape:
        """Return the shape that goes into the box: the near-net shape where there is one, else the design."""
        return self.near_net.measured if self.near_net else design

    @property
    def files(self) -> tuple[KeptFile, ...]:
        """Every file that belongs to the settings."""
        near_net = (self.near_net.file,) if self.near_net else ()
        return (*near_net, *self.setter.files)
