"""Levers, links and forks: parts that carry a movement from one pin to another."""

from dataclasses import dataclass

from manifold3d import Manifold

from demo_vault.shapes.outlines import belt, disc, outline, rectangle, ring, slot, soften
from demo_vault.shapes.solids import bar, boss, cut, joined, mirrored, placed, plate, rod, standing, through, turned


@dataclass(frozen=True)
class BellCrank:
    """A two-armed lever about a long centre hub; the arms are ribbed and end in bosses."""

    arm_mm: float = 38.0
    short_mm: float = 24.0
    angle_deg: float = 105.0
    hub_mm: float = 18.0
    hub_height_mm: float = 16.0
    bore_mm: float = 9.0
    end_mm: float = 12.0
    end_height_mm: float = 9.0
    end_bore_mm: float = 5.0
    web_mm: float = 4.0
    rib_mm: float = 3.0
    rib_height_mm: float = 9.0

    @property
    def tunnels(self) -> int:
        """Three bores."""
        return 3

    def _arm(self, length_mm: float) -> tuple[Manifold, Manifold]:
        """Return one arm along +x and the cutter of its end bore."""
        web = belt(disc(self.hub_mm * 0.85), disc(self.end_mm * 0.85, length_mm))
        sheet = plate(web, self.web_mm, top_mm=0.6, bottom_mm=0.6)
        rib = bar(length_mm, self.rib_mm, self.rib_height_mm, (length_mm / 2.0, 0, 0))
        head = plate(disc(self.end_mm), self.end_height_mm, top_mm=0.7, bottom_mm=0.6).translate((length_mm, 0, 0))
        return joined(sheet, rib, head), through(self.end_bore_mm, length_mm)

    def solid(self) -> Manifold:
        """Build it on the plane z = 0, the hub about z."""
        long_arm, long_bore = self._arm(self.arm_mm)
        short_arm, short_bore = self._arm(self.short_mm)
        turn = (0.0, 0.0, self.angle_deg)
        hub = plate(disc(self.hub_mm), self.hub_height_mm, top_mm=1.0, bottom_mm=0.6)
        arms = joined(long_arm, short_arm.rotate(turn), hub)
        return cut(arms, through(self.bore_mm), long_bore, short_bore.rotate(turn))


@dataclass(frozen=True)
class JointYoke:
    """The yoke of a universal joint: bored hub with keyway, two arms with bearing eyes."""

    hub_mm: float = 26.0
    hub_length_mm: float = 18.0
    bore_mm: float = 13.0
    key_mm: float = 4.0
    key_depth_mm: float = 1.8
    span_mm: float = 34.0
    arm_mm: float = 7.0
    arm_width_mm: float = 20.0
    eye_height_mm: float = 42.0
    eye_mm: float = 9.0
    set_screw_mm: float = 4.2
    relief_slot: bool = False

    @property
    def tunnels(self) -> int:
        """The bore, an eye in each arm, the set screw into the bore, the slot in both walls of the hub."""
        return 4 + (2 if self.relief_slot else 0)

    def solid(self) -> Manifold:
        """Build it about z with the eyes along x."""
        inside, outside = self.span_mm / 2.0 - self.arm_mm, self.span_mm / 2.0
        top, web = self.eye_height_mm + self.arm_width_mm / 2.0, self.hub_length_mm
        floor = web + 6.0
        fork = outline(
            (-outside, web - 4.0, 7.0),
            (outside, web - 4.0, 7.0),
            (outside, top, 0.5),
            (inside, top, 0.5),
            (inside, floor, 5.0),
            (-inside, floor, 5.0),
            (-inside, top, 0.5),
            (-outside, top, 0.5),
        )
        width = self.arm_width_mm
        face = standing(fork.extrude(width), width)
        eye = belt(disc(width, 0, self.eye_height_mm), rectangle(width, 1.0, 0.0, 0.0, 0.5))
        side = standing(plate(eye, 2 * outside, top_mm=0.8, bottom_mm=0.8), 2 * outside).rotate((0, 0, 90))
        hub = plate(disc(self.hub_mm), web + 4.0, bottom_mm=1.0)
        reach = self.bore_mm / 2.0 + self.key_depth_mm
        key = rectangle(self.key_mm, reach, 0.0, 0.0, reach / 2.0).extrude(100.0).translate((0, 0, -50))
        eyes = rod(self.eye_mm, 400.0, (-200, 0, self.eye_height_mm), "x")
        screw = rod(self.set_screw_mm, 60.0, (0, 0, web * 0.4), "x")
        tools = [through(self.bore_mm), key, eyes, screw]
        if self.relief_slot:
            tools.append(standing(slot(8.0, 2.5, 0.0, web * 0.5, 90.0).extrude(80.0), 80.0))
        return cut(joined(face ^ side, hub), *tools)


