"""Housings, covers and heat spreaders: thin walls, screw bosses, fins."""

from dataclasses import dataclass

from manifold3d import CrossSection, Manifold

from demo_vault.shapes.outlines import belt, disc, rectangle, slot, soften
from demo_vault.shapes.solids import (
    bar,
    counterbored,
    cut,
    joined,
    mirrored,
    placed,
    plate,
    rod,
    standing,
    through,
)


@dataclass(frozen=True)
class SensorHousing:
    """An open box with rounded walls, four screw bosses, a connector port and outside lugs."""

    length_mm: float = 52.0
    width_mm: float = 36.0
    height_mm: float = 20.0
    wall_mm: float = 2.0
    floor_mm: float = 2.4
    corner_mm: float = 5.0
    boss_mm: float = 6.5
    pilot_mm: float = 2.5
    pilot_depth_mm: float = 12.0
    port_mm: float = 10.0
    port_height_mm: float = 11.0
    lug_hole_mm: float = 4.3
    ribs: int = 0
    vent_slot: bool = False

    @property
    def tunnels(self) -> int:
        """The port, two lug holes, the vent."""
        return 3 + self.vent_slot

    def solid(self) -> Manifold:
        """Build it open side up."""
        length, width, wall = self.length_mm, self.width_mm, self.wall_mm
        shell = plate(rectangle(length, width, self.corner_mm), self.height_mm, top_mm=0.5, bottom_mm=1.2, steps=3)
        room = rectangle(length - 2 * wall, width - 2 * wall, self.corner_mm - wall)
        hollow = plate(room, self.height_mm, bottom_mm=1.0).translate((0, 0, self.floor_mm))
        inset = wall + self.boss_mm / 2.0 - 0.6
        corners = [(sx * (length / 2 - inset), sy * (width / 2 - inset)) for sx in (-1, 1) for sy in (-1, 1)]
        bosses = [rod(self.boss_mm, self.height_mm - 2.5, (x, y, 0.5)) for x, y in corners]
        pilots = [rod(self.pilot_mm, 60.0, (x, y, self.height_mm - 2.0 - self.pilot_depth_mm)) for x, y in corners]
        ear = belt(disc(10.0, length / 2.0 + 4.0), rectangle(4.0, 15.0, 0.0, length / 2.0 - 2.0))
        lug = cut(plate(ear, 4.0, top_mm=0.6, bottom_mm=0.6), bar(length - 2 * wall, 40, 10, (0, 0, self.floor_mm)))
        collar = placed(
            plate(disc(self.port_mm + 5.0), wall + 2.0, top_mm=0.5), (length / 2 - wall, 0, self.port_height_mm), "x"
        )
        inside = rectangle(length - wall, width - wall, self.corner_mm - wall).extrude(self.height_mm)
        places = [length * (0.5 * (k + 1) / (self.ribs + 1) - 0.25) * 2.0 for k in range(self.ribs)]
        ribs = [bar(1.6, width, self.height_mm * 0.35, (x, 0, 0.5)) ^ inside for x in places]
        tools = [*pilots, rod(self.port_mm, 60.0, (length / 2 - 10.0, 0, self.port_height_mm), "x")]
        tools.extend(through(self.lug_hole_mm, side * (length / 2 + 4.0)) for side in (-1, 1))
        if self.vent_slot:
            tools.append(
                standing(slot(10.0, 2.5, 0.0, self.height_mm * 0.6).extrude(20.0), 20.0).translate((0, -width / 2, 0))
            )
        return cut(joined(cut(shell, hollow), *bosses, mirrored(lug, (1, 0, 0)), collar, *ribs), *tools)


