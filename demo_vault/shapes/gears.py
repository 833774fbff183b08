"""Gears and other toothed parts: involute teeth, sprockets, ratchets, splines."""

import math
from dataclasses import dataclass

from manifold3d import CrossSection, Manifold

from demo_vault.shapes.outlines import Point, around, belt, disc, polygon, rectangle, soften
from demo_vault.shapes.solids import boss, cut, joined, placed, plate, ring_of_holes, rod, round_about, through, turned

_PRESSURE_RAD = math.radians(20.0)


def involute_gear(teeth: int, module_mm: float, shift_mm: float = 0.0) -> CrossSection:
    """Draw a spur gear: 20 degree involute flanks, addendum 1 module, dedendum 1.25 modules (common practice).

    `shift_mm` moves the tooth flanks apart for backlash: 0.05 takes 0.05 mm off every tooth at the pitch circle.
    """
    pitch = teeth * module_mm / 2.0
    base, tip, root = pitch * math.cos(_PRESSURE_RAD), pitch + module_mm, pitch - 1.25 * module_mm
    half = math.pi / (2.0 * teeth) - shift_mm / (2.0 * pitch) + math.tan(_PRESSURE_RAD) - _PRESSURE_RAD
    start = max(base, root + 0.15 * module_mm)
    flank = []
    for step in range(6):
        radius = start + (tip - start) * step / 5
        angle = math.acos(min(1.0, base / radius))
        flank.append((radius, half - (math.tan(angle) - angle)))
    points: list[Point] = []
    for tooth in range(teeth):
        centre = 2.0 * math.pi * tooth / teeth
        side = [(root, half + 0.25 * module_mm / pitch), *flank]
        line = [(r, -a) for r, a in side] + [(tip, 0.0)] + [(r, a) for r, a in reversed(side)]
        points.extend((r * math.cos(centre + a), r * math.sin(centre + a)) for r, a in line)
    return polygon(points)


def _keyway(bore_mm: float, key_mm: float, depth_mm: float) -> CrossSection:
    """Draw a bore with a keyway in the direction of +x."""
    reach = bore_mm / 2.0 + depth_mm
    return disc(bore_mm) + rectangle(reach, key_mm, 0.0, reach / 2.0)


@dataclass(frozen=True)
class SpurGear:
    """A spur gear with a hub, a recessed web with lightening holes, and a keyway."""

    teeth: int = 28
    module_mm: float = 1.5
    face_mm: float = 12.0
    hub_mm: float = 20.0
    hub_height_mm: float = 6.0
    bore_mm: float = 10.0
    key_mm: float = 3.0
    key_depth_mm: float = 1.4
    web_mm: float = 5.0
    rim_mm: float = 4.0
    windows: int = 6
    window_mm: float = 5.0
    backlash_mm: float = 0.06

    @property
    def tunnels(self) -> int:
        """The bore and the windows."""
        return 1 + self.windows

    def solid(self) -> Manifold:
        """Build it about z, the hub upward."""
        section = involute_gear(self.teeth, self.module_mm, self.backlash_mm)
        tip = self.module_mm * (self.teeth + 2) / 2.0
        rim_inside = self.module_mm * (self.teeth - 2.5) - 2.0 * self.rim_mm
        blank = plate(disc(2 * tip + 0.2), self.face_mm, top_mm=0.6, bottom_mm=0.6)
        body = section.extrude(self.face_mm) ^ blank
        depth = (self.face_mm - self.web_mm) / 2.0
        pan = turned(
            (self.hub_mm / 2, 0, 1.0),
            (rim_inside / 2, 0, 1.0),
            (rim_inside / 2, depth + 1),
            (self.hub_mm / 2, depth + 1),
        )
        pans = [pan.translate((0, 0, self.face_mm - depth)), pan.mirror((0, 0, 1)).translate((0, 0, depth))]
        body = joined(cut(body, *pans), boss(self.hub_mm, self.hub_height_mm, 0.0, 0.8).translate((0, 0, self.face_mm)))
        bore = _keyway(self.bore_mm, self.key_mm, self.key_depth_mm).extrude(200.0).translate((0, 0, -100))
        tools = [bore]
        if self.windows:
            tools.append(ring_of_holes(self.windows, (self.hub_mm + rim_inside) / 2.0, self.window_mm))
        return cut(body, *tools)


