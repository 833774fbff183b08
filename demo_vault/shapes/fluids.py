"""Parts that carry a fluid: manifolds, valve bodies, nozzles, fittings, glands."""

import math
from dataclasses import dataclass

from manifold3d import Manifold

from demo_vault.shapes.outlines import around, belt, disc, hexagon, polygon, rectangle, slot, soften
from demo_vault.shapes.solids import (
    bar,
    boss,
    counterbored,
    cut,
    drill_point,
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
class PortManifold:
    """A manifold block: one gallery along x, cross bores to ports on top, a cross port in front, mounting holes."""

    length_mm: float = 64.0
    width_mm: float = 32.0
    height_mm: float = 28.0
    ports: int = 3
    port_mm: float = 6.0
    port_seat_mm: float = 12.0
    port_seat_depth_mm: float = 3.0
    pitch_mm: float = 18.0
    gallery_mm: float = 8.0
    gallery_height_mm: float = 11.0
    end_seat_mm: float = 13.0
    mount_mm: float = 4.5
    front_port_mm: float = 5.0
    relief_groove: bool = False

    @property
    def tunnels(self) -> int:
        """The gallery, the bores that open into it, four mounting holes."""
        return 1 + self.ports + 1 + 4

    def solid(self) -> Manifold:
        """Build it on the plane z = 0, centred in x and y."""
        length, width, height = self.length_mm, self.width_mm, self.height_mm
        body = plate(rectangle(length, width, 3.0), height, top_mm=1.2, bottom_mm=1.2)
        up = self.gallery_height_mm
        seat = self.port_seat_depth_mm
        tools = [
            rod(self.gallery_mm, 400, (-200, 0, up), "x"),
            rod(self.end_seat_mm, 4.0, (-length / 2 - 1.0, 0, up), "x"),
            rod(self.end_seat_mm, 4.0, (length / 2 + 1.0, 0, up), "-x"),
            counterbored(self.front_port_mm, self.front_port_mm * 1.8, 2.5, (0, -width / 2, up), "y", width / 2),
        ]
        for k in range(self.ports):
            x = self.pitch_mm * (k - (self.ports - 1) / 2.0)
            tools.append(counterbored(self.port_mm, self.port_seat_mm, seat, (x, 0, height), "-z", height - up))
        x, y = length / 2 - 5.0, width / 2 - 5.0
        tools.extend(through(self.mount_mm, sx * x, sy * y) for sx in (-1, 1) for sy in (-1, 1))
        if self.relief_groove:
            tools.append(rectangle(length + 10.0, 5.0).extrude(4.0).translate((0, 0, -2.5)))
        return cut(body, *tools)


@dataclass(frozen=True)
class ValveBody:
    """A globe-like valve body: round chamber, two hexagon ends in line, bonnet flange on top."""

    length_mm: float = 58.0
    across_flats_mm: float = 22.0
    end_length_mm: float = 12.0
    bore_mm: float = 11.0
    chamber_mm: float = 30.0
    chamber_bore_mm: float = 16.0
    centre_height_mm: float = 17.0
    bonnet_mm: float = 34.0
    bonnet_thick_mm: float = 5.0
    bonnet_height_mm: float = 38.0
    screws: int = 4
    screw_mm: float = 3.4
    screw_circle_mm: float = 27.0
    foot_boss: bool = False

    @property
    def tunnels(self) -> int:
        """The way through, the chamber that opens into it, the screws of the bonnet."""
        return 2 + self.screws

    def solid(self) -> Manifold:
        """Build it with the flow along x and the bonnet up."""
        up, half = self.centre_height_mm, self.length_mm / 2.0
        ball = self.chamber_mm / 2.0
        chamber = Manifold.sphere(ball, 72).translate((0, 0, up))
        neck = turned(
            (0, 0),
            (self.chamber_mm * 0.4, 0),
            (self.chamber_mm * 0.4, self.bonnet_height_mm - up - self.bonnet_thick_mm, 2.0),
            (self.bonnet_mm / 2, self.bonnet_height_mm - up - self.bonnet_thick_mm, 0.6),
            (self.bonnet_mm / 2, self.bonnet_height_mm - up, 0.6),
            (0, self.bonnet_height_mm - up),
        ).translate((0, 0, up))
        pipe = rod(self.bore_mm + 7.0, self.length_mm - 4.0, (-half + 2.0, 0, up), "x")
        nut = plate(hexagon(self.across_flats_mm), self.end_length_mm) ^ turned(
            (0, 0),
            (self.across_flats_mm * 0.5, 0),
            (self.across_flats_mm * 0.62, 1.8),
            (self.across_flats_mm * 0.62, self.end_length_mm - 1.8),
            (self.across_flats_mm * 0.5, self.end_length_mm),
            (0, self.end_length_mm),
        )
        ends = [placed(nut, (-half, 0, up), "x"), placed(nut, (half, 0, up), "-x")]
        parts = [chamber, neck, pipe, *ends]
        if self.foot_boss:
            parts.append(plate(disc(14.0), up - ball + 2.0, bottom_mm=0.6))
        tools = [
            rod(self.bore_mm, 400, (-200, 0, up), "x"),
            rod(self.chamber_bore_mm, 60, (0, 0, up - self.bore_mm / 2.0 - 1.0)),
            ring_of_holes(self.screws, self.screw_circle_mm, self.screw_mm, 45.0) ^ bar(99, 99, 50, (0, 0, self.bonnet_height_mm - self.bonnet_thick_mm - 1.0)),
        ]
        return cut(joined(*parts), *tools)


@dataclass(frozen=True)
class NozzleBlock:
    """A spray bar: feed gallery closed at one end, a row of nozzles below, slotted ears."""

    length_mm: float = 74.0
    width_mm: float = 18.0
    height_mm: float = 16.0
    nozzles: int = 6
    pitch_mm: float = 10.0
    nozzle_mm: float = 9.0
    nozzle_length_mm: float = 7.0
    orifice_mm: float = 1.2
    gallery_mm: float = 7.0
    ear_mm: float = 11.0
    ear_slot_mm: float = 8.0
    ear_slot_width_mm: float = 4.3

    @property
    def tunnels(self) -> int:
        """One tree of passages from the inlet to the nozzles, and two ear slots."""
        return self.nozzles + 2

    def solid(self) -> Manifold:
        """Build it along x with the nozzles downward."""
        side = soften(rectangle(self.width_mm, self.height_mm), outside_mm=3.0)
        body = plate(side, self.length_mm, top_mm=1.0, bottom_mm=1.0).translate((0, 0, -self.length_mm / 2.0))
        body = body.rotate((90, 0, 90))
        tip = turned(
            (0, -0.5), (self.nozzle_mm / 2, -0.5), (self.nozzle_mm / 2, 2.0), (1.6, self.nozzle_length_mm), (0, self.nozzle_length_mm)
        )
        low = -self.height_mm / 2.0
        places = [self.pitch_mm * (k - (self.nozzles - 1) / 2.0) for k in range(self.nozzles)]
        tips = [placed(tip, (x, 0, low), "-z") for x in places]
        ear_outline = belt(disc(self.ear_mm, 0, 8.0), rectangle(self.ear_mm, 2.0))
        ear = plate(ear_outline, 5.0, top_mm=0.6, bottom_mm=0.6)
        x, y = self.length_mm / 2 - self.ear_mm / 2 - 2.0, self.width_mm / 2.0
        ears = [ear.translate((x, y - 1.0, low)), ear.rotate((0, 0, 180)).translate((-x, 1.0 - y, low))]
        hole = slot(self.ear_slot_mm, self.ear_slot_width_mm, 0.0, 0.0, 0.0).extrude(100.0).translate((0, 0, -50))
        tools = [
            rod(self.gallery_mm, self.length_mm - 6.0, (-self.length_mm / 2.0 - 1.0, 0, 0), "x"),
            rod(self.gallery_mm + 4.0, 5.0, (-self.length_mm / 2.0 - 1.0, 0, 0), "x"),
            *(rod(self.orifice_mm, 100.0, (px, 0, 0), "-z") for px in places),
            *(rod(self.orifice_mm * 2.6, self.height_mm / 2 + self.nozzle_length_mm - 2.5, (px, 0, 0), "-z") for px in places),
            hole.translate((x, y + 7.0, 0)),
            hole.translate((-x, -y - 7.0, 0)),
        ]
        return cut(joined(body, *tips, *ears), *tools)


@dataclass(frozen=True)
class CableGland:
    """A cable gland body: hexagon collar, spigot below, slit clamping fingers above."""

    across_flats_mm: float = 22.0
    collar_mm: float = 6.0
    spigot_mm: float = 16.0
    spigot_length_mm: float = 10.0
    finger_mm: float = 16.0
    finger_length_mm: float = 12.0
    fingers: int = 8
    slit_mm: float = 1.2
    bore_mm: float = 9.0
    groove_mm: float = 1.0

    @property
    def tunnels(self) -> int:
        """The bore; the slits are open at the end."""
        return 1

    def solid(self) -> Manifold:
        """Build it about z, the fingers upward."""
        high = self.collar_mm
        corner = self.across_flats_mm / math.sqrt(3.0)
        collar = hexagon(self.across_flats_mm).extrude(high) ^ turned(
            (0, 0), (corner - 1.0, 0), (corner + 0.1, 0.9), (corner + 0.1, high - 0.9), (corner - 1.0, high), (0, high)
        )
        r = self.spigot_mm / 2.0
        spigot = turned(
            (0, 0.2), (r, 0.2), (r, -0.8), (r - self.groove_mm, -0.8), (r - self.groove_mm, -2.6), (r, -2.6),
            (r, 1.0 - self.spigot_length_mm), (r - 1.0, -self.spigot_length_mm), (0, -self.spigot_length_mm),
        )
        f, top = self.finger_mm / 2.0, high + self.finger_length_mm
        crown = turned((0, high - 0.2), (f, high - 0.2), (f, top - 4.0, 2.0), (f - 2.0, top), (0, top))
        inside = turned((0, high + 1.5), (f - 1.6, high + 1.5), (f - 1.6, top - 4.5), (f - 3.4, top + 0.1), (0, top + 0.1))
        slit = rectangle(20.0, self.slit_mm, 0.0, 10.0).extrude(40.0).translate((0, 0, high + 2.5))
        return cut(joined(collar, spigot, crown), through(self.bore_mm), inside, round_about(slit, self.fingers))


@dataclass(frozen=True)
class HoseBarb:
    """An elbow hose fitting: barbed stub, square block, hollow screw bore, wrench flats."""

    barb_mm: float = 9.0
    barbs: int = 4
    barb_pitch_mm: float = 5.0
    bore_mm: float = 5.0
    block_mm: float = 18.0
    block_height_mm: float = 16.0
    screw_bore_mm: float = 10.0
    land_mm: float = 15.0
    rise_deg: float = 0.0

    @property
    def tunnels(self) -> int:
        """The screw bore and the barb's bore into it."""
        return 2

    def solid(self) -> Manifold:
        """Build it about the screw bore along z, the barbed stub along +x."""
        height, mid = self.block_height_mm, self.block_height_mm / 2.0
        eye = plate(soften(rectangle(self.block_mm, self.block_mm), outside_mm=4.0), height, top_mm=0.8, bottom_mm=0.8)
        lands = plate(disc(self.land_mm), height + 1.2, top_mm=0.3, bottom_mm=0.3).translate((0, 0, -0.6))
        r, start = self.barb_mm / 2.0, self.block_mm / 2.0 + 4.0
        line: list[tuple[float, float]] = [(0.0, 0.0), (r - 1.0, 0.0), (r - 1.0, start)]
        for k in range(self.barbs):
            z = start + k * self.barb_pitch_mm
            line += [(r + 0.3, z), (r + 0.3, z + 0.5), (r - 0.9, z + self.barb_pitch_mm)]
        line.append((0.0, start + self.barbs * self.barb_pitch_mm))
        root = rod(self.barb_mm + 3.0, start - 1.0)
        stub = joined(turned(*line), root)
        tools = [through(self.screw_bore_mm), placed(rod(self.bore_mm, 200.0), (0, 0, mid), "x").rotate((0, -self.rise_deg, 0))]
        return cut(joined(eye, lands, placed(stub, (0, 0, mid), "x").rotate((0, -self.rise_deg, 0))), *tools)


@dataclass(frozen=True)
class SwirlInjector:
    """A swirl injector: conical body, tangential slots into a vortex chamber, sealing lip."""

    body_mm: float = 14.0
    length_mm: float = 24.0
    head_mm: float = 20.0
    head_thick_mm: float = 4.0
    chamber_mm: float = 7.0
    orifice_mm: float = 1.6
    slots: int = 4
    slot_mm: float = 1.5
    feed_mm: float = 3.0
    seal_groove: bool = True

    @property
    def tunnels(self) -> int:
        """The way from the orifice up through the head, joined by the tangential inlets."""
        return 1 + self.slots

    def solid(self) -> Manifold:
        """Build it about z, the orifice at z = 0."""
        r, h, top = self.body_mm / 2.0, self.head_mm / 2.0, self.length_mm
        groove = ((r, top - 9.5), (r - 1.1, top - 9.5), (r - 1.1, top - 7.3), (r, top - 7.3)) if self.seal_groove else ()
        body = turned(
            (0, 0), (2.6, 0, 0.4), (r, 6.0, 2.0), *groove, (r, top - self.head_thick_mm, 0.6),
            (h, top - self.head_thick_mm, 0.5), (h, top, 0.5), (0, top),
        )
        c = self.chamber_mm / 2.0
        chamber = turned((0, 2.2), (self.orifice_mm / 2, 2.2), (c, 5.2), (c, top - 12.0), (0, top - 12.0))
        inlet = rod(self.slot_mm, 40.0, (0, c - self.slot_mm / 2.0, 8.0), "x")
        flats = bar(40, 10, 20, (0, h - 1.0 + 5.0, top - self.head_thick_mm))
        tools = [chamber, through(self.orifice_mm), rod(self.feed_mm, 40.0, (0, 0, top - 12.5)), round_about(inlet, self.slots)]
        return cut(body, *tools, flats, flats.mirror((0, 1, 0)))


@dataclass(frozen=True)
class FilterBasket:
    """A strainer cup: perforated wall in rows, flange with notch, drilled floor."""

    outer_mm: float = 24.0
    wall_mm: float = 1.6
    height_mm: float = 26.0
    flange_mm: float = 32.0
    flange_thick_mm: float = 3.0
    rows: int = 4
    holes_per_row: int = 12
    hole_mm: float = 2.4
    floor_holes: int = 6
    floor_hole_mm: float = 2.4

    @property
    def tunnels(self) -> int:
        """Every hole in the wall and the floor; the open top is the other end of all of them."""
        return self.rows * self.holes_per_row + self.floor_holes

    def solid(self) -> Manifold:
        """Build it about z, the flange upward."""
        r, f, top = self.outer_mm / 2.0, self.flange_mm / 2.0, self.height_mm
        rim = top - self.flange_thick_mm
        shell = turned((0, 0), (r, 0, 2.0), (r, rim, 1.0), (f, rim, 0.5), (f, top, 0.5), (0, top))
        inside = turned((0, self.wall_mm + 0.4), (r - self.wall_mm, self.wall_mm + 0.4, 1.2), (r - self.wall_mm, top + 1), (0, top + 1))
        step = (rim - 7.0) / max(1, self.rows - 1)
        rows = []
        for row in range(self.rows):
            hole = rod(self.hole_mm, 40.0, (0, 0, 4.0 + row * step), "x")
            rows.append(round_about(hole, self.holes_per_row, 180.0 / self.holes_per_row * (row % 2)))
        notch = rectangle(4.0, 3.0, 0.0, f).extrude(20.0).translate((0, 0, rim - 1.0))
        floor = around(disc(self.floor_hole_mm, self.outer_mm * 0.27), self.floor_holes).extrude(6.0).translate((0, 0, -2.0))
        return cut(shell, inside, *rows, notch, floor)


@dataclass(frozen=True)
class PneumaticTee:
    """A branch tee on a foot: barrel with end flats, slanted branch, blind sensor tapping, gussets."""

    barrel_mm: float = 20.0
    length_mm: float = 52.0
    bore_mm: float = 12.0
    branch_mm: float = 16.0
    branch_bore_mm: float = 9.0
    branch_length_mm: float = 28.0
    branch_deg: float = 60.0
    foot_mm: float = 34.0
    foot_width_mm: float = 24.0
    screw_mm: float = 4.3
    tapping_mm: float = 3.3

    @property
    def tunnels(self) -> int:
        """The barrel, the branch, two foot screws; the tapping is blind."""
        return 4

    def solid(self) -> Manifold:
        """Build it with the barrel along x, the branch upward."""
        up, half = self.barrel_mm / 2.0 + 4.0, self.length_mm / 2.0
        lip = self.barrel_mm / 2.0 + 2.0
        barrel = turned(
            (0, 0), (lip, 0, 0.6), (lip, 7.0, 0.6), (lip - 2, 7.0, 1.0), (lip - 2, self.length_mm - 7.0, 1.0),
            (lip, self.length_mm - 7.0, 0.6), (lip, self.length_mm, 0.6), (0, self.length_mm),
        )
        main = placed(barrel, (-half, 0, up), "x")
        turn = (0.0, 90.0 - self.branch_deg, 0.0)
        b = self.branch_mm / 2.0
        stub = turned((0, 0), (b, 0), (b, self.branch_length_mm - 6.0, 1.0), (b + 1.6, self.branch_length_mm - 5.0), (b + 1.6, self.branch_length_mm, 0.6), (0, self.branch_length_mm))
        branch = stub.rotate(turn).translate((0, 0, up))
        foot = plate(rectangle(self.foot_mm, self.foot_width_mm + 12.0, 5.0), 4.5, top_mm=0.7)
        saddle = bar(self.foot_mm * 0.7, 12.0, up - 2.0)
        tools = [
            rod(self.bore_mm, 400, (-200, 0, up), "x"),
            rod(self.branch_bore_mm, 80.0).rotate(turn).translate((0, 0, up)),
            *(through(self.screw_mm, 0.0, side * (self.foot_width_mm / 2.0 + 1.5)) for side in (-1, 1)),
            drill_point(self.tapping_mm, 3.0, (-half * 0.5, self.barrel_mm / 2.0, up), "-y"),
        ]
        return cut(joined(main, branch, foot, saddle), *tools)


@dataclass(frozen=True)
class KnurlKnob:
    """A fluted hand knob for a needle valve: lobes, recessed face, spindle bore with a flat."""

    outer_mm: float = 28.0
    height_mm: float = 14.0
    lobes: int = 8
    flute_mm: float = 7.0
    hub_mm: float = 13.0
    hub_length_mm: float = 6.0
    bore_mm: float = 6.0
    flat_mm: float = 4.8
    set_screw_mm: float = 2.5
    index_notch: bool = False

    @property
    def tunnels(self) -> int:
        """The bore, and the set screw into it through one wall of the hub."""
        return 2

    def solid(self) -> Manifold:
        """Build it about z, the hub downward."""
        r = self.outer_mm / 2.0
        star = disc(self.outer_mm) - around(disc(self.flute_mm, r + self.flute_mm * 0.22), self.lobes)
        grip = plate(soften(star, outside_mm=1.6), self.height_mm, top_mm=1.4, bottom_mm=0.8, steps=3)
        hub = placed(boss(self.hub_mm, self.hub_length_mm, 1.0, 0.6), (0, 0, 0), "-z")
        dish = plate(disc(self.outer_mm * 0.55), 5.0, bottom_mm=0.8).translate((0, 0, self.height_mm - 2.0))
        away = bar(20.0, 20.0, 200.0, (0, self.flat_mm - self.bore_mm / 2.0 + 10.0, -100))
        bore = cut(through(self.bore_mm), away)
        screw = rod(self.set_screw_mm, 40.0, (0, 0, -self.hub_length_mm / 2.0), "y")
        tools = [bore, dish, screw]
        if self.index_notch:
            tools.append(polygon([(r - 3.0, 0.0), (r + 1.0, -1.8), (r + 1.0, 1.8)]).extrude(40.0).translate((0, 0, self.height_mm - 3.0)))
        return cut(joined(grip, hub), *tools)
