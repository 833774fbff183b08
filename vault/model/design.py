"""What the customer sends and what the part must be: receipts, revisions, requirements, and who said yes to what."""

from datetime import date
from typing import Annotated, ClassVar, Literal, Self

from pydantic import Field, model_validator

from vault.model.base import Count, Entry, Line, Note, Sha256, Value
from vault.model.ids import (
    BlendRef,
    BoxRunRef,
    EntryRef,
    GaugeRef,
    LoadRef,
    LotRef,
    MaterialRef,
    OwnUlid,
    PartRef,
    PersonRef,
    ReceiptRef,
    RevisionRef,
    SettingsRef,
)
from vault.model.shape import MeasuredShape, ShapeChange
from vault.model.words import (
    AcceptanceBasis,
    CarryVerdict,
    Definition,
    Direction,
    Feature,
    FileRole,
    MeasuredIn,
    Stage,
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


class LabelAnswer(Entry):
    """The customer's written answer which of several files is the one with this label."""

    KIND: ClassVar[str] = "label-answer"
    id: OwnUlid
    part: PartRef
    label: RevisionLabel
    revision: RevisionRef
    answered_by: Line
    answered_on: date
    evidence: KeptFile


class Release(Entry):
    """The shop's engineer releases a revision for making."""

    KIND: ClassVar[str] = "release"
    id: OwnUlid
    part: PartRef
    revision: RevisionRef
    note: Note | None = None


class Acceptance(Entry):
    """The customer accepts a revision: on what basis, how far, and where that is written."""

    KIND: ClassVar[str] = "acceptance"
    id: OwnUlid
    part: PartRef
    revision: RevisionRef
    basis: AcceptanceBasis
    accepted_by: Line
    accepted_on: date
    reference: Line | None = None
    evidence: KeptFile
    conditions: Note | None = None
    quantity: Count | None = None
    lots: Count | None = None
    until: date | None = None


class Withdrawal(Entry):
    """A release or an acceptance is taken back."""

    KIND: ClassVar[str] = "withdrawal"
    id: OwnUlid
    part: PartRef
    revision: RevisionRef
    withdraws: EntryRef
    what: Literal["release", "acceptance"]
    reason: Note


class HoldTarget(Value):
    """The one thing that is held."""

    part: PartRef | None = None
    revision: RevisionRef | None = None
    lot: LotRef | None = None
    blend: BlendRef | None = None
    load: LoadRef | None = None
    box_run: BoxRunRef | None = None

    @model_validator(mode="after")
    def _one_thing(self) -> Self:
        named = [value for value in (self.part, self.lot, self.blend, self.load, self.box_run) if value is not None]
        if len(named) != 1 or (self.revision is not None and self.part is None):
            raise ValueError(
                "a hold names one thing: a part (or one revision of it), a lot, a blend, a load or a box run"
            )
        return self


class Hold(Entry):
    """Nothing is made of or shipped from this until somebody lifts the hold."""

    KIND: ClassVar[str] = "hold"
    id: OwnUlid
    target: HoldTarget
    reason: Note


class Lift(Entry):
    """A hold ends."""

    KIND: ClassVar[str] = "lift"
    id: OwnUlid
    target: HoldTarget
    hold: EntryRef
    reason: Note


class StageMove(Entry):
    """The part is made in another way from now on."""

    KIND: ClassVar[str] = "stage"
    id: OwnUlid
    part: PartRef
    moved_from: Stage
    moved_to: Stage
    reason: Note
    revision: RevisionRef | None = None
    proof: EntryRef | None = None
    way: Literal["capability bound", "100 % inspection", "customer's sampling plan", "not needed"] = "not needed"
    evidence: KeptFile | None = None


class CarryOver(Entry):
    """An engineer's decision whether a proof of an older revision covers this one, with reasons and a name."""

    KIND: ClassVar[str] = "carry-over"
    id: OwnUlid
    part: PartRef
    proof: EntryRef
    proven_revision: RevisionRef
    revision: RevisionRef
    computed: CarryVerdict
    decided: CarryVerdict
    reason: Note
    signed_by_quality: PersonRef | None = None


class Permission(Value):
    """What a concession or a permit allows, and how far."""

    reference: Line
    granted_by: Line
    granted_on: date
    characteristics: tuple[Line, ...] = ()
    words: Note
    quantity: Count | None = None
    until: date | None = None
    evidence: KeptFile

    @model_validator(mode="after")
    def _is_limited(self) -> Self:
        if self.quantity is None and self.until is None:
            raise ValueError("needs a quantity or a last day: no permission is for ever (ISO 9000, 3.12.5 and 3.12.6)")
        return self


class Concession(Entry):
    """After making: the design authority lets pieces that do not conform be used."""

    KIND: ClassVar[str] = "concession"
    id: OwnUlid
    part: PartRef
    revision: RevisionRef
    lots: Annotated[tuple[LotRef, ...], Field(min_length=1)]
    permission: Permission


class Permit(Entry):
    """Before making: the design authority lets the shop depart from a requirement."""

    KIND: ClassVar[str] = "permit"
    id: OwnUlid
    part: PartRef
    revision: RevisionRef
    settings: SettingsRef | None = None
    permission: Permission
