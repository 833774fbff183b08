"""Catches, hinges and bridges: parts that hold something shut, or round something."""

from dataclasses import dataclass

from manifold3d import Manifold

from demo_vault.shapes.outlines import belt, disc, outline, rectangle, slot, soften
from demo_vault.shapes.solids import bar, cut, joined, mirrored, placed, plate, rod, standing, through, turned


@dataclass(frozen=True)
class LatchHook:
    """A latch hook: pivot eye, hooked nose, thumb tail with grip ridges."""

    length_mm: float = 48.0
    thick_mm: float = 6.0
    pivot_mm: float = 6.0
    eye_mm: float = 14.0
    nose_mm: float = 7.0
    throat_mm: float = 8.0
    tail_mm: float = 16.0
    ridges: int = 4
    window: bool = True
    spring_hole_mm: float = 2.5

    @property
    def tunnels(self) -> int:
        """The pivot, the spring hole, the lightening window."""
        return 2 + self.window

    def solid(self) -> Manifold:
        """Build it lying on z = 0, the pivot at the origin, the nose at +x."""
        length, nose, throat = self.length_mm, self.nose_mm, self.throat_mm
        body = outline(
            (-self.tail_mm, 4.0, 2.5),
            (-self.tail_mm, -1.0, 2.0),
            (0.0, -6.5, 6.0),
            (length - throat - 8.0, -5.0, 4.0),
            (length - throat - 4.0, -3.0, 2.0),
            (length - 5.5, -3.0, 1.5),
            (length - 5.5, -3.0 - nose, 0.6),
            (length, -3.0 - nose + 4.0, 1.5),
            (length + 1.0, 4.0, 4.0),
            (length * 0.6, 6.5, 20.0),
            (0.0, 7.0, 12.0),
        )
        profile = soften(body + disc(self.eye_mm), inside_mm=2.0, outside_mm=0.8)
        flat = plate(profile, self.thick_mm, top_mm=0.5, bottom_mm=0.5)
        hub = plate(disc(self.eye_mm), self.thick_mm + 3.0, top_mm=0.6, bottom_mm=0.6).translate((0, 0, -1.5))
        places = [-self.tail_mm + 2.5 + 2.4 * k for k in range(self.ridges)]
        ridges = [rod(1.5, self.thick_mm - 1.2, (x, 4.0 + 0.17 * (x + self.tail_mm), 0.6)) for x in places]
        tools = [through(self.pivot_mm), through(self.spring_hole_mm, length * 0.24, 2.5)]
        if self.window:
            tools.append(slot(14.0, 5.0, length * 0.5, 0.6).extrude(100.0).translate((0, 0, -50)))
        return cut(joined(flat, hub, *ridges), *tools)


@dataclass(frozen=True)
class HingeKnuckle:
    """One leaf of a hinge: countersunk leaf with curled knuckles for the pin."""

    leaf_mm: float = 26.0
    width_mm: float = 44.0
    thick_mm: float = 4.0
    knuckles: int = 2
    knuckle_mm: float = 11.0
    pin_mm: float = 5.0
    screw_mm: float = 4.2
    clearance_mm: float = 0.5

    @property
    def tunnels(self) -> int:
        """Three screw holes and one pin hole in each knuckle."""
        return 3 + self.knuckles

    def solid(self) -> Manifold:
        """Build it with the pin along y above the edge of the leaf."""
        r, w = self.knuckle_mm / 2.0, self.width_mm
        leaf = outline((0, -w / 2), (self.leaf_mm, -w / 2, 6.0), (self.leaf_mm, w / 2, 6.0), (0, w / 2))
        sheet = plate(leaf, self.thick_mm, top_mm=0.7, bottom_mm=0.4)
        curl = belt(disc(2 * r, 0, r), rectangle(2 * r, self.thick_mm, 0, 3.0, self.thick_mm / 2.0))
        pitch = w / (2 * self.knuckles)
        length = pitch - self.clearance_mm
        piece = standing(plate(curl, length, top_mm=0.5, bottom_mm=0.5), length)
        places = [-w / 2 + pitch * (2 * k + 0.5) for k in range(self.knuckles)]
        knuckles = [piece.translate((0, y, 0)) for y in places]
        gaps = [bar(2 * r + 2.0, pitch + self.clearance_mm, 40.0, (0, y + pitch, -20)) for y in places]
        pin = rod(self.pin_mm, 400.0, (0, -200, r), "y")
        spots = [(self.leaf_mm * 0.48, -w * 0.32), (self.leaf_mm * 0.75, 0.0), (self.leaf_mm * 0.48, w * 0.32)]
        head, hole = self.screw_mm * 1.9 / 2.0, self.screw_mm / 2.0
        sink = turned((0, 1), (head + 1, 1), (hole, -(head - hole)), (hole, -50), (0, -50))
        sinks = [placed(sink, (x, y, self.thick_mm)) for x, y in spots]
        return cut(joined(cut(sheet, *gaps), *knuckles), pin, *sinks)


@dataclass(frozen=True)
class CaliperBridge:
    """A small caliper bridge over a disc: two legs with piston bores, stiffened crown."""

    length_mm: float = 58.0
    width_mm: float = 30.0
    height_mm: float = 34.0
    gap_mm: float = 12.0
    leg_mm: float = 16.0
    crown_mm: float = 8.0
    piston_mm: float = 18.0
    piston_depth_mm: float = 9.0
    bolt_mm: float = 6.6
    ear_mm: float = 14.0
    bleed_mm: float = 3.0

    @property
    def tunnels(self) -> int:
        """Two bolt ears, and the bleed hole into each piston bore."""
        return 4

    def solid(self) -> Manifold:
        """Build it upright: the disc runs in the plane y = 0 below the crown."""
        deep = self.gap_mm / 2.0 + self.leg_mm
        low = self.height_mm - self.crown_mm
        side = outline(
            (-deep, 0, 2.0),
            (-self.gap_mm / 2, 0, 1.5),
            (-self.gap_mm / 2, low, 3.0),
            (self.gap_mm / 2, low, 3.0),
            (self.gap_mm / 2, 0, 1.5),
            (deep, 0, 2.0),
            (deep, self.height_mm, 7.0),
            (-deep, self.height_mm, 7.0),
        )
        core = standing(plate(side, self.width_mm, top_mm=1.2, bottom_mm=1.2, steps=3), self.width_mm).rotate(
            (0, 0, 90)
        )
        half = self.length_mm / 2.0
        ear = belt(
            disc(self.ear_mm, half - self.ear_mm / 2.0, 8.0), rectangle(10.0, 16.0, 0.0, self.width_mm / 2.0 - 6.0, 8.5)
        )
        lug = standing(plate(ear, 7.0, top_mm=0.7, bottom_mm=0.7), 7.0).translate((0, deep - 3.5, 0))
        lugs = mirrored(lug, (1, 0, 0))
        bolts = [rod(self.bolt_mm, 400, (side * (half - self.ear_mm / 2.0), -200, 8.0), "y") for side in (-1, 1)]
        inner = self.gap_mm / 2.0
        pistons = [
            rod(self.piston_mm, self.piston_depth_mm + 1.0, (0, inner - 1.0, low / 2.0), "y"),
            rod(self.piston_mm, self.piston_depth_mm + 1.0, (0, 1.0 - inner, low / 2.0), "-y"),
        ]
        bleeds = [rod(self.bleed_mm, 60.0, (0, side * (inner + 4.0), low / 2.0)) for side in (-1, 1)]
        return cut(joined(core, lugs), *bolts, *pistons, *bleeds)
