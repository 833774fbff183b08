"""A picture of where one shape differs from another: the newer shape in bands of two hues about zero."""

import numpy as np
from PIL import Image, ImageDraw, ImageFont

from vault.geometry.mesh import FloatArray, Shape
from vault.geometry.nearest import NearestTriangle
from vault.geometry.picture import FINE, Camera, Pixels, Size, camera_for, draw, look, to_png
from vault.geometry.raster import NOTHING
from vault.geometry.smooth import face_normals
from vault.units import mm

BANDS = 4  # on either side of zero
_GREY = (0.80, 0.81, 0.82)
_LACKING = ((0.62, 0.76, 0.92), (0.08, 0.28, 0.66))  # blue: the newer shape lies inside the older one
_GROWN = ((0.97, 0.80, 0.58), (0.76, 0.30, 0.02))  # orange: it lies outside
_RULE_SHARE = 0.2  # of the width, kept free for the scale


def compare_picture_png(
    a: Shape, b: Shape, range_mm: float, dead_mm: float, size_px: Size = (640, 480), view: str = "iso"
) -> bytes:
    """Return a PNG of the newer shape `b`, coloured by its distance from the older `a`, as the files are placed.

    Grey is within `dead_mm` (the resolution of the meshes), then come equal bands up to `range_mm`: orange outside the
    older shape, blue inside. At edges sharper than 90 degrees the side, not the distance, may be of the wrong face.

    Raises:
        BadInput: There is no such view, or the picture would be too small or too big.
    """
    camera = camera_for(b, size_px, view, right_margin=_RULE_SHARE)
    limits = band_limits(range_mm, dead_mm)
    distance = _seen_distances(a, b, camera)
    fine = np.repeat(np.repeat(_colours()[np.searchsorted(limits, distance)], FINE, axis=0), FINE, axis=1)
    return to_png(_with_rule(draw(b, camera, fine), limits))


def band_limits(range_mm: float, dead_mm: float) -> FloatArray:
    """Return the 2 * BANDS limits between the bands, mm, rising, the same on both sides of zero."""
    dead = max(dead_mm, 1e-6)
    upper = dead + (max(range_mm, 2 * dead) - dead) * np.arange(BANDS) / BANDS
    return np.concatenate([-upper[::-1], upper])


def _colours() -> FloatArray:
    """Return (2 * BANDS + 1, 3) colours from far inside over grey to far outside."""
    share = np.linspace(0, 1, BANDS)[:, None]
    lacking, grown = (np.array(ends[0]) * (1 - share) + np.array(ends[1]) * share for ends in (_LACKING, _GROWN))
    return np.concatenate([lacking[::-1], [_GREY], grown])


def _seen_distances(a: Shape, b: Shape, camera: Camera) -> FloatArray:
    """Return (h, w) signed distances, mm, for the shown pixels of `b`; 0 where nothing is seen."""
    shown, seen = look(b, camera)
    triangle, weights = seen.triangle[::FINE, ::FINE], seen.weights[::FINE, ::FINE]
    hit = triangle != NOTHING
    points = np.einsum("nc,ncj->nj", weights[hit], b.corners[shown[triangle[hit]]])
    distance, nearest = NearestTriangle(a.corners).query(points)
    height = np.einsum("nj,nj->n", points - a.corners[nearest, 0], face_normals(a)[nearest])
    field = np.zeros(triangle.shape)
    field[hit] = np.where(height < 0, -distance, distance)
    return field


def _with_rule(pixels: Pixels, limits: FloatArray) -> Pixels:
    """Draw the scale along the right edge, the most grown on top."""
    image = Image.fromarray(pixels)
    pen, font = ImageDraw.Draw(image), ImageFont.load_default(size=12)
    width, height = image.size
    left, step = round(width * (1 - _RULE_SHARE / 2)) - 24, height * 0.8 / (2 * BANDS + 1)
    for band, colour in enumerate(_colours()[::-1]):
        top = height * 0.1 + band * step
        fill = tuple(round(255 * float(value)) for value in colour)
        pen.rectangle((left, round(top), left + 14, round(top + step)), fill=fill, outline=(60, 66, 76))
    for number, limit in enumerate(limits[::-1]):
        pen.text(
            (left + 20, round(height * 0.1 + (number + 1) * step)), mm(float(limit)), (40, 46, 56), font, anchor="lm"
        )
    return np.asarray(image)
