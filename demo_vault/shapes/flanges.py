"""Flanges, elbows and couplings: parts with bolt circles, raised faces and a way through."""

import math
from dataclasses import dataclass

from manifold3d import Manifold

from demo_vault.shapes.outlines import disc, outline, polygon, rectangle, ring, soften
from demo_vault.shapes.solids import (
    boss,
    countersunk,
    cut,
    joined,
    placed,
    plate,
    ring_of_holes,
    rod,
    round_about,
    through,
    turned,
)


@dataclass(frozen=True)
class HubFlange:
    """A pipe flange with raised face, tapered hub and bolt circle."""

    outer_mm: float = 70.0
    thick_mm: float = 8.0
    face_mm: float = 42.0
    face_height_mm: float = 1.6
    hub_mm: float = 32.0
    hub_end_mm: float = 26.0
    hub_height_mm: float = 24.0
    bore_mm: float = 19.0
    bolts: int = 6
    bolt_circle_mm: float = 54.0
    bolt_mm: float = 6.6
    fillet_mm: float = 3.0
    test_port_mm: float = 0.0

    @property
    def tunnels(self) -> int:
        """The bore, the bolt holes, the test port into the bore."""
        return 1 + self.bolts + (self.test_port_mm > 0.0)

    def solid(self) -> Manifold:
        """Build it about z, the raised face down at z = 0."""
        raised, rim = self.face_height_mm, self.face_height_mm + self.thick_mm
        body = turned(
            (0.0, 0.0),
            (self.face_mm / 2.0, 0.0),
            (self.face_mm / 2.0, raised),
            (self.outer_mm / 2.0, raised, 0.8),
            (self.outer_mm / 2.0, rim, 0.8),
            (self.hub_mm / 2.0, rim, self.fillet_mm),
            (self.hub_end_mm / 2.0, rim + self.hub_height_mm - 6.0),
            (self.hub_end_mm / 2.0, rim + self.hub_height_mm, 1.0),
            (0.0, rim + self.hub_height_mm),
        )
        bolts = ring_of_holes(self.bolts, self.bolt_circle_mm, self.bolt_mm, 180.0 / self.bolts)
        tools = [through(self.bore_mm), bolts]
        if self.test_port_mm > 0.0:
            tools.append(rod(self.test_port_mm, 100.0, (0, 0, raised + self.thick_mm / 2.0), "x"))
        return cut(body, *tools)


@dataclass(frozen=True)
class FlangedElbow:
    """A right-angle pipe bend between a round flange and a square one."""

    bend_mm: float = 30.0
    bore_mm: float = 16.0
    wall_mm: float = 3.0
    flange_mm: float = 42.0
    flange_thick_mm: float = 6.0
    bolts: int = 4
    bolt_circle_mm: float = 33.0
    bolt_mm: float = 4.5
    square_mm: float = 34.0
    square_pitch_mm: float = 25.0
    sensor_boss_mm: float = 0.0

    @property
    def tunnels(self) -> int:
        """The pipe, the bolts of both flanges, the sensor bore into the pipe."""
        return 1 + self.bolts + 4 + (self.sensor_boss_mm > 0.0)

    def _bend(self, diameter_mm: float) -> Manifold:
        """Return a quarter of a torus from the origin along +z to (bend, 0, bend) along +x."""
        quarter = disc(diameter_mm, self.bend_mm).revolve(96, 90.0)
        return quarter.rotate((90.0, 0.0, 0.0)).mirror((1, 0, 0)).translate((self.bend_mm, 0, 0))

    def solid(self) -> Manifold:
        """Build it with the round flange at z = -lead and the square one at +x."""
        outside, lead = self.bore_mm + 2.0 * self.wall_mm, 8.0
        bend, end = self.bend_mm, self.bend_mm + lead
        pipes = joined(
            self._bend(outside),
            rod(outside, lead, (0, 0, -lead)),
            rod(outside, lead, (bend, 0, bend), "x"),
        )
        round_flange = plate(disc(self.flange_mm), self.flange_thick_mm, top_mm=0.8, bottom_mm=0.5)
        square = plate(rectangle(self.square_mm, self.square_mm, 4.5), self.flange_thick_mm, top_mm=0.5, bottom_mm=0.8)
        round_flange = cut(round_flange, ring_of_holes(self.bolts, self.bolt_circle_mm, self.bolt_mm, 45.0))
        half = self.square_pitch_mm / 2.0
        square = cut(square, *(through(self.bolt_mm, x, y) for x in (-half, half) for y in (-half, half)))
        parts = [
            pipes,
            round_flange.translate((0, 0, -lead)),
            placed(square, (end - self.flange_thick_mm, 0, bend), "x"),
        ]
        tools = [
            self._bend(self.bore_mm),
            rod(self.bore_mm, lead + 1.0, (0, 0, -lead - 1.0)),
            rod(self.bore_mm, lead + 1.0, (bend, 0, bend), "x"),
        ]
        if self.sensor_boss_mm > 0.0:
            crown = (bend * (1.0 - math.sqrt(0.5)), 0.0, bend * math.sqrt(0.5))
            stub = boss(self.sensor_boss_mm, outside / 2.0 + 6.0, 0.0, 0.6)
            parts.append(stub.rotate((0, -45, 0)).translate(crown))
            tools.append(rod(self.sensor_boss_mm * 0.5, 60.0).rotate((0, -45, 0)).translate(crown))
        return cut(joined(*parts), *tools)