@dataclass(frozen=True)
class GearCaseCover:
    """A gear case cover: outline of two overlapping discs, bearing bosses, ribs and seven screw lugs."""

    large_mm: float = 50.0
    small_mm: float = 34.0
    centres_mm: float = 34.0
    thick_mm: float = 3.2
    rim_mm: float = 3.0
    rim_height_mm: float = 9.0
    seat_large_mm: float = 16.0
    seat_small_mm: float = 11.0
    seat_wall_mm: float = 3.0
    lug_mm: float = 8.0
    screw_mm: float = 3.4
    rib_mm: float = 2.2
    oil_boss: bool = False

    @property
    def tunnels(self) -> int:
        """Five screws, two bearing seats, the oil filler."""
        return 7 + self.oil_boss

    def _lugs(self) -> list[tuple[float, float]]:
        """Return where the screws sit: round the large disc and at the far end."""
        a, b, c = self.large_mm / 2.0 + 1.0, self.small_mm / 2.0 + 1.0, self.centres_mm
        return [
            (-a, 0.0),
            (-0.25 * a, 0.968 * a),
            (-0.25 * a, -0.968 * a),
            (c + 0.6 * b, 0.8 * b),
            (c + 0.6 * b, -0.8 * b),
        ]

    def solid(self) -> Manifold:
        """Build it lying on its outer face, the rim upward."""
        lugs = self._lugs()
        room = belt(disc(self.large_mm - 2 * self.rim_mm), disc(self.small_mm - 2 * self.rim_mm, self.centres_mm))
        wall = room.offset(self.rim_mm, circular_segments=96)
        shape = wall
        for x, y in lugs:
            shape = shape + disc(self.lug_mm, x, y)
        shape = soften(shape, inside_mm=2.5)
        body = plate(shape, self.rim_height_mm, top_mm=0.3, bottom_mm=1.0)
        hollow = plate(room, self.rim_height_mm, bottom_mm=1.0).translate((0, 0, self.thick_mm))
        seats = [
            rod(d + 2 * self.seat_wall_mm, self.rim_height_mm + 2.0, (x, 0, 0.5))
            for d, x in ((self.seat_large_mm, 0.0), (self.seat_small_mm, self.centres_mm))
        ]
        web = bar(
            self.centres_mm + self.large_mm / 2.0,
            self.rib_mm,
            self.rim_height_mm - 2.5,
            (self.centres_mm / 4.0, 0, 0.5),
        )
        cross = bar(self.rib_mm, self.large_mm, self.rim_height_mm - 2.5, (0, 0, 0.5))
        ribs = [web, cross.rotate((0, 0, 30)), cross.rotate((0, 0, -30))]
        inner = room.offset(self.rim_mm / 2.0, circular_segments=96).extrude(self.rim_height_mm)
        tools = [through(self.seat_large_mm - 4.0), through(self.seat_small_mm - 3.0, self.centres_mm)]
        for d, x in ((self.seat_large_mm, 0.0), (self.seat_small_mm, self.centres_mm)):
            tools.append(rod(d, 40.0, (x, 0, self.thick_mm)))
        tools.extend(through(self.screw_mm, x, y) for x, y in lugs)
        parts = [cut(body, hollow), *seats, *(rib ^ inner for rib in ribs)]
        if self.oil_boss:
            parts.append(rod(10.0, self.rim_height_mm - 1.0, (self.centres_mm * 0.52, 10.0, 0.5)))
            tools.append(through(5.0, self.centres_mm * 0.52, 10.0))
        return cut(joined(*parts), *tools)