@dataclass(frozen=True)
class ShiftFork:
    """A gear shift fork: sleeve for the rail, half-moon jaw with hardened pads, web with a rib."""

    sleeve_mm: float = 20.0
    sleeve_length_mm: float = 26.0
    rail_mm: float = 12.0
    reach_mm: float = 44.0
    jaw_mm: float = 36.0
    jaw_wall_mm: float = 6.0
    web_mm: float = 6.0
    pad_mm: float = 7.0
    pad_thick_mm: float = 8.0
    pin_mm: float = 4.0

    @property
    def tunnels(self) -> int:
        """The rail bore and the cross pin through both of its walls."""
        return 3

    def solid(self) -> Manifold:
        """Build it about the rail along z, the jaw toward +x."""
        reach, r = self.reach_mm, self.jaw_mm / 2.0
        moon = ring(self.jaw_mm + 2 * self.jaw_wall_mm, self.jaw_mm).translate((reach, 0))
        keep = rectangle(r + self.jaw_wall_mm + 4.0, 400.0, 0.0, reach - (r + self.jaw_wall_mm) / 2.0 + 2.0)
        neck = outline((0, -9), (reach - r - 2, -15), (reach - r - 2, 15), (0, 9)) - disc(self.jaw_mm, reach)
        web = soften((moon ^ keep) + neck, inside_mm=3.0, outside_mm=1.0)
        body = plate(web, self.web_mm, top_mm=0.7, bottom_mm=0.7, steps=3).translate((0, 0, -self.web_mm / 2.0))
        pad = plate(rectangle(self.pad_mm, self.jaw_wall_mm + 1.0, 1.2), self.pad_thick_mm, top_mm=0.8, bottom_mm=0.8)
        across = r + self.jaw_wall_mm / 2.0
        pads = [pad.translate((reach + 2.0, side * across, -self.pad_thick_mm / 2.0)) for side in (-1, 1)]
        sleeve = plate(disc(self.sleeve_mm), self.sleeve_length_mm, top_mm=0.8, bottom_mm=0.8)
        low = -self.sleeve_length_mm / 2.0
        rib = standing(outline((6, low + 3), (reach - r - 4, -2), (reach - r - 4, 2), (6, -low - 3)).extrude(4.0), 4.0)
        pin = rod(self.pin_mm, 60.0, (0, -30, -low - 6.0), "y")
        return cut(joined(body, *pads, sleeve.translate((0, 0, low)), rib), through(self.rail_mm), pin)


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
class ClevisRod:
    """A connecting rod: closed eye at one end, slotted fork at the other, I-section shank."""

    centres_mm: float = 72.0
    eye_mm: float = 22.0
    eye_bore_mm: float = 12.0
    eye_width_mm: float = 12.0
    fork_mm: float = 18.0
    fork_bore_mm: float = 8.0
    fork_gap_mm: float = 7.0
    shank_mm: float = 13.0
    shank_thick_mm: float = 9.0
    pocket_mm: float = 2.8
    oil_hole_mm: float = 2.0

    @property
    def tunnels(self) -> int:
        """The eye, its oil hole, and one bore in each cheek of the fork."""
        return 4

    def solid(self) -> Manifold:
        """Build it along x, symmetric about z = 0."""
        length = self.centres_mm
        shank = belt(disc(self.shank_mm), disc(self.shank_mm * 0.8, length))
        blade = plate(shank, self.shank_thick_mm, top_mm=0.8, bottom_mm=0.8, steps=3)
        big = plate(disc(self.eye_mm), self.eye_width_mm, top_mm=0.8, bottom_mm=0.8)
        small = plate(disc(self.fork_mm, length), self.eye_width_mm + 3.0, top_mm=1.0, bottom_mm=1.0)
        parts = [
            blade.translate((0, 0, -self.shank_thick_mm / 2.0)),
            big.translate((0, 0, -self.eye_width_mm / 2.0)),
            small.translate((0, 0, -self.eye_width_mm / 2.0 - 1.5)),
        ]
        start, end = self.eye_mm / 2.0 + 5.0, length - self.fork_mm / 2.0 - 5.0
        flute = slot(end - start, self.shank_mm * 0.5, (start + end) / 2.0)
        depth = self.pocket_mm
        pocket = plate(flute, 10.0, bottom_mm=0.6).translate((0, 0, self.shank_thick_mm / 2.0 - depth))
        gap = bar(self.fork_mm + 20.0, self.fork_mm * 2, self.fork_gap_mm, (length + 9.0, 0, -self.fork_gap_mm / 2.0))
        gap = joined(gap, rod(self.fork_gap_mm, self.fork_mm * 2, (length - self.fork_mm / 2.0 - 1.0, -self.fork_mm, 0), "y"))
        oil = rod(self.oil_hole_mm, 40.0, (0, 0, 0), "-x")
        tools = [pocket, pocket.mirror((0, 0, 1)), gap, oil, through(self.eye_bore_mm), through(self.fork_bore_mm, length)]
        return cut(joined(*parts), *tools)