@dataclass(frozen=True)
class HelicalPinion:
    """A helical pinion in one piece with its stub shaft; flats for drive at the end."""

    teeth: int = 15
    module_mm: float = 1.5
    face_mm: float = 18.0
    helix_deg: float = 18.0
    shaft_mm: float = 12.0
    shaft_length_mm: float = 16.0
    flats_mm: float = 9.5
    bore_mm: float = 5.0
    collar_mm: float = 17.0

    @property
    def tunnels(self) -> int:
        """The bore."""
        return 1

    def solid(self) -> Manifold:
        """Build it about z, the shaft upward; positive helix angles are right-handed."""
        pitch = self.teeth * self.module_mm / 2.0
        twist = math.degrees(self.face_mm * math.tan(math.radians(self.helix_deg)) / pitch)
        section = involute_gear(self.teeth, self.module_mm, 0.05)
        wheel = Manifold.extrude(section, self.face_mm, max(4, round(abs(twist) / 2.0)), twist)
        tip = pitch + self.module_mm
        wheel = wheel ^ plate(disc(2 * tip + 0.2), self.face_mm, top_mm=0.7, bottom_mm=0.7)
        collar = boss(self.collar_mm, 2.0, 0.0, 0.4).translate((0, 0, self.face_mm))
        shaft = boss(self.shaft_mm, self.shaft_length_mm, 0.8, 0.8).translate((0, 0, self.face_mm + 2.0))
        end = self.face_mm + 2.0 + self.shaft_length_mm
        jaws = [
            rectangle(10.0, 40.0, 0.0, side * (self.flats_mm / 2.0 + 5.0)).extrude(20.0).translate((0, 0, end - 8.0))
            for side in (-1, 1)
        ]
        return cut(joined(wheel, collar, shaft), through(self.bore_mm), *jaws)


@dataclass(frozen=True)
class BevelGear:
    """A straight bevel gear: teeth that shrink toward the apex, a hub behind, a clamp screw."""

    teeth: int = 20
    module_mm: float = 2.0
    face_mm: float = 9.0
    end_scale: float = 0.66
    hub_mm: float = 22.0
    hub_height_mm: float = 10.0
    bore_mm: float = 10.0
    set_screw_mm: float = 3.3

    @property
    def tunnels(self) -> int:
        """The bore and the clamp screw into it."""
        return 2

    def solid(self) -> Manifold:
        """Build it about z, the hub downward from z = 0."""
        section = involute_gear(self.teeth, self.module_mm, 0.05)
        teeth = Manifold.extrude(section, self.face_mm, 0, 0.0, (self.end_scale, self.end_scale))
        tip = self.module_mm * (self.teeth + 2) / 2.0
        back = turned((0, -3.0), (tip - 5.0, -3.0), (tip - 0.4, 2.0), (tip - 0.4, self.face_mm), (0, self.face_mm))
        root = self.module_mm * (self.teeth - 2.5) / 2.0
        cone = turned(
            (0, -3.0), (root - 3.5, -3.0), (root, 0.5), (root * self.end_scale, self.face_mm), (0, self.face_mm)
        )
        hub = placed(boss(self.hub_mm, self.hub_height_mm, 0.0, 0.8), (0, 0, -3.0), "-z")
        dish = turned(
            (0, self.face_mm - 3.0), (root * self.end_scale - 4.0, self.face_mm - 3.0, 1.5), (root, 40), (0, 40)
        )
        screw = rod(self.set_screw_mm, 60.0, (0, 0, -3.0 - self.hub_height_mm / 2.0), "x")
        seat = boss(self.bore_mm + 6.0, 1.5).translate((0, 0, self.face_mm - 3.0))
        return cut(joined(cut(joined(teeth ^ back, cone), dish), seat, hub), through(self.bore_mm), screw)


@dataclass(frozen=True)
class RatchetWheel:
    """A ratchet wheel with saw teeth, a square drive and three windows."""

    outer_mm: float = 38.0
    teeth: int = 18
    tooth_mm: float = 3.0
    thick_mm: float = 7.0
    square_mm: float = 9.0
    hub_mm: float = 18.0
    hub_height_mm: float = 3.0
    windows: int = 3
    window_mm: float = 5.0

    @property
    def tunnels(self) -> int:
        """The square and the windows."""
        return 1 + self.windows

    def solid(self) -> Manifold:
        """Build it about z, hub on both sides."""
        r, inner = self.outer_mm / 2.0, self.outer_mm / 2.0 - self.tooth_mm
        points: list[Point] = []
        for tooth in range(self.teeth):
            here = 2.0 * math.pi * tooth / self.teeth
            width = 2.0 * math.pi / self.teeth
            line = ((inner, 0.0), (r, 0.05), (r, 0.22), (r - 0.45 * self.tooth_mm, 0.62))
            points.extend((p * math.cos(here + a * width), p * math.sin(here + a * width)) for p, a in line)
        blank = plate(disc(self.outer_mm + 0.2), self.thick_mm, top_mm=0.6, bottom_mm=0.6)
        wheel = soften(polygon(points), inside_mm=0.5).extrude(self.thick_mm) ^ blank
        hub = boss(self.hub_mm, self.hub_height_mm, 1.0, 0.6)
        body = joined(wheel, hub.translate((0, 0, self.thick_mm)), placed(hub, (0, 0, 0), "-z"))
        circle = (self.hub_mm / 2.0 + inner) / 2.0
        bean = belt(*(disc(self.window_mm, circle).rotate(a) for a in (-8.0, 0.0, 8.0)))
        beans = around(bean, self.windows).extrude(100.0).translate((0, 0, -50))
        relief = soften(rectangle(self.square_mm, self.square_mm), outside_mm=0.8)
        return cut(body, relief.extrude(100.0).translate((0, 0, -50)), beans)


