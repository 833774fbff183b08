"""Cutting the polygons of OBJ, OFF and PLY files into triangles."""

import numpy as np

from vault.errors import BadInput
from vault.geometry.mesh import FloatArray, IntArray


def to_triangles(vertices: FloatArray, corners: IntArray, sizes: IntArray) -> IntArray:
    """Cut polygons into fans of triangles and return (m, 3) corner numbers, in the order of the polygons.

    `corners` holds the corner numbers of all polygons one after the other, `sizes` how many each has. A fan starts at a
    corner from which no triangle turns over, so that area and volume stay those of the polygon.

    Raises:
        BadInput: A polygon has fewer than 3 corners, names a corner out of range, or cannot be cut into one fan.
    """
    if not len(sizes):
        raise BadInput("holds no triangles")
    if int(sizes.min()) < 3:
        raise BadInput(f"holds a face with {int(sizes.min())} corners")
    if int(corners.min()) < 0 or int(corners.max()) >= len(vertices):
        raise BadInput(f"holds a face with a corner that is none of its {len(vertices)} points")
    starts = np.cumsum(sizes) - sizes
    pieces, owners = [], []
    for size in np.unique(sizes):
        which = np.flatnonzero(sizes == size)
        polygons = corners[starts[which][:, None] + np.arange(size)]
        fans = polygons[:, None, :] if size == 3 else _fans(vertices, polygons)
        pieces.append(fans.reshape(-1, 3))
        owners.append(np.repeat(which, size - 2))
    owner = np.concatenate(owners)
    return np.concatenate(pieces)[np.argsort(owner, kind="stable")]


def _fans(vertices: FloatArray, polygons: IntArray) -> IntArray:
    """Return (k, size - 2, 3) corner numbers, one fan for each of k polygons of one size."""
    count, size = polygons.shape
    fans = np.empty((count, size - 2, 3), dtype=np.int64)
    open_ones = np.arange(count)
    for start in range(size):
        turned = np.roll(polygons[open_ones], -start, axis=1)
        hub = np.broadcast_to(turned[:, :1], (len(turned), size - 2))
        fan = np.stack([hub, turned[:, 1:-1], turned[:, 2:]], axis=2)
        points = vertices[fan]
        with np.errstate(over="ignore", invalid="ignore"):  # absurd coordinates fail the comparison
            normals = np.cross(points[:, :, 1] - points[:, :, 0], points[:, :, 2] - points[:, :, 0])
            whole = normals.sum(axis=1)  # the polygon's own area vector, whatever the start
            good = (np.einsum("ijk,ik->ij", normals, whole) >= 0).all(axis=1)
        fans[open_ones[good]] = fan[good]
        open_ones = open_ones[~good]
        if not len(open_ones):
            return fans
    raise BadInput(f"holds a face with {size} corners that bends inwards too much to cut; export it as triangles")
