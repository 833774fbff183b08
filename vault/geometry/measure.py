"""The numbers of a shape: volume, area, box, centre of mass, topology."""

from pathlib import Path

import numpy as np

from vault.errors import BadInput
from vault.geometry.child import ShapeReader
from vault.geometry.load import DEFAULT_LIMITS
from vault.geometry.mesh import ENGINE, FloatArray, Limits, Shape
from vault.geometry.topology import measure_topology
from vault.model.shape import MeasuredShape, Millimetres3


def measure_file(
    path: Path, unit: str | None = None, limits: Limits = DEFAULT_LIMITS, reader: ShapeReader | None = None
) -> tuple[Shape, MeasuredShape]:
    """Read a shape file in a child process and measure it.

    Give a `reader` to have one child serve many files.

    Raises:
        BadInput: The file cannot be read as a shape, or takes too long or too much memory; the sentence names the file.
    """
    if reader is not None:
        shape = reader.load(path, unit)
    else:
        with ShapeReader(limits) as own:
            shape = own.load(path, unit)
    return shape, measure(shape)


def measure(shape: Shape) -> MeasuredShape:
    """Measure a shape that is in memory.

    Volume and centre of mass come from the divergence theorem over signed tetrahedra, taken about the middle of the
    bounding box so that a part far from the origin loses no digits. Where the shape is open or has no volume, the
    centre is that of its surface. An inside-out shape has a negative volume.

    Raises:
        BadInput: The shape has no surface at all.
    """
    topology = measure_topology(shape.faces)
    low, high = shape.low_mm, shape.high_mm
    middle = (low + high) / 2
    volume, area, centre = _integrals(shape.corners - middle, topology.closed)
    if not area > 0:
        raise BadInput("the shape has no surface: all its triangles are flat to a line")
    cautions = list(shape.cautions)
    if not topology.closed:
        cautions.append("the surface is not closed: volume and mass mean little")
    if not topology.winding_consistent:
        cautions.append("some triangles face the wrong way: volume and mass mean little")
    elif topology.closed and not volume > 0:
        cautions.append("the surface is inside out, or holds no volume")
    return MeasuredShape(
        engine=f"{ENGINE}, {shape.reader}, numpy {np.__version__}",
        file_sha256=shape.file_sha256,
        format=shape.format,
        unit=shape.unit,
        unit_basis=shape.unit_basis,
        volume_mm3=volume,
        area_mm2=area,
        low_mm=_three(low),
        high_mm=_three(high),
        centre_of_mass_mm=_three(centre + middle),
        topology=topology,
        tessellation_mm=shape.tessellation_mm,
        cautions=tuple(dict.fromkeys(cautions)),
    )


def _integrals(corners: FloatArray, closed: bool) -> tuple[float, float, FloatArray]:
    """Return volume, area and centre of (m, 3, 3) triangles."""
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    normal = np.cross(b - a, c - a)
    six_volumes = np.einsum("ij,ij->i", a, np.cross(b, c))
    twice_areas = np.sqrt(np.einsum("ij,ij->i", normal, normal))
    volume, area = float(six_volumes.sum() / 6), float(twice_areas.sum() / 2)
    sums = a + b + c
    size = float(np.ptp(corners.reshape(-1, 3), axis=0).max())
    if closed and abs(volume) > 1e-12 * size**3:
        centre = (six_volumes[:, None] * sums).sum(axis=0) / (24 * volume)
    elif area > 0:
        centre = (twice_areas[:, None] * sums).sum(axis=0) / (6 * area)
    else:
        centre = np.zeros(3)
    return volume, area, centre


def volume_mm3(shape: Shape) -> float:
    """Return the enclosed volume of a closed shape, mm3."""
    return _integrals(shape.corners - (shape.low_mm + shape.high_mm) / 2, closed=True)[0]


def _three(values: FloatArray) -> Millimetres3:
    x, y, z = (float(value) for value in values)
    return (x, y, z)
