"""The exactly closest place on a mesh, for many points at once.

A tree of boxes over the triangles, walked level by level. Plain numpy; exact to rounding (about 1e-12 of the size of
the mesh), whatever the form of the triangles.
"""

import math

import numpy as np
from scipy.spatial import cKDTree

from vault.geometry.mesh import BoolArray, FloatArray, IntArray

_LEAF = 4
_POINTS_AT_ONCE = 1 << 15
_PAIRS_AT_ONCE = 1 << 20


class NearestTriangle:
    """Answers how far points are from a mesh, and which of its triangles is closest."""

    def __init__(self, corners: FloatArray) -> None:
        """Build the tree over (m, 3, 3) triangles, mm."""
        count = len(corners)
        self._levels = max(0, math.ceil(math.log2(max(1, count / _LEAF))))
        self._order = _median_order(corners.mean(axis=1), self._levels)
        self._leaf_starts = np.round(np.linspace(0, count, (1 << self._levels) + 1)).astype(np.int64)
        self._corners = corners[self._order]
        self._boxes = self._make_boxes()
        self._seeds, self._seed_tree = self._make_seeds()

    def _make_boxes(self) -> list[tuple[FloatArray, FloatArray]]:
        """Return (low, high) of every node, level by level from the root."""
        starts = self._leaf_starts[:-1]
        low = np.minimum.reduceat(self._corners.min(axis=1), starts)
        high = np.maximum.reduceat(self._corners.max(axis=1), starts)
        boxes = [(low, high)]
        while len(low) > 1:
            low, high = np.minimum(low[0::2], low[1::2]), np.maximum(high[0::2], high[1::2])
            boxes.append((low, high))
        return boxes[::-1]

    def _make_seeds(self) -> tuple[IntArray, cKDTree]:
        """Return a triangle for each of many points spread over the mesh, and a tree of these points."""
        points, owners = spread_points(self._corners, max(20_000, 2 * len(self._corners)))
        return owners, cKDTree(points, balanced_tree=False)

    def query(self, points: FloatArray) -> tuple[FloatArray, IntArray]:
        """Return the distance (n,) mm and the closest triangle (n,) for (n, 3) points."""
        distance = np.empty(len(points))
        triangle = np.empty(len(points), dtype=np.int64)
        for start in range(0, len(points), _POINTS_AT_ONCE):
            piece = slice(start, start + _POINTS_AT_ONCE)
            distance[piece], triangle[piece] = self._query(points[piece])
        return distance, triangle

    def _query(self, points: FloatArray) -> tuple[FloatArray, IntArray]:
        _, seed = self._seed_tree.query(points)
        best_triangle = self._seeds[seed]
        best = squared_distances(points, self._corners[best_triangle])
        who = np.arange(len(points))
        node = np.zeros(len(points), dtype=np.int64)
        for level, (low, high) in enumerate(self._boxes):
            gap = np.maximum(np.maximum(low[node] - points[who], points[who] - high[node]), 0.0)
            near = np.einsum("ij,ij->i", gap, gap) < best[who]
            who, node = who[near], node[near]
            if level < self._levels:
                who, node = np.repeat(who, 2), np.stack([2 * node, 2 * node + 1], axis=1).ravel()
        self._search_leaves(points, who, node, best, best_triangle)
        return np.sqrt(best), self._order[best_triangle]

    def _search_leaves(
        self, points: FloatArray, who: IntArray, leaf: IntArray, best: FloatArray, winner: IntArray
    ) -> None:
        """Measure every triangle of the leaves that are left; improve `best` (squared) and `winner` in place."""
        sizes = self._leaf_starts[leaf + 1] - self._leaf_starts[leaf]
        for start in range(0, len(who), _PAIRS_AT_ONCE // _LEAF):
            piece = slice(start, start + _PAIRS_AT_ONCE // _LEAF)
            size = sizes[piece]
            point = np.repeat(who[piece], size)
            within = np.arange(len(point)) - np.repeat(np.cumsum(size) - size, size)
            triangle = np.repeat(self._leaf_starts[leaf[piece]], size) + within
            squared = squared_distances(points[point], self._corners[triangle])
            before = best.copy()
            np.minimum.at(best, point, squared)
            better = (squared == best[point]) & (squared < before[point])
            winner[point[better]] = triangle[better]


def halve(triangles: FloatArray) -> FloatArray:
    """Cut each of (n, 3, 3) triangles across its longest edge; the halves of number i are i and n + i."""
    sides = triangles[:, [1, 2, 0]] - triangles
    longest = np.einsum("ijk,ijk->ij", sides, sides).argmax(axis=1)
    row = np.arange(len(triangles))
    a, b, c = (triangles[row, (longest + step) % 3] for step in range(3))
    middle = (a + b) / 2
    return np.concatenate([np.stack([a, middle, c], axis=1), np.stack([middle, b, c], axis=1)])


def _median_order(centres: FloatArray, levels: int) -> IntArray:
    """Order triangles so that each half, quarter, ... of the order is one side of a cut across the longest extent."""
    order = np.arange(len(centres))
    for level in range(levels):
        starts = np.round(np.linspace(0, len(centres), (1 << level) + 1)).astype(np.int64)
        sorted_centres = centres[order]
        extent = np.maximum.reduceat(sorted_centres, starts[:-1]) - np.minimum.reduceat(sorted_centres, starts[:-1])
        group = np.repeat(np.arange(1 << level), np.diff(starts))
        along = np.take_along_axis(sorted_centres, extent.argmax(axis=1)[group][:, None], axis=1)[:, 0]
        order = order[np.lexsort((along, group))]
    return order


def spread_points(corners: FloatArray, wanted: int) -> tuple[FloatArray, IntArray]:
    """Return points spread evenly over triangles, about `wanted` and at least one each, and the triangle of each point.

    The same triangles always give the same points: a fixed sequence of low discrepancy, no chance.
    """
    normal = _cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    area = np.sqrt(np.einsum("ij,ij->i", normal, normal))
    share = area / total if (total := float(area.sum())) > 0 else np.zeros(len(area))
    count = np.maximum(1, np.floor(share * wanted).astype(np.int64))
    owner = np.repeat(np.arange(len(corners)), count)
    turn = np.arange(len(owner)) - np.repeat(np.cumsum(count) - count, count)
    u = (0.5 + turn * 0.7548776662466927) % 1.0  # the two-dimensional golden ratio: 1/g and 1/g^2 of g^3 = g + 1
    v = (0.5 + turn * 0.5698402909980532) % 1.0
    root = np.sqrt(u)
    alone = count[owner] == 1
    second = np.where(alone, 1 / 3, root * (1 - v))[:, None]
    third = np.where(alone, 1 / 3, root * v)[:, None]
    a, b, c = corners[owner, 0], corners[owner, 1], corners[owner, 2]
    return a + second * (b - a) + third * (c - a), owner


def squared_distances(points: FloatArray, corners: FloatArray) -> FloatArray:
    """Return the squared distance of each of (n, 3) points from its own one of (n, 3, 3) triangles, mm2.

    By the regions of a triangle (Ericson, Real-Time Collision Detection, 5.1.5, worked out again for arrays): inside,
    the distance from the plane; else the nearest of the three edges. A triangle without area has only its edges.
    """
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    ab, ac, bc = b - a, c - a, c - b
    ap, bp = points - a, points - b
    normal = _cross(ab, ac)
    squared_normal = _dot(normal, normal)
    inside = over_triangles(points, corners)
    edges = np.minimum(_to_edge(ap, ab), np.minimum(_to_edge(ap, ac), _to_edge(bp, bc)))
    height = _dot(ap, normal)
    plane = height * height / np.where(squared_normal > 0, squared_normal, 1.0)
    return np.where(inside, plane, edges)


def over_triangles(points: FloatArray, corners: FloatArray) -> BoolArray:
    """Say for each point whether its foot on the plane of its own triangle lies inside that triangle."""
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    ab, ac, ap = b - a, c - a, points - a
    normal = _cross(ab, ac)
    inside: BoolArray = (
        (_dot(_cross(ab, ap), normal) >= 0)
        & (_dot(_cross(c - b, points - b), normal) >= 0)
        & (_dot(_cross(ap, ac), normal) >= 0)
        & (_dot(normal, normal) > 0)
    )
    return inside


def _to_edge(from_start: FloatArray, edge: FloatArray) -> FloatArray:
    length = _dot(edge, edge)
    along = np.clip(_dot(from_start, edge) / np.where(length > 0, length, 1.0), 0.0, 1.0)
    rest = from_start - along[:, None] * edge
    return _dot(rest, rest)


def _cross(a: FloatArray, b: FloatArray) -> FloatArray:
    """Cross products of rows; twice as fast as numpy's own, which is general."""
    (ax, ay, az), (bx, by, bz) = a.T, b.T
    return np.stack([ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx], axis=1)


def _dot(a: FloatArray, b: FloatArray) -> FloatArray:
    result: FloatArray = np.einsum("ij,ij->i", a, b)
    return result
