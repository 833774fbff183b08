"""Building blocks of mechanical parts: plates with broken edges, turned bodies, bosses, bores. mm and degrees."""

import math
from collections.abc import Sequence
from typing import Protocol

import numpy as np
from manifold3d import CrossSection, Error, Manifold, Mesh64, OpType, triangulate
from numpy.typing import NDArray

from demo_vault.shapes.outlines import disc, outline, segments

Place = tuple[float, float, float]

_TURN = {
    "z": (0.0, 0.0, 0.0),
    "-z": (180.0, 0.0, 0.0),
    "x": (0.0, 90.0, 0.0),
    "-x": (0.0, -90.0, 0.0),
    "y": (-90.0, 0.0, 0.0),
    "-y": (90.0, 0.0, 0.0),
}


class Design(Protocol):
    """A part as its drawing gives it: named dimensions, and how to make a solid of them."""

    @property
    def tunnels(self) -> int:
        """How many separate ways a wire can be threaded through: the genus that the solid must have."""
        ...

    def solid(self) -> Manifold:
        """Build the solid, in mm."""
        ...


def joined(*solids: Manifold) -> Manifold:
    """Fuse solids into one."""
    return Manifold.batch_boolean(list(solids), OpType.Add)


def cut(body: Manifold, *tools: Manifold) -> Manifold:
    """Take every tool out of the body."""
    return Manifold.batch_boolean([body, *tools], OpType.Subtract)


def placed(solid: Manifold, at: Place = (0.0, 0.0, 0.0), axis: str = "z") -> Manifold:
    """Turn what was built along +z to another axis of the part, then move its origin to `at`."""
    return solid.rotate(_TURN[axis]).translate(at)


def standing(solid: Manifold, thickness_mm: float) -> Manifold:
    """Stand a flat plate up: its y becomes z, and its thickness lies evenly about the plane y = 0."""
    return solid.translate((0.0, 0.0, -thickness_mm / 2.0)).rotate((90.0, 0.0, 0.0))


def round_about(solid: Manifold, count: int, start_deg: float = 0.0) -> Manifold:
    """Repeat a solid about z `count` times, evenly."""
    return joined(*(solid.rotate((0.0, 0.0, start_deg + 360.0 * k / count)) for k in range(count)))


def mirrored(solid: Manifold, normal: Place) -> Manifold:
    """Fuse a solid with its mirror image in the plane through the origin with this normal."""
    return joined(solid, solid.mirror(normal))


def rod(diameter_mm: float, length_mm: float, at: Place = (0.0, 0.0, 0.0), axis: str = "z") -> Manifold:
    """Make a plain cylinder from `at` along an axis; as a cutter it is a drilled hole."""
    radius = diameter_mm / 2.0
    return placed(Manifold.cylinder(length_mm, radius, radius, segments(radius)), at, axis)


def through(diameter_mm: float, x: float = 0.0, y: float = 0.0) -> Manifold:
    """Make the cutter of a hole along z, long enough for every part of the demo."""
    return rod(diameter_mm, 400.0, (x, y, -200.0))


def turned(*corners: tuple[float, ...], sweep_deg: float = 360.0) -> Manifold:
    """Turn an outline of corners `(radius, z)` or `(radius, z, fillet)` about the z axis."""
    section = outline(*corners)
    return Manifold.revolve(section, segments(max(corner[0] for corner in corners)), sweep_deg)


def boss(diameter_mm: float, height_mm: float, foot_mm: float = 0.0, edge_mm: float = 0.0) -> Manifold:
    """Make a round boss on the plane z = 0 with a fillet at its foot and a broken top edge; it reaches 0.2 below."""
    r, h = diameter_mm / 2.0, height_mm
    foot = ((r + foot_mm, -0.2), (r + foot_mm, 0.0), (r, 0.0, foot_mm)) if foot_mm > 0.0 else ((r, -0.2),)
    edge = ((r, h - edge_mm), (r - edge_mm, h)) if edge_mm > 0.0 else ((r, h),)
    return turned((0.0, -0.2), *foot, *edge, (0.0, h))


def countersunk(diameter_mm: float, head_mm: float, at: Place, axis: str = "-z", depth_mm: float = 200.0) -> Manifold:
    """Make the cutter of a hole with a 90 degree countersink, from the face at `at` into the part along `axis`."""
    r, head = diameter_mm / 2.0, head_mm / 2.0
    cutter = turned((0.0, -1.0), (head + 1.0, -1.0), (r, head - r), (r, depth_mm), (0.0, depth_mm))
    return placed(cutter, at, axis)


def counterbored(
    diameter_mm: float, head_mm: float, head_depth_mm: float, at: Place, axis: str = "-z", depth_mm: float = 200.0
) -> Manifold:
    """Make the cutter of a stepped hole for a cap screw or a port fitting, from the face at `at` along `axis`."""
    return joined(
        placed(rod(head_mm, head_depth_mm + 1.0, (0.0, 0.0, -1.0)), at, axis),
        placed(rod(diameter_mm, depth_mm + 1.0, (0.0, 0.0, -1.0)), at, axis),
    )


def drill_point(diameter_mm: float, depth_mm: float, at: Place, axis: str = "-z") -> Manifold:
    """Make the cutter of a blind hole with the 118 degree bottom that a twist drill leaves."""
    r = diameter_mm / 2.0
    tip = r / math.tan(math.radians(59.0))
    return placed(turned((0.0, -1.0), (r, -1.0), (r, depth_mm), (0.0, depth_mm + tip)), at, axis)


