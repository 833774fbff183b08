"""From the design to the green part: turn first, then scale, and never turn what is scaled (other than by half turns).

Shrinkage differs along x, y and z of the print box, so the scale belongs to the box: green = diag(sx, sy, sz) . R .
design. A scaled body turned by a quarter would carry the scale of one axis on another.
"""

from dataclasses import dataclass, replace

import numpy as np

from vault.errors import BadInput, Refused
from vault.geometry.mesh import FloatArray, Shape
from vault.model.base import Vector3
from vault.model.orientation import Orientation

_SMALLEST_SCALE, _LARGEST_SCALE = 0.8, 2.0
"""As in the settings record. Beyond these a scale is a slip of the pen: 2.0 would be a linear shrinkage of 50 %."""


@dataclass(frozen=True, eq=False)
class GreenShape:
    """A part as it is printed: oriented, scaled for shrinkage, then only moved or turned half round."""

    shape: Shape
    orientation: Orientation
    scale_xyz: Vector3

    def moved(self, by_mm: Vector3) -> "GreenShape":
        """Return the body moved by a vector in the box, mm."""
        offset = np.array(by_mm, dtype=np.float64)
        if not np.isfinite(offset).all():
            raise BadInput(f"a move by {by_mm} is not finite")
        return replace(self, shape=replace(self.shape, vertices=self.shape.vertices + offset))

    def turned_half(self, axis: str) -> "GreenShape":
        """Return the body turned by 180 degrees about axis x, y or z of the box, which leaves every scale on its axis.

        Raises:
            BadInput: There is no such axis.
        """
        half = Orientation.about(axis, 180)
        turned = _turn(self.shape.vertices, np.array(half.matrix))
        return replace(self, shape=replace(self.shape, vertices=turned), orientation=self.orientation.then(half))

    def turn(self, turn: Orientation) -> "GreenShape":
        """Return the body turned, where the turn is none or a half turn about a box axis.

        Raises:
            Refused: Any other turn: it would put the scale of one axis on another.
        """
        if turn == Orientation.as_drawn():
            return self
        for axis in "xyz":
            if turn == Orientation.about(axis, 180):
                return self.turned_half(axis)
        raise Refused("a scaled part may only be turned half round a box axis; turn the design and scale it again")


def green_shape(design: Shape, orientation: Orientation, scale_xyz: Vector3) -> GreenShape:
    """Return the shape to print: the design turned into the box, then scaled along the box axes about the origin.

    Raises:
        BadInput: A scale is not a number from 0.8 to 2.
    """
    for scale in scale_xyz:
        if not _SMALLEST_SCALE <= scale <= _LARGEST_SCALE:
            raise BadInput(f"scale {scale} is outside {_SMALLEST_SCALE} to {_LARGEST_SCALE}")
    vertices = _turn(design.vertices, np.array(orientation.matrix)) * np.array(scale_xyz, dtype=np.float64)
    return GreenShape(replace(design, vertices=vertices), orientation, scale_xyz)


def placed(shape: Shape, orientation: Orientation) -> Shape:
    """Return an unscaled shape turned about the origin, as for a look at it or a check against the box."""
    return replace(shape, vertices=_turn(shape.vertices, np.array(orientation.matrix)))


def _turn(points: FloatArray, matrix: FloatArray) -> FloatArray:
    """Return R p for rows p; written out, so that equal points stay exactly equal and right-angled turns are exact."""
    x, y, z = points.T
    return np.stack([x * row[0] + y * row[1] + z * row[2] for row in matrix], axis=1) + 0.0
