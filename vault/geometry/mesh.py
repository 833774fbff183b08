"""The plain values of the geometry room: a shape, what a reader hands over, and the limits a file must keep."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from vault.errors import BadInput

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]
KeyArray = NDArray[np.uint64]

ENGINE = "partstead geometry 1"
"""Name and version of the measuring code; raised when a number it gives may come out otherwise."""

LARGEST_COORDINATE_MM = 1e6
"""A kilometre: beyond it a file is damaged or its unit is wrong, and float64 sums lose digits that matter."""


@dataclass(frozen=True)
class Limits:
    """What one shape file may cost before it is refused."""

    max_bytes: int = 2 << 30
    max_triangles: int = 20_000_000
    max_zip_entries: int = 2000
    max_zip_ratio: int = 400
    max_instances: int = 100_000
    timeout_s: float = 120.0
    memory_bytes: int = 3 << 29
    """Memory beyond what the reader itself needs; twelve times the file where that is more."""


@dataclass(frozen=True)
class ShapePart:
    """One body of a file as the file names it: a run of faces of the shape."""

    name: str
    part_number: str
    first_face: int
    face_count: int


@dataclass(frozen=True, eq=False)
class Shape:
    """A triangle mesh in millimetres and where it came from; the arrays are read-only.

    `vertices` is (n, 3) float64, mm; `faces` is (m, 3) int64, corners counter-clockwise seen from outside.
    """

    vertices: FloatArray
    faces: IntArray
    format: str
    unit: str
    unit_basis: str
    file_sha256: str
    reader: str = "made here"
    parts: tuple[ShapePart, ...] = ()
    tessellation_mm: float | None = None
    cautions: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        """Check the arrays and close them for writing.

        Raises:
            BadInput: The arrays are no triangle mesh.
        """
        vertices = np.ascontiguousarray(self.vertices, dtype=np.float64).view()
        faces = np.ascontiguousarray(self.faces, dtype=np.int64).view()
        check_mesh(vertices, faces)
        vertices.flags.writeable = False
        faces.flags.writeable = False
        object.__setattr__(self, "vertices", vertices)
        object.__setattr__(self, "faces", faces)
        if not self.parts:
            object.__setattr__(self, "parts", (ShapePart("", "", 0, len(faces)),))

    @property
    def corners(self) -> FloatArray:
        """Corner points of every face, (m, 3, 3), mm."""
        return self.vertices[self.faces]

    @property
    def low_mm(self) -> FloatArray:
        """Lowest corner of the bounding box, (3,), mm."""
        return np.asarray(self.vertices.min(axis=0), dtype=np.float64)

    @property
    def high_mm(self) -> FloatArray:
        """Highest corner of the bounding box, (3,), mm."""
        return np.asarray(self.vertices.max(axis=0), dtype=np.float64)


@dataclass(frozen=True, eq=False)
class ReadPart:
    """One body as a reader found it, in the file's own unit."""

    vertices: FloatArray
    faces: IntArray
    name: str = ""
    part_number: str = ""


@dataclass(frozen=True, eq=False)
class ReadFile:
    """What a reader hands over: bodies, and what the file says of itself."""

    parts: tuple[ReadPart, ...]
    reader: str
    unit: str | None = None  # as the file states it
    unit_basis: str = "given by the file"
    mm_per_unit: float | None = None  # where the coordinates above are not in `unit`
    welded: bool = False  # True where the file shares corners by number already
    tessellation_mm: float | None = None
    cautions: tuple[str, ...] = field(default=())


def check_mesh(vertices: FloatArray, faces: IntArray) -> None:
    """Refuse arrays that are no triangle mesh.

    Raises:
        BadInput: Wrong array forms, no triangles, a coordinate that is not finite, or a corner number out of range.
    """
    if vertices.ndim != 2 or vertices.shape[1] != 3 or faces.ndim != 2 or faces.shape[1] != 3:
        raise BadInput("does not hold triangles in space")
    if not len(faces) or not len(vertices):
        raise BadInput("holds no triangles")
    if not np.isfinite(vertices).all():
        raise BadInput("holds a coordinate that is not a finite number")
    low, high = int(faces.min()), int(faces.max())
    if low < 0 or high >= len(vertices):
        wrong = low if low < 0 else high
        raise BadInput(f"names corner {wrong}, but has only the corners 0 to {len(vertices) - 1}")


def weld(vertices: FloatArray, faces: IntArray) -> tuple[FloatArray, IntArray]:
    """Make corners with exactly equal coordinates one vertex, and drop vertices no face uses.

    Vertices come out in the order in which the faces first name them. +0 and -0 are equal; nothing else is moved.
    """
    points = vertices[faces.ravel()] + 0.0  # -0 becomes +0
    key = row_keys(points)
    order = np.argsort(key, kind="stable")
    sorted_points, sorted_key = points[order], key[order]
    new_key = np.ones(len(order), dtype=np.bool_)
    new_key[1:] = sorted_key[1:] != sorted_key[:-1]
    new_point = new_key.copy()
    new_point[1:] |= (sorted_points[1:] != sorted_points[:-1]).any(axis=1)
    if not np.array_equal(new_key, new_point):  # two points share a key: as good as never
        _, group = np.unique(points, axis=0, return_inverse=True)
        group = group.reshape(-1)
    else:
        group = np.empty(len(order), dtype=np.int64)
        group[order] = np.cumsum(new_key) - 1
    _, first = np.unique(group, return_index=True)
    rank = np.empty(len(first), dtype=np.int64)
    by_appearance = np.argsort(first, kind="stable")
    rank[by_appearance] = np.arange(len(first))
    return points[first[by_appearance]], rank[group].reshape(-1, 3)


def row_keys(points: FloatArray) -> KeyArray:
    """Mix the bits of each row of numbers into 64 bits (multiply-xorshift; constants of splitmix64)."""
    bits = np.ascontiguousarray(points).view(np.uint64)
    key = np.zeros(len(points), dtype=np.uint64)
    for column in range(bits.shape[1]):
        key = (key ^ bits[:, column]) * np.uint64(0xBF58476D1CE4E5B9)
        key = (key ^ (key >> np.uint64(31))) * np.uint64(0x94D049BB133111EB)
        key ^= key >> np.uint64(29)
    return key


def drop_unused(vertices: FloatArray, faces: IntArray) -> tuple[FloatArray, IntArray]:
    """Drop vertices that no face uses; the rest keep their order."""
    used = np.zeros(len(vertices), dtype=np.bool_)
    used[faces.ravel()] = True
    number: IntArray = np.cumsum(used, dtype=np.int64) - 1
    renumbered: IntArray = number[faces]
    return vertices[used], renumbered


def without_doubled_corners(faces: IntArray) -> IntArray:
    """Leave out triangles that name one corner twice: they have no area and only hide how the others meet."""
    a, b, c = faces.T
    kept: IntArray = faces[(a != b) & (b != c) & (c != a)]
    return kept
