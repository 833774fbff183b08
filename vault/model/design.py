"""What the customer sends and what the part must be: receipts, revisions, requirements, and who said yes to what."""

from datetime import date
from typing import Annotated, ClassVar, Literal, Self

from pydantic import Field, model_validator

from vault.model.base import Entry, Line, Note, Sha256, Value
from vault.model.ids import (
    GaugeRef,
    MaterialRef,
    OwnUlid,
    PartRef,
    ReceiptRef,
    RevisionRef,
)
from vault.model.shape import MeasuredShape, ShapeChange
from vault.model.words import (
    Definition,
    Direction,
    Feature,
    FileRole,
    MeasuredIn,
)

RevisionLabel = Annotated[str, Field(pattern=r"^[A-Za-z0-9-](?:[A-Za-z0-9 ._/-]{0,14}[A-Za-z0-9])?$")]
"""A label as it stands on the customer's drawing: "-" for a first issue, else up to 16 characters."""


class KeptFile(Value):
    """One original: its name as it came, what it is for, and the digest of its bytes."""

    name: Line
    role: FileRole
    sha256: Sha256
    size_bytes: Annotated[int, Field(ge=0)]
    ending: Annotated[str, Field(pattern=r"^[a-z0-9]{1,8}$")]

    @property
    def stored_name(self) -> str:
        """The name under which the bytes lie in the register."""
        return f"{self.sha256}.{self.ending}"


class Receipt(Entry):
    """One arrival of customer files, as it came."""

    KIND: ClassVar[str] = "receipt"
    id: OwnUlid
    part: PartRef
    label: RevisionLabel | None
    arrived_on: date
    sender: Line
    covering_note: Note | None = None
    files: Annotated[tuple[KeptFile, ...], Field(min_length=1)]


class Revision(Entry):
    """One state of a part's design. Its label is a field: only the design authority moves it."""

    KIND: ClassVar[str] = "revision"
    id: OwnUlid
    part: PartRef
    label: RevisionLabel
    follows: RevisionRef | None
    receipt: ReceiptRef | None
    files: Annotated[tuple[KeptFile, ...], Field(min_length=1)]
    definition: Definition
    drawing_number: Line | None = None
    drawing_revision: Line | None = None
    model_part_revision: Line | None = None
    reason: Note
    requested_by: Line | None = None
    unit: Literal["micron", "mm", "cm", "inch", "foot", "m"]
    unit_basis: Line

    @model_validator(mode="after")
    def _has_a_design(self) -> Self:
        designs = [kept for kept in self.files if kept.role is FileRole.DESIGN]
        if len(designs) != 1:
            raise ValueError(f"a revision has one design file, this one has {len(designs)}")
        if any(kept.role in {FileRole.NEAR_NET, FileRole.SETTER, FileRole.SCAN} for kept in self.files):
            raise ValueError("near-net and setter shapes belong to settings, scans to measurements")
        if self.follows == self.id:
            raise ValueError("a revision cannot follow itself")
        return self

    @property
    def design(self) -> KeptFile:
        """The design file."""
        return next(kept for kept in self.files if kept.role is FileRole.DESIGN)


class MeasuredRevision(Entry):
    """What the design file of a revision measures."""

    KIND: ClassVar[str] = "measured"
    part: PartRef
    revision: RevisionRef
    shape: MeasuredShape


class ChangedRevision(Entry):
    """What really changed in the shape since the revision before. The drawing's requirements are not in it."""

    KIND: ClassVar[str] = "change"
    part: PartRef
    revision: RevisionRef
    since: RevisionRef
    shape: ShapeChange


class Characteristic(Value):
    """One requirement on the part, as it stands on the drawing."""

    number: Line
    name: Line
    form: Literal["variable", "attribute"]
    nominal: float | None = None
    lower: float | None = None
    upper: float | None = None
    unit: Literal["mm", "deg", "um", "HRC", "HRB", "HV", "MPa", "percent", "g/cm3", "g", "none"] = "none"
    requirement: Note | None = None
    designator: Line | None = None
    key: bool = False
    drawing_zone: Line | None = None
    direction: Direction = Direction.NONE
    measured_in: MeasuredIn = MeasuredIn.FINISHED
    feature: Feature = Feature.OTHER
    as_sintered_target: float | None = None
    gauge: GaugeRef | None = None

    @model_validator(mode="after")
    def _says_what_is_required(self) -> Self:
        if self.form == "attribute":
            if self.requirement is None:
                raise ValueError(f"characteristic {self.number}: an attribute needs its requirement in words")
            if not (self.nominal is self.lower is self.upper is None):
                raise ValueError(f"characteristic {self.number}: an attribute has no nominal and no limits")
            return self
        if self.unit == "none":
            raise ValueError(f"characteristic {self.number}: a variable needs its unit")
        if self.lower is None and self.upper is None:
            raise ValueError(f"characteristic {self.number}: a variable needs a lower or an upper limit")
        if self.lower is not None and self.upper is not None and not self.lower < self.upper:
            raise ValueError(
                f"characteristic {self.number}: the lower limit {self.lower} is not below the upper {self.upper}"
            )
        return self


class RequirementChange(Value):
    """One change of a requirement that the shape does not show, read from the drawing by a person."""

    what: Literal[
        "characteristic added",
        "characteristic removed",
        "limit tightened",
        "limit loosened",
        "material or condition",
        "heat treatment",
        "finish",
        "marking",
        "specification issue",
        "note",
    ]
    characteristic: Line | None = None
    words: Line


class Requirements(Entry):
    """What the drawing asks of a revision beside its shape. The newest entry of a revision counts."""

    KIND: ClassVar[str] = "requirements"
    id: OwnUlid
    part: PartRef
    revision: RevisionRef
    characteristics: tuple[Characteristic, ...]
    material: MaterialRef | None = None
    condition: Line | None = None
    heat_treatment: Line | None = None
    finish: Line | None = None
    marking: Line | None = None
    specifications: tuple[Line, ...] = ()
    notes: tuple[Line, ...] = ()
    drawing_compared: bool
    changes_since: tuple[RequirementChange, ...] = ()

    @model_validator(mode="after")
    def _numbers_are_unique(self) -> Self:
        numbers = [characteristic.number for characteristic in self.characteristics]
        twice = sorted({number for number in numbers if numbers.count(number) > 1})
        if twice:
            raise ValueError(f"characteristic {twice[0]} stands twice")
        return self
