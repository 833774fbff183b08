"""Flat outlines as a drawing gives them: corners with fillet radii, circles, slots. Units: mm and degrees."""

import math
from collections.abc import Iterable

import numpy as np
from manifold3d import CrossSection, FillRule

CHORD_MM = 0.03
"""How far a straight edge may run inside the arc that it stands for: between coarse and fine export of a CAD system."""

Point = tuple[float, float]


def segments(radius_mm: float) -> int:
    """Return how many edges a full circle needs to keep the chord error, a multiple of four and at least 16."""
    half_angle = math.acos(max(0.0, 1.0 - CHORD_MM / max(radius_mm, CHORD_MM)))
    return max(16, 4 * math.ceil(math.pi / half_angle / 4))


def _arc(before: Point, corner: Point, after: Point, radius_mm: float) -> list[Point]:
    """Return the points of the fillet that replaces `corner`, from the side of `before` to that of `after`."""
    to_before = np.subtract(before, corner)
    to_after = np.subtract(after, corner)
    room_mm = min(float(np.hypot(*to_before)), float(np.hypot(*to_after)))
    u, v = to_before / np.hypot(*to_before), to_after / np.hypot(*to_after)
    half = math.acos(float(np.clip(u @ v, -1.0, 1.0))) / 2.0
    tangent_mm = radius_mm / math.tan(half)
    if tangent_mm > room_mm + 1e-9:
        raise ValueError(f"a fillet of {radius_mm} mm does not fit the corner at {corner}")
    bisector = (u + v) / np.hypot(*(u + v))
    centre = np.asarray(corner) + bisector * (radius_mm / math.sin(half))
    start = np.asarray(corner) + u * tangent_mm - centre
    sweep = math.copysign(math.pi - 2.0 * half, float(v[0] * u[1] - v[1] * u[0]))
    steps = max(3, math.ceil(abs(sweep) / (2.0 * math.pi) * segments(radius_mm)))
    angles = [sweep * step / steps for step in range(steps + 1)]
    x, y = start
    return [
        (float(centre[0] + x * math.cos(a) - y * math.sin(a)), float(centre[1] + x * math.sin(a) + y * math.cos(a)))
        for a in angles
    ]


def outline(*corners: tuple[float, ...]) -> CrossSection:
    """Draw a closed outline from corners `(x, y)` or `(x, y, fillet radius)`, in either sense of turning.

    Raises:
        ValueError: A fillet is longer than one of its edges.
    """
    points: list[Point] = []
    for index, corner in enumerate(corners):
        here = (corner[0], corner[1])
        radius_mm = corner[2] if len(corner) > 2 else 0.0
        if radius_mm > 0.0:
            before, after = corners[index - 1], corners[(index + 1) % len(corners)]
            points.extend(_arc((before[0], before[1]), here, (after[0], after[1]), radius_mm))
        else:
            points.append(here)
    return polygon(points)


def polygon(points: Iterable[Point]) -> CrossSection:
    """Make a section from the points of one closed line; doubled points are dropped."""
    line = np.asarray(list(points), dtype=np.float64)
    apart = np.hypot(*(line - np.roll(line, 1, axis=0)).T) > 1e-6
    return CrossSection([line[apart]], FillRule.EvenOdd)


def disc(diameter_mm: float, x: float = 0.0, y: float = 0.0) -> CrossSection:
    """Draw a circle about (x, y)."""
    return CrossSection.circle(diameter_mm / 2.0, segments(diameter_mm / 2.0)).translate((x, y))


def ring(outer_mm: float, inner_mm: float) -> CrossSection:
    """Draw a ring about the origin."""
    return disc(outer_mm) - disc(inner_mm)


def rectangle(
    length_mm: float, width_mm: float, radius_mm: float = 0.0, x: float = 0.0, y: float = 0.0
) -> CrossSection:
    """Draw a rectangle about (x, y) with rounded corners."""
    a, b, r = length_mm / 2.0, width_mm / 2.0, radius_mm
    return outline((x - a, y - b, r), (x + a, y - b, r), (x + a, y + b, r), (x - a, y + b, r))


def slot(length_mm: float, width_mm: float, x: float = 0.0, y: float = 0.0, turned_deg: float = 0.0) -> CrossSection:
    """Draw a slot with round ends about (x, y); `length_mm` is the overall length."""
    reach = (length_mm - width_mm) / 2.0
    ends = CrossSection.batch_hull([disc(width_mm, -reach), disc(width_mm, reach)])
    return ends.rotate(turned_deg).translate((x, y))


def hexagon(across_flats_mm: float) -> CrossSection:
    """Draw a hexagon about the origin, two flats parallel to x."""
    radius = across_flats_mm / math.sqrt(3.0)
    return polygon((radius * math.cos(math.radians(60 * k)), radius * math.sin(math.radians(60 * k))) for k in range(6))


def belt(*discs: CrossSection) -> CrossSection:
    """Draw the outline of a belt laid round the given shapes."""
    return CrossSection.batch_hull(list(discs))


def soften(section: CrossSection, inside_mm: float = 0.0, outside_mm: float = 0.0) -> CrossSection:
    """Fillet every inside corner by `inside_mm` and round every outside corner by `outside_mm`."""
    if inside_mm > 0.0:
        grown = section.offset(inside_mm, circular_segments=segments(inside_mm))
        section = grown.offset(-inside_mm, circular_segments=segments(inside_mm))
    if outside_mm > 0.0:
        shrunk = section.offset(-outside_mm, circular_segments=segments(outside_mm))
        section = shrunk.offset(outside_mm, circular_segments=segments(outside_mm))
    return section.simplify(2e-3)


def around(section: CrossSection, count: int, start_deg: float = 0.0) -> CrossSection:
    """Repeat a section about the origin `count` times, evenly, the first one turned by `start_deg`."""
    copies = [section.rotate(start_deg + 360.0 * k / count) for k in range(count)]
    whole = CrossSection()
    for copy in copies:
        whole = whole + copy
    return whole
