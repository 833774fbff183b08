"""Is this the same shape? Two shapes as their files place them, measured against each other both ways.

Nothing is moved or turned to fit. Three answers: the same; the same as far as these meshes can tell; changed. A shape
that is open or twisted is never called the same.
"""

from dataclasses import dataclass

import numpy as np
from scipy.spatial import cKDTree

from vault.geometry.chord import chord_bounds
from vault.geometry.deviation import Deviations, deviations
from vault.geometry.measure import measure
from vault.geometry.mesh import ENGINE, BoolArray, FloatArray, IntArray, KeyArray, Shape, row_keys
from vault.geometry.nearest import NearestTriangle, over_triangles
from vault.model.shape import MeasuredShape, Millimetres3, ShapeChange, ShapeVerdict
from vault.units import mm

SAME_MM = 1e-4
"""Corners nearer than this are the same: what formats lose in printing and in 32-bit numbers is less (measured)."""

_SMALLEST_CHANGE_MM = 1e-3
_MARGIN = 1.05
_FLAT_MM = 1e-6
_ALIKE = 1e-3
_EVERYWHERE = 0.1  # mean over largest deviation: a local change stays far below
_UNIT_SLIPS = {25.4: "inch read as mm", 1000.0: "m read as mm", 10.0: "cm read as mm"}


@dataclass(frozen=True, eq=False)
class _Side:
    """One of the two shapes, ready to be compared: `corners` about the common origin."""

    shape: Shape
    measured: MeasuredShape
    corners: FloatArray
    chord: FloatArray


def compare(a: Shape, b: Shape) -> ShapeChange:
    """Measure how the newer shape `b` differs from the older `a`, as the files are placed; mm.

    Deviations are distances from one surface to the other, exact at the samples; the largest lies between `max_mm` and
    `max_mm + uncertainty_mm`, proven. `resolution_mm` is what the two tessellations can differ by for one and the
    same part, estimated from the meshes.

    Raises:
        BadInput: One of the shapes has no surface.
    """
    origin = (a.low_mm + a.high_mm) / 2
    one, other = _side(a, origin), _side(b, origin)
    known_a, known_b = _shared_triangles(one.corners, other.corners)
    tree_a, tree_b = NearestTriangle(one.corners), NearestTriangle(other.corners)
    forth = deviations(one.corners, known_a, tree_b, other.corners)
    back = deviations(other.corners, known_b, tree_a, one.corners)
    resolution = max(_SMALLEST_CHANGE_MM, _MARGIN * float(one.chord.max() + other.chord.max()))
    verdict = _verdict(one, other, forth, back, resolution, bool(known_a.all() and known_b.all()))
    x, y = one.measured, other.measured
    return ShapeChange(
        engine=f"{ENGINE}, numpy {np.__version__}",
        a_sha256=a.file_sha256,
        b_sha256=b.file_sha256,
        verdict=verdict,
        resolution_mm=resolution,
        max_a_to_b_mm=forth.largest,
        max_b_to_a_mm=back.largest,
        mean_a_to_b_mm=forth.mean,
        mean_b_to_a_mm=back.mean,
        volume_a_mm3=x.volume_mm3,
        volume_b_mm3=y.volume_mm3,
        area_a_mm2=x.area_mm2,
        area_b_mm2=y.area_mm2,
        size_a_mm=x.size_mm,
        size_b_mm=y.size_mm,
        same_topology=_same_topology(x, y),
        uncertainty_mm=max(forth.upper, back.upper) - max(forth.largest, back.largest),
        cautions=_cautions(x, y, verdict, resolution, forth),
    )


def _side(shape: Shape, origin: FloatArray) -> _Side:
    return _Side(shape, measure(shape), shape.corners - origin, chord_bounds(shape))


def _verdict(
    one: _Side, other: _Side, forth: Deviations, back: Deviations, resolution: float, all_shared: bool
) -> ShapeVerdict:
    if not _same_topology(one.measured, other.measured):
        return ShapeVerdict.CHANGED
    if _is_sound(one.measured) and _is_sound(other.measured) and (all_shared or _same_mesh(one, other)):
        return ShapeVerdict.SAME
    if max(forth.largest, back.largest) > resolution:
        return ShapeVerdict.CHANGED
    if _flat_face_moved(one, other, forth) or _flat_face_moved(other, one, back):
        return ShapeVerdict.CHANGED
    return ShapeVerdict.CHANGED if _volume_changed(one, other) else ShapeVerdict.WITHIN_RESOLUTION


def _same_topology(x: MeasuredShape, y: MeasuredShape) -> bool:
    return all(
        getattr(x.topology, name) == getattr(y.topology, name)
        for name in ("closed", "winding_consistent", "shells", "euler_number")
    ) and (x.volume_mm3 > 0) == (y.volume_mm3 > 0)


def _is_sound(measured: MeasuredShape) -> bool:
    return measured.topology.closed and measured.topology.winding_consistent and measured.volume_mm3 > 0


def _flat_face_moved(one: _Side, other: _Side, found: Deviations) -> bool:
    """Say whether a flat place of one mesh lies off the other where that is flat too: no tessellation explains this."""
    far = np.flatnonzero(found.distances > _SMALLEST_CHANGE_MM)
    if not len(far):
        return False
    hits = found.hit_faces[far]
    inside = over_triangles(found.points[far], other.corners[hits])
    near_hit = np.where(inside, other.chord[hits], _around(other)[hits])
    return bool((one.chord[found.faces[far]] + near_hit < _FLAT_MM).any())