@dataclass(frozen=True)
class RotorAdapter:
    """A stepped adapter: spigot, oval flange with two screws, and a slotted collar."""

    length_mm: float = 46.0
    width_mm: float = 30.0
    thick_mm: float = 5.0
    spigot_mm: float = 18.0
    spigot_length_mm: float = 8.0
    collar_mm: float = 24.0
    collar_length_mm: float = 14.0
    bore_mm: float = 12.0
    screw_mm: float = 4.5
    screw_pitch_mm: float = 35.0
    slots: int = 4
    slot_mm: float = 2.0

    @property
    def tunnels(self) -> int:
        """The bore and two screws; the slots are open at the end."""
        return 3

    def solid(self) -> Manifold:
        """Build it about z with the spigot below the flange."""
        ear = disc(self.screw_mm * 2.4, self.screw_pitch_mm / 2.0)
        oval = (disc(self.width_mm) + ear + ear.rotate(180.0)).hull()
        flange = plate(oval, self.thick_mm, top_mm=0.7, bottom_mm=0.7, steps=3)
        spigot = placed(boss(self.spigot_mm, self.spigot_length_mm, 0.0, 0.8), (0, 0, 0), "-z")
        collar = boss(self.collar_mm, self.collar_length_mm, 1.5, 0.8).translate((0, 0, self.thick_mm))
        groove = turned(
            (self.collar_mm / 2 - 1.2, 0), (self.collar_mm, 0), (self.collar_mm, 2.0), (self.collar_mm / 2 - 1.2, 2.0)
        ).translate((0, 0, self.thick_mm + self.collar_length_mm - 5.0))
        depth = self.collar_length_mm - 4.0
        saw = placed(
            rectangle(self.slot_mm, self.collar_mm).extrude(depth + 1.0),
            (0, self.collar_mm / 2.0 + 1.0, self.thick_mm + self.collar_length_mm - depth),
        )
        half = self.screw_pitch_mm / 2.0
        screws = [countersunk(self.screw_mm, self.screw_mm * 1.8, (x, 0, self.thick_mm)) for x in (-half, half)]
        return cut(
            joined(flange, spigot, collar), through(self.bore_mm), groove, round_about(saw, self.slots, 45.0), *screws
        )


