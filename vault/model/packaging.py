"""The record behind a reprint package: everything that time or a person decided, frozen, so that it can be rebuilt."""

from datetime import date
from typing import Annotated, ClassVar

from pydantic import Field

from vault.model.base import Count, Entry, Line, Note, Positive, Sha256, Value, WireText
from vault.model.findings import Finding
from vault.model.ids import BoxRef, OrderRef, OwnUlid, PackageRef, PartRef, PersonRef, RevisionRef, SettingsRef


class BoxPlan(Value):
    """How many boxes a quantity needs, and how that was counted."""

    box: BoxRef
    method: Line
    per_box: Count
    boxes: Count
    layers: Count
    box_min: Positive
    green_size_mm: tuple[float, float, float]
    grid: tuple[int, int, int]


class PayloadFile(Value):
    """One file in the package and the digest of its bytes."""

    path: Annotated[str, Field(pattern=r"^[A-Za-z0-9._/-]{1,120}$")]
    sha256: Sha256
    size_bytes: Annotated[int, Field(ge=0)]


class Package(Entry):
    """A sealed set of files that the floor needs to make the parts again."""

    KIND: ClassVar[str] = "package"
    id: PackageRef
    order: OrderRef
    part: PartRef
    revision: RevisionRef
    settings: SettingsRef
    source_commit: Annotated[str, Field(pattern=r"^[0-9a-f]{40}$")]
    quantity_to_start: Count
    quantity_to_deliver: Count
    valid_until: date
    basis: WireText
    plan: BoxPlan
    findings: tuple[Finding, ...]
    versions: dict[str, WireText]
    payload: Annotated[tuple[PayloadFile, ...], Field(min_length=1)]
    zip_sha256: Sha256
    zip_bytes: Annotated[int, Field(ge=1)]


class PackageSuperseded(Entry):
    """The package must not be printed any more."""

    KIND: ClassVar[str] = "package-superseded"
    id: OwnUlid
    package: PackageRef
    replaced_by: PackageRef | None = None
    reason: Note


class PaperRecovered(Entry):
    """The paper of a superseded package was taken back from the floor."""

    KIND: ClassVar[str] = "paper-recovered"
    id: OwnUlid
    package: PackageRef
    copies: Count
    by_whom: PersonRef
