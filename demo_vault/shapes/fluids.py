"""Parts that carry a fluid: manifolds, valve bodies, nozzles, fittings, glands."""

from dataclasses import dataclass

from manifold3d import Manifold

from demo_vault.shapes.outlines import belt, disc, hexagon, rectangle, slot, soften
from demo_vault.shapes.solids import (
    bar,
    counterbored,
    cut,
    drill_point,
    joined,
    placed,
    plate,
    ring_of_holes,
    rod,
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
            ring_of_holes(self.screws, self.screw_circle_mm, self.screw_mm, 45.0)
            ^ bar(99, 99, 50, (0, 0, self.bonnet_height_mm - self.bonnet_thick_mm - 1.0)),
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
            (0, -0.5),
            (self.nozzle_mm / 2, -0.5),
            (self.nozzle_mm / 2, 2.0),
            (1.6, self.nozzle_length_mm),
            (0, self.nozzle_length_mm),
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
            *(
                rod(self.orifice_mm * 2.6, self.height_mm / 2 + self.nozzle_length_mm - 2.5, (px, 0, 0), "-z")
                for px in places
            ),
            hole.translate((x, y + 7.0, 0)),
            hole.translate((-x, -y - 7.0, 0)),
        ]
        return cut(joined(body, *tips, *ears), *tools)


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
            (0, 0),
            (lip, 0, 0.6),
            (lip, 7.0, 0.6),
            (lip - 2, 7.0, 1.0),
            (lip - 2, self.length_mm - 7.0, 1.0),
            (lip, self.length_mm - 7.0, 0.6),
            (lip, self.length_mm, 0.6),
            (0, self.length_mm),
        )
        main = placed(barrel, (-half, 0, up), "x")
        turn = (0.0, 90.0 - self.branch_deg, 0.0)
        b = self.branch_mm / 2.0
        stub = turned(
            (0, 0),
            (b, 0),
            (b, self.branch_length_mm - 6.0, 1.0),
            (b + 1.6, self.branch_length_mm - 5.0),
            (b + 1.6, self.branch_length_mm, 0.6),
            (0, self.branch_length_mm),
        )
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