def _around(side: _Side) -> FloatArray:
    """Return per face the largest chord bound of the faces at its corners: a rim belongs to the curved face too."""
    at_vertex = np.zeros(len(side.shape.vertices))
    np.maximum.at(at_vertex, side.shape.faces.ravel(), np.repeat(side.chord, 3))
    around: FloatArray = at_vertex[side.shape.faces].max(axis=1)
    return around


def _volume_changed(one: _Side, other: _Side) -> bool:
    """Say whether the volumes differ by more than both tessellations can cut off or add."""
    if not (_is_sound(one.measured) and _is_sound(other.measured)):
        return False
    allowed = sum(_MARGIN * _chord_volume(side) + SAME_MM * side.measured.area_mm2 for side in (one, other))
    return not abs(one.measured.volume_mm3 - other.measured.volume_mm3) <= allowed


def _chord_volume(side: _Side) -> float:
    normal = np.cross(side.corners[:, 1] - side.corners[:, 0], side.corners[:, 2] - side.corners[:, 0])
    return float((np.sqrt(np.einsum("ij,ij->i", normal, normal)) / 2 * side.chord).sum())


def _shared_triangles(a: FloatArray, b: FloatArray) -> tuple[BoolArray, BoolArray]:
    """Say for each triangle of either mesh whether the other holds exactly the same one, facing the same way."""
    rows_a, rows_b = _canonical(a), _canonical(b)
    keys_a, keys_b = row_keys(rows_a), row_keys(rows_b)
    return _is_in(rows_a, keys_a, rows_b, keys_b), _is_in(rows_b, keys_b, rows_a, keys_a)


def _canonical(corners: FloatArray) -> FloatArray:
    """Return (m, 9) rows in which each triangle begins with its smallest corner, turning the same way round."""
    x, y, z = corners[:, :, 0], corners[:, :, 1], corners[:, :, 2]
    smallest_x = x == x.min(axis=1, keepdims=True)
    y_left = np.where(smallest_x, y, np.inf)
    smallest_y = smallest_x & (y_left == y_left.min(axis=1, keepdims=True))
    first = np.where(smallest_y, z, np.inf).argmin(axis=1)
    turn = (first[:, None] + np.arange(3)) % 3
    rows: FloatArray = np.take_along_axis(corners, turn[:, :, None], axis=1).reshape(-1, 9) + 0.0
    return rows


def _is_in(rows: FloatArray, keys: KeyArray, others: FloatArray, other_keys: KeyArray) -> BoolArray:
    """Find rows by their keys, then make sure by the rows themselves."""
    order = np.argsort(other_keys, kind="stable")
    at = order[np.minimum(np.searchsorted(other_keys[order], keys), len(order) - 1)]
    found: BoolArray = (others[at] == rows).all(axis=1)
    return found


def _same_mesh(one: _Side, other: _Side) -> bool:
    """Say whether the two are one mesh but for rounding: corners pair off within SAME_MM, and the faces with them."""
    a, b = one.shape, other.shape
    if len(a.vertices) != len(b.vertices) or len(a.faces) != len(b.faces):
        return False
    distance, partner = cKDTree(b.vertices).query(a.vertices)
    if not float(distance.max()) <= SAME_MM or len(np.unique(partner)) != len(partner):
        return False
    return np.array_equal(_sorted_faces(partner[a.faces]), _sorted_faces(b.faces))


def _sorted_faces(faces: IntArray) -> IntArray:
    turn = (faces.argmin(axis=1)[:, None] + np.arange(3)) % 3
    turned = np.take_along_axis(faces, turn, axis=1)
    return turned[np.lexsort(turned.T[::-1])]


def _cautions(
    x: MeasuredShape, y: MeasuredShape, verdict: ShapeVerdict, resolution: float, forth: Deviations
) -> tuple[str, ...]:
    said = ["compared as the files are placed; nothing was moved or turned to fit"]
    for name, measured in (("older", x), ("newer", y)):
        if not _is_sound(measured):
            said.append(f"the {name} shape is not closed or not facing outwards: its volume means little")
    if verdict is ShapeVerdict.WITHIN_RESOLUTION and resolution > _SMALLEST_CHANGE_MM:
        said.append(f"a change smaller than {mm(resolution)} on curved faces would not show in these meshes")
    if verdict is ShapeVerdict.CHANGED:
        said += _likely_slips(x, y, everywhere=forth.mean > _EVERYWHERE * forth.largest)
    return tuple(said)


def _likely_slips(x: MeasuredShape, y: MeasuredShape, everywhere: bool) -> list[str]:
    """Return hints that it is the same part in another unit or place; the latter only where it deviates everywhere."""
    if x.volume_mm3 <= 0 or y.volume_mm3 <= 0:
        return []
    volumes, areas = y.volume_mm3 / x.volume_mm3, y.area_mm2 / x.area_mm2
    if everywhere and abs(volumes - 1) < _ALIKE and abs(areas - 1) < _ALIKE:
        return ["volume and area agree: it may be the same part, moved, turned or mirrored"]
    ratio = _length(y.size_mm) / _length(x.size_mm)
    for factor, slip in _UNIT_SLIPS.items():
        if any(abs(ratio / f - 1) < _ALIKE for f in (factor, 1 / factor)):
            return [f"sizes differ by the factor {factor:g}: {slip}?"]
    return []


def _length(size: Millimetres3) -> float:
    return float(np.linalg.norm(size))
