"""Where a surface is smooth and where it has edges, for pictures."""

import math

import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components

from vault.geometry.mesh import FloatArray, IntArray, Shape
from vault.geometry.topology import edge_numbers

_SMOOTH = math.cos(math.radians(30))


def face_normals(shape: Shape) -> FloatArray:
    """Return (m, 3) normals as long as twice the area of each face."""
    corners = shape.corners
    normals: FloatArray = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    return normals


def smooth_patches(shape: Shape) -> IntArray:
    """Return for each face the number of its patch: faces that meet at less than 30 degrees are of one patch."""
    normal = face_normals(shape)
    length = np.sqrt(np.einsum("ij,ij->i", normal, normal))
    unit = normal / np.where(length > 0, length, 1.0)[:, None]
    number, count = edge_numbers(shape.faces)
    order = np.argsort(number, kind="stable")
    first = (np.cumsum(count) - count)[count == 2]
    one, other = order[first] % len(unit), order[first + 1] % len(unit)
    thin = (length[one] == 0) | (length[other] == 0)  # a face without area bends nowhere
    smooth = thin | (np.einsum("ij,ij->i", unit[one], unit[other]) > _SMOOTH)
    links = coo_matrix(
        (np.ones(int(smooth.sum()), dtype=np.int8), (one[smooth], other[smooth])), shape=(len(unit),) * 2
    )
    patches: IntArray = connected_components(links, directed=False)[1].astype(np.int64)
    return patches


def corner_normals(shape: Shape, patch: IntArray) -> FloatArray:
    """Return (m, 3, 3) normals for each corner of each face: the mean of its patch around that corner."""
    key = (shape.faces * (int(patch.max()) + 1) + patch[:, None]).ravel()
    _, group = np.unique(key, return_inverse=True)
    group = group.reshape(-1)
    weights = np.repeat(face_normals(shape), 3, axis=0)
    sums = np.stack([np.bincount(group, weights[:, axis]) for axis in range(3)], axis=1)
    length = np.sqrt(np.einsum("ij,ij->i", sums, sums))
    normals: FloatArray = (sums / np.where(length > 0, length, 1.0)[:, None])[group]
    return normals.reshape(-1, 3, 3)