def gusset(run_mm: float, rise_mm: float, thickness_mm: float, toe_mm: float = 1.0) -> Manifold:
    """Make a triangular rib in the plane y = 0 from the corner at the origin, along +x and +z, sunk 0.5 into both."""
    side = outline((-0.5, -0.5), (run_mm, -0.5), (run_mm, toe_mm), (toe_mm, rise_mm), (-0.5, rise_mm))
    return standing(side.extrude(thickness_mm), thickness_mm)


def plate(
    section: CrossSection, height_mm: float, top_mm: float = 0.0, bottom_mm: float = 0.0, steps: int = 1
) -> Manifold:
    """Raise a section from z = 0 to `height_mm` with its top and bottom edges broken all round, holes too.

    `steps` 1 gives a chamfer, more give a rounded edge. Fillets in the section must be larger than the edge breaks.

    Raises:
        ValueError: An edge break is larger than a fillet or a wall of the section allows.
    """
    layers = _layers(height_mm, top_mm, bottom_mm, steps)
    lines = [_without_specks(np.asarray(line, dtype=np.float64)) for line in section.simplify(2e-3).to_polygons()]
    rings = [[_inset(line, inset_mm) for line in lines] for inset_mm, _ in layers]
    points = np.vstack(
        [
            np.column_stack([line, np.full(len(line), z)])
            for ring, (_, z) in zip(rings, layers, strict=True)
            for line in ring
        ]
    )
    per_ring = sum(len(line) for line in lines)
    floor = triangulate(rings[0])[:, ::-1]
    roof = triangulate(rings[-1]) + per_ring * (len(layers) - 1)
    sides = [_side(lines, per_ring, level) for level in range(len(layers) - 1)]
    faces = np.vstack([floor, *sides, roof]).astype(np.uint64)
    solid = Manifold(Mesh64(vert_properties=points, tri_verts=faces))
    if solid.status() != Error.NoError:
        raise ValueError(f"the plate is not a closed solid: {solid.status().name}")
    return solid


def _layers(height_mm: float, top_mm: float, bottom_mm: float, steps: int) -> list[tuple[float, float]]:
    """Return (inset, z) of every level, from the floor to the roof."""
    angles = [math.pi / 2.0 * step / steps for step in range(steps + 1)]
    foot = (
        [(bottom_mm * (1.0 - math.sin(a)), bottom_mm * (1.0 - math.cos(a))) for a in angles]
        if bottom_mm > 0.0
        else [(0.0, 0.0)]
    )
    head = [(top_mm * (1.0 - math.sin(a)), height_mm - top_mm * (1.0 - math.cos(a))) for a in angles]
    return foot + (head[::-1] if top_mm > 0.0 else [(0.0, height_mm)])


def _without_specks(line: NDArray[np.float64], shortest_mm: float = 0.12) -> NDArray[np.float64]:
    """Drop corners that sit almost on the one before: offsetting leaves such specks where arcs meet lines."""
    kept = [line[0]]
    for point in line[1:]:
        if math.dist(point, kept[-1]) > shortest_mm and math.dist(point, kept[0]) > shortest_mm:
            kept.append(point)
    return np.asarray(kept)


def _inset(line: NDArray[np.float64], inset_mm: float) -> NDArray[np.float64]:
    """Move every edge of a closed line to its left by `inset_mm`, keeping the corners one to one."""
    if inset_mm == 0.0:
        return line
    along = np.roll(line, -1, axis=0) - line
    along /= np.linalg.norm(along, axis=1)[:, None]
    left = np.column_stack([-along[:, 1], along[:, 0]])
    before = np.roll(left, 1, axis=0)
    moved: NDArray[np.float64] = line + inset_mm * (left + before) / (1.0 + (left * before).sum(axis=1))[:, None]
    if not (((np.roll(moved, -1, axis=0) - moved) * along).sum(axis=1) > 0.0).all():
        raise ValueError(f"an edge break of {inset_mm:.2f} mm is larger than a fillet of its outline")
    return moved


def _side(lines: Sequence[NDArray[np.float64]], per_ring: int, level: int) -> NDArray[np.int64]:
    """Return the triangles of the wall between one level and the next, outward side out."""
    low = level * per_ring
    faces = []
    for line in lines:
        here = low + np.arange(len(line))
        after = np.roll(here, -1)
        faces.append(np.column_stack([here, after, after + per_ring]))
        faces.append(np.column_stack([here, after + per_ring, here + per_ring]))
        low += len(line)
    return np.vstack(faces)


def bar(length_mm: float, width_mm: float, height_mm: float, at: Place = (0.0, 0.0, 0.0)) -> Manifold:
    """Make a plain block whose floor is centred on `at`."""
    block = Manifold.cube((length_mm, width_mm, height_mm))
    return block.translate((at[0] - length_mm / 2.0, at[1] - width_mm / 2.0, at[2]))


def ring_of_holes(count: int, circle_mm: float, diameter_mm: float, start_deg: float = 0.0) -> Manifold:
    """Make the cutters of a bolt circle along z."""
    hole = disc(diameter_mm, circle_mm / 2.0).extrude(400.0).translate((0.0, 0.0, -200.0))
    return round_about(hole, count, start_deg)
