"""How far one mesh is from another: where it was sampled, and between which bounds the largest deviation lies."""

from dataclasses import dataclass

import numpy as np

from vault.geometry.mesh import BoolArray, FloatArray, IntArray
from vault.geometry.nearest import NearestTriangle, halve, spread_points, squared_distances

SAMPLES = 10_000
_EVALUATIONS = 10_000
_CLOSE_ENOUGH_MM = 1e-4
_CLOSE_ENOUGH_SHARE = 1e-4


@dataclass(frozen=True, eq=False)
class Deviations:
    """Distances of sample points of one mesh from another, and the bounds of the largest anywhere, mm."""

    points: FloatArray
    distances: FloatArray
    faces: IntArray  # of the sampled mesh, one for each sample
    hit_faces: IntArray  # of the other mesh
    mean: float  # over the surface
    largest: float
    upper: float  # no point deviates by more


def deviations(corners: FloatArray, known: BoolArray, other: NearestTriangle, other_corners: FloatArray) -> Deviations:
    """Measure (m, 3, 3) triangles against another mesh.

    `known` is True for triangles that the other mesh holds as well: their deviation is 0 and they are not sampled.
    Samples are all corners and points spread over the faces; the largest deviation is then hunted down between them.
    """
    new = np.flatnonzero(~known)
    if not len(new):
        nothing = np.empty(0)
        return Deviations(np.empty((0, 3)), nothing, new, new, 0.0, 0.0, 0.0)
    spread, owner = spread_points(corners[new], SAMPLES)
    vertices, first = np.unique(corners[new].reshape(-1, 3), axis=0, return_index=True)
    points = np.concatenate([spread, vertices])
    distances, hits = other.query(points)
    area, total = _areas(corners[new]), float(_areas(corners).sum())
    weight = (area / np.bincount(owner, minlength=len(new)))[owner]
    mean = float((weight * distances[: len(spread)]).sum() / total) if total > 0 else 0.0
    bound = np.full(len(new), np.inf)
    np.minimum.at(bound, owner, _farthest_corner(corners[new][owner], other_corners[hits[: len(spread)]]))
    largest, upper = _hunt(corners[new], bound, float(distances.max()), other, other_corners)
    return Deviations(points, distances, np.concatenate([new[owner], new[first // 3]]), hits, mean, largest, upper)


def _farthest_corner(pieces: FloatArray, triangles: FloatArray) -> FloatArray:
    """Return for each piece the largest distance of its three corners from its own triangle of the other mesh, mm."""
    squared = np.stack([squared_distances(pieces[:, corner], triangles) for corner in range(3)])
    farthest: FloatArray = np.sqrt(squared.max(axis=0))
    return farthest


def _areas(corners: FloatArray) -> FloatArray:
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    areas: FloatArray = np.sqrt(np.einsum("ij,ij->i", normal, normal)) / 2
    return areas


def _hunt(
    pieces: FloatArray, bound: FloatArray, best: float, other: NearestTriangle, other_corners: FloatArray
) -> tuple[float, float]:
    """Return (largest deviation found, a bound that none exceeds) over triangles, by branch and bound.

    The distance to *one* triangle of the other mesh is a convex function of the place, so over a piece it is largest
    at a corner of the piece; and the distance to the mesh is never more. Pieces that cannot beat the best are
    dropped, the others halved. `bound` holds such a bound for each piece already.
    """
    upper, spent = best, 0
    while True:
        is_open = bound > best + max(_CLOSE_ENOUGH_MM, _CLOSE_ENOUGH_SHARE * best)
        upper = max(upper, float(bound[~is_open].max(initial=0.0)))
        pieces = halve(pieces[is_open])
        if not len(pieces) or spent + len(pieces) > _EVALUATIONS:
            return best, max(best, upper, float(bound[is_open].max(initial=0.0)))
        centres = pieces.mean(axis=1)
        distances, hits = other.query(centres)
        spent += len(pieces)
        best = max(best, float(distances.max()))
        bound = np.minimum(_farthest_corner(pieces, other_corners[hits]), np.tile(bound[is_open], 2))