@dataclass(frozen=True)
class HandCrank:
    """A crank arm with a square hub, a swept arm and a grip stud."""

    arm_mm: float = 54.0
    hub_mm: float = 20.0
    hub_height_mm: float = 14.0
    square_mm: float = 8.0
    rise_mm: float = 10.0
    arm_width_mm: float = 11.0
    arm_thick_mm: float = 6.0
    stud_mm: float = 9.0
    stud_height_mm: float = 16.0
    groove_mm: float = 1.2
    cross_pin_mm: float = 3.0

    @property
    def tunnels(self) -> int:
        """The square hole, crossed by a pin hole through both of its walls."""
        return 3

    def solid(self) -> Manifold:
        """Build it about z at the hub, the arm along +x, rising."""
        arm, t, up = self.arm_mm, self.arm_thick_mm, self.rise_mm
        side = outline(
            (-6, 0), (arm * 0.3, 0, 12.0), (arm * 0.7, up, 12.0), (arm + 12, up), (arm + 12, up + t), (arm * 0.7, up + t, 12.0),
            (arm * 0.3, t, 12.0), (-6, t),
        )
        plan = belt(disc(self.arm_width_mm * 1.4), disc(self.arm_width_mm, arm))
        arm_body = standing(side.extrude(60.0), 60.0) ^ plan.extrude(100.0).translate((0, 0, -20))
        hub = plate(disc(self.hub_mm), self.hub_height_mm, top_mm=1.0, bottom_mm=0.8)
        stud = boss(self.stud_mm, self.stud_height_mm, 1.0, 1.0).translate((arm, 0, up + t))
        top, r = up + t + self.stud_height_mm, self.stud_mm / 2.0
        groove = turned((r - self.groove_mm, top - 5.0), (r + 2, top - 5.0), (r + 2, top - 3.4), (r - self.groove_mm, top - 3.4))
        square = soften(rectangle(self.square_mm, self.square_mm), outside_mm=0.6).extrude(100.0).translate((0, 0, -50))
        pin = rod(self.cross_pin_mm, 60.0, (0, -30, self.hub_height_mm - 4.0), "y")
        return cut(joined(arm_body, hub, stud), groove.translate((arm, 0, 0)), square, pin)


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
class ForcepsJaw:
    """One jaw of a grasping instrument: slim serrated tip, pivot eye, drive slot."""

    length_mm: float = 26.0
    width_mm: float = 4.6
    height_mm: float = 3.4
    tip_mm: float = 2.2
    eye_mm: float = 6.4
    pivot_mm: float = 2.0
    teeth: int = 14
    tooth_pitch_mm: float = 1.0
    tooth_depth_mm: float = 0.35
    slot_mm: float = 1.2
    window_mm: float = 0.0

    @property
    def tunnels(self) -> int:
        """The pivot, the drive slot, the window in the jaw."""
        return 2 + (self.window_mm > 0.0)

    def solid(self) -> Manifold:
        """Build it along x with the serrated face down at z = 0 and the pivot along y at the origin."""
        length = self.length_mm
        plan = belt(disc(self.width_mm, 3.0), disc(self.tip_mm, length - self.tip_mm / 2.0))
        jaw = plate(plan, self.height_mm, top_mm=1.0, steps=4)
        eye = standing(plate(disc(self.eye_mm), 2.6, top_mm=0.3, bottom_mm=0.3), 2.6).translate((0, 0, 1.2))
        tail = standing(plate(belt(disc(4.2, -6.5, 3.2), disc(4.2, 0, 1.2)), 2.4, top_mm=0.3, bottom_mm=0.3), 2.4)
        pitch, depth = self.tooth_pitch_mm, self.tooth_depth_mm
        vee = outline((-pitch * 0.36, -0.1), (pitch * 0.36, -0.1), (0.0, depth))
        start = length - 2.5 - pitch * self.teeth
        grooves = [standing(vee.extrude(20.0), 20.0).translate((start + pitch * k, 0, 0)) for k in range(self.teeth)]
        pivot = rod(self.pivot_mm, 60.0, (0, -30, 1.2), "y")
        drive = standing(slot(3.0, self.slot_mm, -6.3, 3.2, -25.0).extrude(30.0), 30.0)
        tools = [pivot, drive, *grooves]
        if self.window_mm > 0.0:
            tools.append(slot(self.window_mm, 1.0, length * 0.52).extrude(60.0).translate((0, 0, -30)))
        return cut(joined(jaw, eye, tail), *tools)


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
            (-deep, 0, 2.0), (-self.gap_mm / 2, 0, 1.5), (-self.gap_mm / 2, low, 3.0), (self.gap_mm / 2, low, 3.0),
            (self.gap_mm / 2, 0, 1.5), (deep, 0, 2.0), (deep, self.height_mm, 7.0), (-deep, self.height_mm, 7.0),
        )
        core = standing(plate(side, self.width_mm, top_mm=1.2, bottom_mm=1.2, steps=3), self.width_mm).rotate((0, 0, 90))
        half = self.length_mm / 2.0
        ear = belt(disc(self.ear_mm, half - self.ear_mm / 2.0, 8.0), rectangle(10.0, 16.0, 0.0, self.width_mm / 2.0 - 6.0, 8.5))
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
