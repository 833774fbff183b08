"""Small hardware: nuts, knobs, lock rings."""

from dataclasses import dataclass

from manifold3d import Manifold

from demo_vault.shapes.outlines import around, belt, disc, hexagon, polygon, rectangle, soften
from demo_vault.shapes.solids import bar, boss, cut, joined, placed, plate, rod, round_about, through, turned


@dataclass(frozen=True)
class CastleNut:
    """A slotted round-collar nut: hexagon with washer face, castle slots, plain bore for tapping."""

    across_flats_mm: float = 19.0
    height_mm: float = 12.0
    bore_mm: float = 10.2
    collar_mm: float = 24.0
    collar_thick_mm: float = 2.5
    crown_mm: float = 15.0
    crown_height_mm: float = 4.5
    slots: int = 6
    slot_mm: float = 2.8

    @property
    def tunnels(self) -> int:
        """The bore."""
        return 1

    def solid(self) -> Manifold:
        """Build it about z, the washer face down."""
        corner = self.across_flats_mm / 3.0**0.5
        body = hexagon(self.across_flats_mm).extrude(self.height_mm) ^ turned(
            (0, 0),
            (corner + 0.1, 0),
            (corner + 0.1, self.height_mm - 1.0),
            (corner - 1.8, self.height_mm),
            (0, self.height_mm),
        )
        collar = plate(disc(self.collar_mm), self.collar_thick_mm, top_mm=0.5, bottom_mm=0.5)
        crown = boss(self.crown_mm, self.crown_height_mm, 0.0, 0.8).translate((0, 0, self.height_mm))
        saw = rectangle(20.0, self.slot_mm, 0.0, 10.0).extrude(20.0).translate((0, 0, self.height_mm))
        lead = turned((0, -0.1), (self.bore_mm / 2 + 1.0, -0.1), (self.bore_mm / 2 - 0.4, 1.3), (0, 1.3))
        return cut(joined(body, collar, crown), through(self.bore_mm), lead, round_about(saw, self.slots, 30.0))


@dataclass(frozen=True)
class BayonetCap:
    """A bayonet lock ring: three inner ramps, outer grip ribs, notched rim."""

    outer_mm: float = 36.0
    bore_mm: float = 27.0
    height_mm: float = 12.0
    lip_mm: float = 2.4
    lip_bore_mm: float = 22.0
    lugs: int = 3
    lug_thick_mm: float = 2.5
    lug_span_deg: float = 42.0
    ribs: int = 24
    rib_mm: float = 1.6

    @property
    def tunnels(self) -> int:
        """The bore."""
        return 1

    def solid(self) -> Manifold:
        """Build it about z, the lip at z = 0, the open end up."""
        body = plate(disc(self.outer_mm), self.height_mm, top_mm=0.6, bottom_mm=1.0)
        grip = around(disc(self.rib_mm, self.outer_mm / 2.0 - 0.1), self.ribs)
        teeth = grip.extrude(self.height_mm - 3.6).translate((0, 0, 1.8))
        room = rod(self.bore_mm, 60.0, (0, 0, self.lip_mm))
        wedge = belt(
            *(
                rectangle(0.2, 0.2, 0, self.outer_mm).rotate(self.lug_span_deg * k / 6 - self.lug_span_deg / 2)
                for k in range(7)
            ),
            disc(0.2),
        )
        sector = wedge ^ (disc(self.bore_mm + 0.4) - disc(self.lip_bore_mm + 1.4))
        lug = (
            soften(sector, outside_mm=0.5)
            .extrude(self.lug_thick_mm)
            .translate((0, 0, self.height_mm - self.lug_thick_mm - 0.8))
        )
        return joined(cut(joined(body, teeth), room, through(self.lip_bore_mm)), round_about(lug, self.lugs))


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
            tools.append(
                polygon([(r - 3.0, 0.0), (r + 1.0, -1.8), (r + 1.0, 1.8)])
                .extrude(40.0)
                .translate((0, 0, self.height_mm - 3.0))
            )
        return cut(joined(grip, hub), *tools)
