"""Which triangle is seen at each pixel: an orthographic depth buffer in plain numpy, without a display."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from vault.geometry.mesh import BoolArray, FloatArray, IntArray

_PIXELS_AT_ONCE = 1 << 21
NOTHING = -1


@dataclass(frozen=True, eq=False)
class Seen:
    """What a camera sees: for each pixel the triangle (or NOTHING), where in it, and how near it is."""

    triangle: IntArray  # (h, w)
    depth: FloatArray  # (h, w), larger is nearer; -inf where nothing is
    weights: FloatArray  # (h, w, 3), shares of the three corners
    slope: FloatArray  # (h, w), how fast the depth changes from pixel to pixel on this triangle


def see(corners: FloatArray, size: tuple[int, int]) -> Seen:
    """Look along -z at (m, 3, 3) triangles whose x and y are pixels (y downwards) and whose z grows towards the viewer.

    A pixel belongs to a triangle if its centre does. Where two are equally near, the later one is seen.
    """
    width, height = size
    depth = np.full(width * height, -np.inf)
    seen = np.full(width * height, NOTHING, dtype=np.int64)
    for start, stop in _batches(corners, size):
        part = corners[start:stop]
        triangle, pixel = _covered(part, width, height)
        near = (_weights(part[triangle], pixel, width) * part[triangle, :, 2]).sum(axis=1)
        np.maximum.at(depth, pixel, near)
        front = near == depth[pixel]
        seen[pixel[front]] = triangle[front] + start
    hit = np.flatnonzero(seen != NOTHING)
    weights = np.zeros((width * height, 3))
    weights[hit] = _weights(corners[seen[hit]], hit, width)
    slope = np.zeros(width * height)
    slope[hit] = _slopes(corners)[seen[hit]]
    shape = (height, width)
    return Seen(seen.reshape(shape), depth.reshape(shape), weights.reshape(*shape, 3), slope.reshape(shape))


def _slopes(corners: FloatArray) -> FloatArray:
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    slopes: FloatArray = np.hypot(normal[:, 0], normal[:, 1]) / np.maximum(np.abs(normal[:, 2]), 1e-12)
    return slopes


def _batches(corners: FloatArray, size: tuple[int, int]) -> list[tuple[int, int]]:
    """Cut the triangles into runs that cover about as many pixels as memory should hold."""
    low, high = corners[:, :, :2].min(axis=1), corners[:, :, :2].max(axis=1)
    boxes = np.prod(np.minimum(high - low + 2, np.array(size) + 2), axis=1) + (high - low)[:, 1]
    run = np.floor(np.cumsum(boxes) / _PIXELS_AT_ONCE)
    cuts = np.flatnonzero(np.diff(run)) + 1
    edges = [0, *cuts.tolist(), len(corners)]
    return list(pairwise(edges))


def _covered(corners: FloatArray, width: int, height: int) -> tuple[IntArray, IntArray]:
    """Return (triangle, pixel) for every pixel centre inside every triangle, row by row."""
    x, y = corners[:, :, 0], corners[:, :, 1]
    first = np.clip(np.ceil(y.min(axis=1) - 0.5), 0, height).astype(np.int64)
    last = np.clip(np.floor(y.max(axis=1) - 0.5), -1, height - 1).astype(np.int64)
    triangle, row = _spans(first, last)
    middle = row + 0.5
    left, right = np.full(len(row), np.inf), np.full(len(row), -np.inf)
    for a, b in ((0, 1), (1, 2), (2, 0)):
        ya, yb = y[triangle, a], y[triangle, b]
        crosses = (np.minimum(ya, yb) <= middle) & (middle <= np.maximum(ya, yb)) & (ya != yb)
        share = np.where(crosses, (middle - ya) / np.where(ya == yb, 1.0, yb - ya), 0.0)
        at = x[triangle, a] + share * (x[triangle, b] - x[triangle, a])
        left = np.where(crosses, np.minimum(left, at), left)
        right = np.where(crosses, np.maximum(right, at), right)
    begin = np.clip(np.ceil(left - 0.5), 0, width).astype(np.int64)
    end = np.clip(np.floor(right - 0.5), -1, width - 1).astype(np.int64)
    span, column = _spans(begin, end)
    return triangle[span], row[span] * width + column


def _spans(first: IntArray, last: IntArray) -> tuple[IntArray, IntArray]:
    """Return (which, value) for every whole value from first to last of each pair."""
    count = np.maximum(last - first + 1, 0)
    which = np.repeat(np.arange(len(count)), count)
    return which, np.arange(len(which)) - np.repeat(np.cumsum(count) - count, count) + first[which]


def _weights(corners: FloatArray, pixel: IntArray, width: int) -> FloatArray:
    """Return (n, 3) barycentric shares of the centres of pixels in their triangles, kept within the triangle."""
    x, y = pixel % width + np.float64(0.5), pixel // width + np.float64(0.5)
    (ax, ay), (bx, by), (cx, cy) = (corners[:, corner, :2].T for corner in range(3))
    whole = (bx - ax) * (cy - ay) - (cx - ax) * (by - ay)
    whole = np.where(whole == 0, 1.0, whole)
    b = ((x - ax) * (cy - ay) - (cx - ax) * (y - ay)) / whole
    c = ((bx - ax) * (y - ay) - (x - ax) * (by - ay)) / whole
    shares = np.clip(np.stack([1 - b - c, b, c], axis=1), 0.0, 1.0)
    total = shares.sum(axis=1, keepdims=True)
    kept: FloatArray = shares / np.where(total == 0, 1.0, total)
    return kept


def outlines(seen: Seen, patch: IntArray, jump: float) -> BoolArray:
    """Return (h, w) True where a line belongs: between patches of the surface, at jumps in depth, and at the rim.

    `patch` is the smooth patch of each triangle; `jump` is the step in depth, in pixels, that shows on a level face. On
    a slope more is needed: the flatter of both sides decides.
    """
    label = np.where(seen.triangle == NOTHING, NOTHING, patch[seen.triangle])
    line = np.zeros(label.shape, dtype=np.bool_)
    for axis in (0, 1):
        here, there = [slice(None)] * 2, [slice(None)] * 2
        here[axis], there[axis] = slice(None, -1), slice(1, None)
        one, other = tuple(here), tuple(there)
        with np.errstate(invalid="ignore"):  # nothing beside nothing
            step = seen.depth[one] - seen.depth[other]
        allowed = jump + 2 * np.minimum(seen.slope[one], seen.slope[other])
        differs = (label[one] != label[other]) | (np.abs(np.nan_to_num(step)) > allowed)
        line[one] |= differs
        line[other] |= differs
    drawn: BoolArray = line & (label != NOTHING)
    return drawn