@dataclass(frozen=True)
class ConnectorShell:
    """A rectangular connector shell: D-shaped tube through a screw flange, with latch windows."""

    tube_mm: float = 26.0
    tube_width_mm: float = 11.0
    wall_mm: float = 1.4
    tube_length_mm: float = 14.0
    flange_mm: float = 44.0
    flange_width_mm: float = 16.0
    flange_thick_mm: float = 3.0
    rear_length_mm: float = 6.0
    screw_mm: float = 3.2
    screw_pitch_mm: float = 35.0
    window_mm: float = 5.0

    @property
    def tunnels(self) -> int:
        """The way through, two screws, a latch window in each long wall."""
        return 5

    def solid(self) -> Manifold:
        """Build it about z, the mating side upward."""
        wide, deep = self.tube_mm, self.tube_width_mm
        dee = CrossSection.batch_hull(
            [
                disc(3.0, sx * (wide / 2 - 1.5 - 1.0 * (sy < 0)), sy * (deep / 2 - 1.5))
                for sx in (-1, 1)
                for sy in (-1, 1)
            ]
        )
        outer = plate(dee, self.tube_length_mm + self.flange_thick_mm, top_mm=0.4)
        rear = (
            dee.offset(0.8, circular_segments=48)
            .extrude(self.rear_length_mm + 1.0)
            .translate((0, 0, -self.rear_length_mm))
        )
        flange = plate(
            rectangle(self.flange_mm, self.flange_width_mm, 3.0), self.flange_thick_mm, top_mm=0.5, bottom_mm=0.5
        )
        room = dee.offset(-self.wall_mm, circular_segments=48).extrude(200.0).translate((0, 0, -100))
        window = bar(self.window_mm, 60.0, 3.0, (0, 0, self.flange_thick_mm + self.tube_length_mm * 0.55))
        half = self.screw_pitch_mm / 2.0
        screws = [counterbored(self.screw_mm, 5.6, 1.2, (x, 0, self.flange_thick_mm)) for x in (-half, half)]
        return cut(joined(outer, rear, flange), room, window, *screws)


@dataclass(frozen=True)
class LidWithHinge:
    """A small cover plate with stiffening frame, hinge eyes and a snap tongue."""

    length_mm: float = 40.0
    width_mm: float = 28.0
    thick_mm: float = 1.8
    frame_mm: float = 2.0
    frame_height_mm: float = 4.0
    eye_mm: float = 6.5
    pin_mm: float = 2.5
    eye_width_mm: float = 5.0
    tongue_mm: float = 10.0
    dimples: int = 3

    @property
    def tunnels(self) -> int:
        """A pin hole in each of the two eyes."""
        return 2

    def solid(self) -> Manifold:
        """Build it with the outer face at z = 0 and the hinge along y at -x."""
        length, width, r = self.length_mm, self.width_mm, self.eye_mm / 2.0
        sheet = plate(rectangle(length, width, 4.0), self.thick_mm, bottom_mm=0.5)
        outer, inner = (
            rectangle(length - 3.0, width - 3.0, 3.0),
            rectangle(length - 3 - 2 * self.frame_mm, width - 3 - 2 * self.frame_mm, 1.0),
        )
        frame = plate(outer - inner, self.frame_height_mm, top_mm=0.3).translate((0, 0, 0.4))
        ribs = [
            bar(length - 5.0, 1.4, self.frame_height_mm - 1.0, (0, 0, 0.4)),
            bar(1.4, width - 5.0, self.frame_height_mm - 1.0, (0, 0, 0.4)),
        ]
        web = belt(
            disc(self.eye_mm, -length / 2 - r + 0.5, r),
            rectangle(6.0, self.thick_mm, 0, -length / 2 + 4.0, self.thick_mm / 2 + 0.2),
        )
        eye = standing(plate(web, self.eye_width_mm, top_mm=0.4, bottom_mm=0.4), self.eye_width_mm)
        eyes = [eye.translate((0, side * (width / 2 - 6.0), 0)) for side in (-1, 1)]
        tongue = plate(
            soften(rectangle(7.0, self.tongue_mm, 0, length / 2 + 1.5), outside_mm=1.5), self.thick_mm, bottom_mm=0.5
        )
        snap = standing(
            belt(disc(1.6, length / 2 + 2.4, 3.0), rectangle(2.4, 1.0, 0, length / 2 + 2.2, 1.2)).extrude(
                self.tongue_mm * 0.6
            ),
            self.tongue_mm * 0.6,
        )
        grip = [
            rod(1.6, self.tongue_mm * 0.7, (length / 2 + 0.4 + 1.5 * k - 1.0, -self.tongue_mm * 0.35, -0.1), "y")
            for k in range(self.dimples)
        ]
        pin = rod(self.pin_mm, 200.0, (-length / 2 - r + 0.5, -100, r), "y")
        return cut(joined(sheet, frame, *ribs, *eyes, tongue, snap), pin, *grip)
