"""Fittings: glands, barbs, injectors, strainers: small turned bodies with cross holes."""

import math
from dataclasses import dataclass

from manifold3d import Manifold

from demo_vault.shapes.outlines import around, disc, hexagon, rectangle, soften
from demo_vault.shapes.solids import (
    bar,
    cut,
    joined,
    placed,
    plate,
    rod,
    round_about,
    through,
    turned,
)


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
            (0, 0.2),
            (r, 0.2),
            (r, -0.8),
            (r - self.groove_mm, -0.8),
            (r - self.groove_mm, -2.6),
            (r, -2.6),
            (r, 1.0 - self.spigot_length_mm),
            (r - 1.0, -self.spigot_length_mm),
            (0, -self.spigot_length_mm),
        )
        f, top = self.finger_mm / 2.0, high + self.finger_length_mm
        crown = turned((0, high - 0.2), (f, high - 0.2), (f, top - 4.0, 2.0), (f - 2.0, top), (0, top))
        inside = turned(
            (0, high + 1.5), (f - 1.6, high + 1.5), (f - 1.6, top - 4.5), (f - 3.4, top + 0.1), (0, top + 0.1)
        )
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
        tools = [
            through(self.screw_bore_mm),
            placed(rod(self.bore_mm, 200.0), (0, 0, mid), "x").rotate((0, -self.rise_deg, 0)),
        ]
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
        groove = (
            ((r, top - 9.5), (r - 1.1, top - 9.5), (r - 1.1, top - 7.3), (r, top - 7.3)) if self.seal_groove else ()
        )
        body = turned(
            (0, 0),
            (2.6, 0, 0.4),
            (r, 6.0, 2.0),
            *groove,
            (r, top - self.head_thick_mm, 0.6),
            (h, top - self.head_thick_mm, 0.5),
            (h, top, 0.5),
            (0, top),
        )
        c = self.chamber_mm / 2.0
        chamber = turned((0, 2.2), (self.orifice_mm / 2, 2.2), (c, 5.2), (c, top - 12.0), (0, top - 12.0))
        inlet = rod(self.slot_mm, 40.0, (0, c - self.slot_mm / 2.0, 8.0), "x")
        flats = bar(40, 10, 20, (0, h - 1.0 + 5.0, top - self.head_thick_mm))
        tools = [
            chamber,
            through(self.orifice_mm),
            rod(self.feed_mm, 40.0, (0, 0, top - 12.5)),
            round_about(inlet, self.slots),
        ]
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
        inside = turned(
            (0, self.wall_mm + 0.4),
            (r - self.wall_mm, self.wall_mm + 0.4, 1.2),
            (r - self.wall_mm, top + 1),
            (0, top + 1),
        )
        step = (rim - 7.0) / max(1, self.rows - 1)
        rows = []
        for row in range(self.rows):
            hole = rod(self.hole_mm, 40.0, (0, 0, 4.0 + row * step), "x")
            rows.append(round_about(hole, self.holes_per_row, 180.0 / self.holes_per_row * (row % 2)))
        notch = rectangle(4.0, 3.0, 0.0, f).extrude(20.0).translate((0, 0, rim - 1.0))
        floor = (
            around(disc(self.floor_hole_mm, self.outer_mm * 0.27), self.floor_holes)
            .extrude(6.0)
            .translate((0, 0, -2.0))
        )
        return cut(shell, inside, *rows, notch, floor)