@dataclass(frozen=True)
class ChainSprocket:
    """A sprocket for a small roller chain, with a screw circle and a spigot hub."""

    teeth: int = 19
    pitch_mm: float = 6.35
    roller_mm: float = 3.3
    thick_mm: float = 3.0
    hub_mm: float = 22.0
    hub_height_mm: float = 8.0
    bore_mm: float = 12.0
    screws: int = 4
    screw_circle_mm: float = 28.0
    screw_mm: float = 3.4
    spline_teeth: int = 0

    @property
    def tunnels(self) -> int:
        """The bore and the screw circle."""
        return 1 + self.screws

    def solid(self) -> Manifold:
        """Build it about z, the hub upward."""
        pitch_radius = self.pitch_mm / (2.0 * math.sin(math.pi / self.teeth))
        blank = disc(2.0 * pitch_radius + 0.6 * self.roller_mm)
        seat = disc(self.roller_mm, pitch_radius)
        throat = belt(seat, disc(self.roller_mm * 1.7, pitch_radius + self.roller_mm))
        section = soften(blank - around(throat, self.teeth), outside_mm=0.35)
        wheel = section.extrude(self.thick_mm) ^ plate(
            disc(2.0 * pitch_radius + 0.62 * self.roller_mm), self.thick_mm, top_mm=0.7, bottom_mm=0.7
        )
        hub = boss(self.hub_mm, self.hub_height_mm, 0.8, 0.8).translate((0, 0, self.thick_mm))
        bore = disc(self.bore_mm)
        if self.spline_teeth:
            bore = bore + around(rectangle(2.4, 2.0, 0.0, self.bore_mm / 2.0), self.spline_teeth)
        screws = ring_of_holes(self.screws, self.screw_circle_mm, self.screw_mm, 45.0)
        return cut(joined(wheel, hub), bore.extrude(100.0).translate((0, 0, -50)), screws)


@dataclass(frozen=True)
class SplineSleeve:
    """A sleeve with internal splines, an outer shift groove and drag slots."""

    outer_mm: float = 34.0
    length_mm: float = 22.0
    bore_mm: float = 18.0
    splines: int = 12
    spline_depth_mm: float = 1.6
    groove_mm: float = 6.0
    groove_depth_mm: float = 3.0
    dogs: int = 6
    dog_mm: float = 5.0
    dog_height_mm: float = 5.0

    @property
    def tunnels(self) -> int:
        """The splined bore."""
        return 1

    def solid(self) -> Manifold:
        """Build it about z, the dogs upward."""
        r, length = self.outer_mm / 2.0, self.length_mm
        middle = length * 0.35
        low, high = middle - self.groove_mm / 2.0, middle + self.groove_mm / 2.0
        floor = r - self.groove_depth_mm
        body = turned(
            (0, 0),
            (r, 0, 0.8),
            (r, low, 0.5),
            (floor, low, 0.8),
            (floor, high, 0.8),
            (r, high, 0.5),
            (r, length),
            (0, length),
        )
        tooth_width = math.pi * self.bore_mm / self.splines / 2.0
        groove = rectangle(2.0 * self.spline_depth_mm, tooth_width, 0.0, self.bore_mm / 2.0)
        bore = soften(disc(self.bore_mm) + around(groove, self.splines), outside_mm=0.3)
        gap = rectangle(r, self.dog_mm, 0.0, r).extrude(self.dog_height_mm + 1.0)
        gaps = round_about(gap, self.dogs, 15.0).translate((0, 0, length - self.dog_height_mm))
        return cut(body, bore.extrude(100.0).translate((0, 0, -50)), gaps)
