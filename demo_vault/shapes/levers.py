"""Levers, links and forks: parts that carry a movement from one pin to another."""

from dataclasses import dataclass

from manifold3d import Manifold

from demo_vault.shapes.outlines import belt, disc, outline, rectangle, ring, slot, soften
from demo_vault.shapes.solids import bar, boss, cut, joined, plate, rod, standing, through, turned


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
    rib_height_mm: float = 8.0

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
        gap = joined(
            gap, rod(self.fork_gap_mm, self.fork_mm * 2, (length - self.fork_mm / 2.0 - 1.0, -self.fork_mm, 0), "y")
        )
        oil = rod(self.oil_hole_mm, 40.0, (0, 0, 0), "-x")
        tools = [
            pocket,
            pocket.mirror((0, 0, 1)),
            gap,
            oil,
            through(self.eye_bore_mm),
            through(self.fork_bore_mm, length),
        ]
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
            (-6, 0),
            (arm * 0.3, 0, 12.0),
            (arm * 0.7, up, 12.0),
            (arm + 12, up),
            (arm + 12, up + t),
            (arm * 0.7, up + t, 12.0),
            (arm * 0.3, t, 12.0),
            (-6, t),
        )
        plan = belt(disc(self.arm_width_mm * 1.4), disc(self.arm_width_mm, arm))
        arm_body = standing(side.extrude(60.0), 60.0) ^ plan.extrude(100.0).translate((0, 0, -20))
        hub = plate(disc(self.hub_mm), self.hub_height_mm, top_mm=1.0, bottom_mm=0.8)
        stud = boss(self.stud_mm, self.stud_height_mm, 1.0, 1.0).translate((arm, 0, up + t))
        top, r = up + t + self.stud_height_mm, self.stud_mm / 2.0
        groove = turned(
            (r - self.groove_mm, top - 5.0), (r + 2, top - 5.0), (r + 2, top - 3.4), (r - self.groove_mm, top - 3.4)
        )
        square = soften(rectangle(self.square_mm, self.square_mm), outside_mm=0.6).extrude(100.0).translate((0, 0, -50))
        pin = rod(self.cross_pin_mm, 60.0, (0, -30, self.hub_height_mm - 4.0), "y")
        return cut(joined(arm_body, hub, stud), groove.translate((arm, 0, 0)), square, pin)
