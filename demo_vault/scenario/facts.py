"""The kinds of facts that the demo's story is told in: frozen, plain, and free of anything of the register's."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from demo_vault import parts
from demo_vault.shapes.solids import Design

Edits = Mapping[str, float | int | bool]
FileKind = Literal["stl", "stl text", "3mf", "obj", "ply"]


@dataclass(frozen=True)
class RevisionFact:
    """One revision as the customer sent it: what they said, and what really changed in the model."""

    label: str
    on: date
    reason: str
    requested_by: str
    edits: Edits = field(default_factory=dict)
    file: FileKind = "stl"
    released: date | None = None
    accepted: date | None = None
    basis: str = "customer's own design, the PO is the authority"
    accepted_by: str | None = None
    requirement_changes: tuple[tuple[str, str | None, str], ...] = ()  # what, characteristic number, words
    note: str | None = None


@dataclass(frozen=True)
class CharacteristicFact:
    """One balloon of the drawing. A number takes its nominal from the design's dimension; a note has words."""

    number: str
    name: str
    dimension: str | None = None
    tolerance_mm: float | None = None
    key: bool = False
    direction: str = "none"
    feature: str = "other"
    measured_in: str = "as-sintered"
    gauge: str | None = None
    requirement: str | None = None


@dataclass(frozen=True)
class PartFact:
    """A part with its whole history of revisions."""

    number: str
    customer: str
    customer_number: str
    description: str
    design: str
    material: str
    criticality: str
    revisions: tuple[RevisionFact, ...]
    drawing: tuple[CharacteristicFact, ...]
    stages: tuple[tuple[str, date, str], ...] = ()  # stage moved to, when, why
    authority: str = "customer"
    label_scheme: str = "letters"
    classified: bool = True
    drawing_number: str | None = None
    orientation: str = "+x+y+z"  # on the print box; the same on the setter
    gate: str = "100 % inspection"  # how the part got into production
    finish: str | None = None
    base: Edits = field(default_factory=dict)
    note: str | None = None

    def revision(self, label: str) -> RevisionFact:
        """Return the revision with a label. Raises KeyError where there is none."""
        for revision in self.revisions:
            if revision.label == label:
                return revision
        raise KeyError(f"{self.number} has no rev {label}")

    def design_at(self, label: str) -> Design:
        """Return the design as it stood at a revision. Raises KeyError where there is no such label."""
        return self.design_with(label, {})

    def design_with(self, label: str, edits: Edits) -> Design:
        """Return the design of a revision with some dimensions changed. Raises KeyError as `design_at`."""
        dimensions = dict(self.base)
        for revision in self.revisions[: self.revisions.index(self.revision(label)) + 1]:
            dimensions |= revision.edits
        return parts.design(self.design, {**dimensions, **edits})

    def nominal_mm(self, label: str, characteristic: CharacteristicFact) -> float | None:
        """Return the nominal of a dimension at a revision; None for a note."""
        if characteristic.dimension is None:
            return None
        return float(getattr(self.design_at(label), characteristic.dimension))

    def stage_on(self, day: date) -> str:
        """Return the stage of the part on a day."""
        return next((stage for stage, since, _ in reversed(self.stages) if since <= day), "prototype")


@dataclass(frozen=True)
class LotFact:
    """Pieces of one part in one campaign: for an order, or a trial where there is none."""

    key: str
    part: str
    label: str
    started: int
    order: str | None = None
    measured: int = 12
    settings: str = "S1"
    faults: Mapping[str, float] = field(default_factory=dict)  # characteristic number: mm off in this lot


@dataclass(frozen=True)
class CampaignFact:
    """One box printed from one blend, sintered in one load, with all the lots in it."""

    key: str
    printed: date
    machine: str
    box: str
    furnace: str
    blend: str
    operator: str
    lots: tuple[LotFact, ...]

    @property
    def material(self) -> str:
        """The grade, as the blend's key begins with it."""
        return self.blend.rsplit("/", 1)[0]


@dataclass(frozen=True)
class OrderFact:
    """One line of a PO."""

    key: str
    part: str
    po: str
    line: str
    revision_as_written: str | None
    schedule: tuple[tuple[date, int], ...]
    received: date
    amendment: str | None = None
    over: int = 0
    under: int = 0
    clauses: tuple[tuple[str, str], ...] = ()
    quote: str = "agrees"
    note: str | None = None

    @property
    def quantity(self) -> int:
        """Pieces over the whole schedule."""
        return sum(count for _, count in self.schedule)


@dataclass(frozen=True)
class BlendFact:
    """A powder blend: what went in (older blends by key, or a supplier's lot) and what a sample measured."""

    key: str
    made: date
    parents: tuple[tuple[str, float], ...]  # blend key or "supplier:<lot>", kg
    made_kg: float
    returned_from_run: bool = False
    oxygen_ppm: float | None = None
    d50_um: float | None = None

    @property
    def material(self) -> str:
        """The grade, as the key begins with it."""
        return self.key.rsplit("/", 1)[0]
