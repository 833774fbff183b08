"""Who said yes to what, and how far: releases, acceptances, holds, stage moves, concessions."""

from datetime import date
from typing import Annotated, ClassVar, Literal, Self

from pydantic import Field, model_validator

from vault.model.base import Count, Entry, Line, Note, Value
from vault.model.design import KeptFile, RevisionLabel
from vault.model.ids import (
    BlendRef,
    BoxRunRef,
    EntryRef,
    LoadRef,
    LotRef,
    OwnUlid,
    PartRef,
    PersonRef,
    RevisionRef,
    SettingsRef,
)
from vault.model.words import (
    AcceptanceBasis,
    CarryVerdict,
    Stage,
)


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