@dataclass(frozen=True)
class JawCoupling:
    """One half of a shaft coupling: curved jaws on a hub with keyway and clamping slot."""

    outer_mm: float = 40.0
    hub_mm: float = 30.0
    hub_length_mm: float = 16.0
    web_mm: float = 5.0
    jaws: int = 3
    jaw_length_mm: float = 11.0
    jaw_share: float = 0.42
    bore_mm: float = 14.0
    key_mm: float = 5.0
    key_depth_mm: float = 2.3
    set_screw_mm: float = 4.2

    @property
    def tunnels(self) -> int:
        """The bore and the set screw into it."""
        return 2

    def solid(self) -> Manifold:
        """Build it about z, the jaws upward."""
        r = self.outer_mm / 2.0
        body = turned(
            (0.0, 0.0),
            (self.hub_mm / 2.0, 0.0, 1.0),
            (self.hub_mm / 2.0, self.hub_length_mm, 2.0),
            (r, self.hub_length_mm, 1.0),
            (r, self.hub_length_mm + self.web_mm),
            (0.0, self.hub_length_mm + self.web_mm),
        )
        half = math.radians(180.0 / self.jaws * self.jaw_share * 2.0) / 2.0
        arc = [half * (2.0 * k / 24 - 1.0) for k in range(25)]
        wedge = polygon([(0.0, 0.0), *((1.5 * r * math.cos(a), 1.5 * r * math.sin(a)) for a in arc)])
        sector = soften(wedge ^ ring(self.outer_mm, self.outer_mm * 0.5), outside_mm=1.6)
        jaw = plate(sector, self.jaw_length_mm + 0.5, top_mm=1.0, steps=3)
        jaws = round_about(jaw, self.jaws).translate((0, 0, self.hub_length_mm + self.web_mm - 0.5))
        reach = self.bore_mm / 2.0 + self.key_depth_mm
        key = rectangle(reach, self.key_mm, 0.0, reach / 2.0).extrude(200.0).translate((0, 0, -50))
        screw = rod(self.set_screw_mm, 60.0, (0, 0, self.hub_length_mm / 2.0), "y")
        return cut(joined(body, jaws), through(self.bore_mm), key, screw)


@dataclass(frozen=True)
class BlankCap:
    """A domed cap with radial ribs on the inside and a screw circle on lugs."""

    inner_mm: float = 40.0
    wall_mm: float = 2.5
    height_mm: float = 16.0
    lugs: int = 5
    lug_mm: float = 9.0
    screw_mm: float = 3.4
    ribs: int = 5
    rib_mm: float = 2.0
    boss_mm: float = 12.0
    vent_mm: float = 0.0

    @property
    def tunnels(self) -> int:
        """The lugs' screw holes and the vent."""
        return self.lugs + (self.vent_mm > 0.0)

    def solid(self) -> Manifold:
        """Build it open side down, about z."""
        inside, h, w = self.inner_mm / 2.0, self.height_mm, self.wall_mm
        shell = turned((0, 0), (inside + w, 0), (inside + w, h, 6.0), (0, h))
        hollow = turned((0, -1), (inside, -1), (inside, h - w, 4.0), (0, h - w))
        circle = inside + w + self.lug_mm / 2.0 - 1.0
        ear = soften(disc(2 * (inside + w)) + disc(self.lug_mm, circle), inside_mm=3.0)
        ears = plate(ear, 4.0, top_mm=0.5, bottom_mm=0.5)
        rim = round_about(ears, self.lugs)
        rib = placed(
            outline((0, 0), (inside, 0), (inside, self.rib_mm), (0, self.rib_mm)).extrude(5.0), (0, -1.0, h - w - 4.9)
        )
        ribs = round_about(rib, self.ribs, 36.0) ^ rod(self.inner_mm + 1.0, h)
        core = rod(self.boss_mm, h - 3.0, (0, 0, 2.5))
        body = joined(cut(joined(shell, rim), hollow), ribs, core)
        holes = round_about(through(self.screw_mm, circle), self.lugs)
        tools = [holes] if self.vent_mm <= 0.0 else [holes, through(self.vent_mm, inside * 0.6)]
        return cut(body, *tools)
