"""How a part lies in the print box or on the setter: which of its own directions points along each axis there."""

import itertools
import math
import re
from typing import Self

from pydantic import model_validator

from vault.errors import BadInput
from vault.model.base import Value, Vector3

Rows = tuple[float, float, float, float, float, float, float, float, float]

_AXES = "xyz"
_NAME = re.compile(r"([+-])([xyz])([+-])([xyz])([+-])([xyz])")
_TOLERANCE = 1e-9


class Orientation(Value):
    """A turn of the part, without mirror: place = R . part.

    `rows` is R row by row. Each row is the direction of the part that points along x, y and z of the place. The name
    "+y-x+z" says: the part's +y points along x, its -x along y, its +z up. "+x+y+z" is the part as it was drawn.
    """

    rows: Rows

    @model_validator(mode="after")
    def _is_a_turn(self) -> Self:
        r = self.matrix
        for (i, one), (j, other) in itertools.combinations_with_replacement(enumerate(r), 2):
            if not abs(_dot(one, other) - (i == j)) <= _TOLERANCE:
                raise ValueError("is no turn: its three directions are not of length 1 and square to each other")
        if not _dot(_cross(r[0], r[1]), r[2]) > 0:
            raise ValueError("is a mirror: it would make the other hand of the part")
        return self

    @classmethod
    def as_drawn(cls) -> "Orientation":
        """Return the orientation that leaves the part as it was drawn."""
        return cls(rows=(1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0))

    @classmethod
    def named(cls, name: str) -> "Orientation":
        """Return the orientation with a name such as "+y-x+z".

        Raises:
            BadInput: The text is no such name, uses a direction twice, or makes a mirror of the part.
        """
        found = _NAME.fullmatch(name.strip().lower())
        if not found or sorted(found.groups()[1::2]) != list(_AXES):
            hint = "say which directions of the part point along x, y and z, such as +x+y+z"
            raise BadInput(f"orientation {name!r} is not understood; {hint}")
        signs_and_axes = zip(found.groups()[::2], found.groups()[1::2], strict=True)
        matrix = tuple(_direction(sign, axis) for sign, axis in signs_and_axes)
        if not _dot(_cross(matrix[0], matrix[1]), matrix[2]) > 0:
            raise BadInput(f"orientation {name!r} would make the mirror image of the part; turn one sign round")
        return cls(rows=_flat(matrix))

    @classmethod
    def about(cls, axis: str, degrees: float) -> "Orientation":
        """Return a turn about axis x, y or z of the place, counter-clockwise seen from its tip, quarters exact.

        Raises:
            BadInput: No such axis, or the angle is not finite.
        """
        if axis not in tuple(_AXES) or not math.isfinite(degrees):
            raise BadInput(f"a turn of {degrees} degrees about {axis!r} is not understood; the axes are x, y and z")
        quarters, rest = divmod(degrees, 90)
        angle = math.radians(degrees)
        exact = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[int(quarters) % 4]
        cos, sin = exact if rest == 0 else (math.cos(angle), math.sin(angle))
        first, second = (_AXES.index(axis) + 1) % 3, (_AXES.index(axis) + 2) % 3
        m = [[float(i == j) for j in range(3)] for i in range(3)]
        m[first][first] = m[second][second] = cos
        m[first][second], m[second][first] = -sin, sin
        return cls(rows=_flat(tuple((row[0], row[1], row[2]) for row in m)))

    @property
    def matrix(self) -> tuple[Vector3, Vector3, Vector3]:
        """R as three rows."""
        a = self.rows
        return ((a[0], a[1], a[2]), (a[3], a[4], a[5]), (a[6], a[7], a[8]))

    @property
    def name(self) -> str | None:
        """The name such as "+y-x+z", or None where the part lies at an angle."""
        words = [_name_of(row) for row in self.matrix]
        return None if None in words else "".join(word for word in words if word)

    def turned_size_mm(self, size_mm: Vector3) -> Vector3:
        """Return the box around a turned box of this size, mm; at an angle the part in it may need less."""
        x, y, z = (_dot((abs(row[0]), abs(row[1]), abs(row[2])), size_mm) for row in self.matrix)
        return (x, y, z)

    def then(self, later: "Orientation") -> "Orientation":
        """Return the orientation after a further turn in the place."""
        columns = tuple(zip(*self.matrix, strict=True))
        matrix = tuple((_dot(row, columns[0]), _dot(row, columns[1]), _dot(row, columns[2])) for row in later.matrix)
        return Orientation(rows=_flat(matrix))

    def inverse(self) -> "Orientation":
        """Return the turn that undoes this one."""
        return Orientation(rows=_flat(tuple(zip(*self.matrix, strict=True))))


def right_angled() -> tuple[Orientation, ...]:
    """Return the 24 orientations in which every axis of the part lies along an axis of the place, as drawn first."""
    found = []
    for axes in itertools.permutations(_AXES):
        for signs in itertools.product("+-", repeat=3):
            matrix = tuple(_direction(sign, axis) for sign, axis in zip(signs, axes, strict=True))
            if _dot(_cross(matrix[0], matrix[1]), matrix[2]) > 0:
                found.append(Orientation(rows=_flat(matrix)))
    return tuple(found)


def longest_axes(size_mm: Vector3) -> str:
    """Return the axes by falling size of the bounding box, as ISO/ASTM 52921 does: (10, 5, 30) is "ZXY".

    Equal sizes keep the order x, y, z.
    """
    order = sorted(range(3), key=lambda axis: -size_mm[axis])
    return "".join("XYZ"[axis] for axis in order)


def _direction(sign: str, axis: str) -> Vector3:
    one = 1.0 if sign == "+" else -1.0
    return (one * (axis == "x"), one * (axis == "y"), one * (axis == "z"))


def _name_of(row: Vector3) -> str | None:
    for axis, value in zip(_AXES, row, strict=True):
        if abs(value) == 1.0:
            return f"{'+' if value > 0 else '-'}{axis}"
    return None


def _dot(a: Vector3, b: Vector3) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def _cross(a: Vector3, b: Vector3) -> Vector3:
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def _flat(matrix: tuple[Vector3, ...]) -> Rows:
    a, b, c = (tuple(value + 0.0 for value in row) for row in matrix)  # -0 becomes 0
    return (a[0], a[1], a[2], b[0], b[1], b[2], c[0], c[1], c[2])
