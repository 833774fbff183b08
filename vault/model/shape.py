"""What the register knows of a shape after measuring it."""

from enum import StrEnum
from typing import Annotated

from pydantic import Field

from vault.model.base import Value, WireText

Millimetres3 = tuple[float, float, float]


class Topology(Value):
    """How the surface of a shape hangs together."""

    triangles: Annotated[int, Field(ge=1)]
    vertices: Annotated[int, Field(ge=1)]
    shells: Annotated[int, Field(ge=1)]
    closed: bool
    winding_consistent: bool
    euler_number: int


class MeasuredShape(Value):
    """A shape file as measured, in millimetres. Volume, centre and mass mean little where `closed` is false."""

    engine: WireText  # name and version of what measured it
    file_sha256: Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]
    format: WireText
    unit: WireText
    unit_basis: WireText  # "given by the file", "given by the person" or "guessed: ..."
    volume_mm3: float
    area_mm2: Annotated[float, Field(ge=0)]
    low_mm: Millimetres3
    high_mm: Millimetres3
    centre_of_mass_mm: Millimetres3
    topology: Topology
    tessellation_mm: float | None = None  # chord tolerance, where the file was not a mesh
    cautions: tuple[WireText, ...] = ()  # what a person must know before trusting the numbers

    @property
    def is_solid(self) -> bool:
        """True where the surface encloses metal: closed, wound alike, and not inside out."""
        return self.topology.closed and self.topology.winding_consistent and self.volume_mm3 > 0

    @property
    def size_mm(self) -> Millimetres3:
        """Edge lengths of the bounding box, mm."""
        (x0, y0, z0), (x1, y1, z1) = self.low_mm, self.high_mm
        return (x1 - x0, y1 - y0, z1 - z0)


class ShapeVerdict(StrEnum):
    """What a comparison of two shapes says."""

    SAME = "same"
    WITHIN_RESOLUTION = "same within mesh resolution"
    CHANGED = "changed"


class ShapeChange(Value):
    """The measured difference between two shapes, from the older (a) to the newer (b), as the files are placed."""

    engine: WireText
    a_sha256: Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]
    b_sha256: Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]
    verdict: ShapeVerdict
    resolution_mm: Annotated[float, Field(ge=0)]
    max_a_to_b_mm: Annotated[float, Field(ge=0)]
    max_b_to_a_mm: Annotated[float, Field(ge=0)]
    mean_a_to_b_mm: Annotated[float, Field(ge=0)]
    mean_b_to_a_mm: Annotated[float, Field(ge=0)]
    volume_a_mm3: float
    volume_b_mm3: float
    area_a_mm2: float
    area_b_mm2: float
    size_a_mm: Millimetres3
    size_b_mm: Millimetres3
    same_topology: bool
    uncertainty_mm: Annotated[float, Field(ge=0)] = 0.0  # no point deviates by more than `max_mm` and this together
    cautions: tuple[WireText, ...] = ()  # what the numbers leave open

    @property
    def max_mm(self) -> float:
        """Largest deviation in either direction, mm: one direction alone misses a boss that was added."""
        return max(self.max_a_to_b_mm, self.max_b_to_a_mm)

    @property
    def volume_change(self) -> float:
        """Change of volume as a fraction of the older volume."""
        return (self.volume_b_mm3 - self.volume_a_mm3) / self.volume_a_mm3 if self.volume_a_mm3 else float("inf")

    @property
    def envelope_change_mm(self) -> float:
        """Largest change of a bounding-box edge, mm."""
        return max(abs(b - a) for a, b in zip(self.size_a_mm, self.size_b_mm, strict=True))
