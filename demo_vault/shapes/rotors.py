"""Rotors: impellers, axial wheels and guide vanes with curved or twisted blades."""

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from manifold3d import CrossSection, Manifold
from numpy.typing import NDArray

from demo_vault.shapes.outlines import disc, polygon, rectangle
from demo_vault.shapes.solids import boss, cut, joined, placed, plate, ring_of_holes, rod, round_about, through, turned


def _spiral_blade(inner_mm: float, outer_mm: float, wrap_deg: float, thick_mm: float) -> CrossSection:
    """Draw one backward-curved blade of even thickness, round at both ends."""
    steps = 22
    line = []
    for step in range(steps + 1):
        share = step / steps
        radius = inner_mm + (outer_mm - inner_mm) * share
        angle = math.radians(wrap_deg) * share**0.85
        line.append((radius * math.cos(angle), radius * math.sin(angle)))
    pieces = [
        CrossSection.batch_hull([disc(thick_mm, *here), disc(thick_mm, *there)]) for here, there in pairwise(line)
    ]
    blade = CrossSection()
    for piece in pieces:
        blade = blade + piece
    return blade.simplify(4e-3)


def _aerofoil(chord_mm: float, thick_share: float, camber_share: float) -> CrossSection:
    """Draw a cambered blade section about its middle, nose toward -x (thickness law of the NACA four-digit family)."""
    upper, lower = [], []
    for step in range(12):
        x = 0.5 * (1.0 - math.cos(math.pi * step / 11))
        half = 5.0 * thick_share * (0.2969 * math.sqrt(x) - 0.126 * x - 0.3516 * x**2 + 0.2843 * x**3 - 0.09 * x**4)
        line = 4.0 * camber_share * x * (1.0 - x)
        half += 0.006  # a sharp trailing edge cannot be printed
        upper.append(((x - 0.5) * chord_mm, (line + half) * chord_mm))
        lower.append(((x - 0.5) * chord_mm, (line - half) * chord_mm))
    return polygon([*lower, *reversed(upper)])


@dataclass(frozen=True)
class PumpImpeller:
    """An open centrifugal impeller: coned back plate, backward-curved blades, bored hub."""

    outer_mm: float = 52.0
    back_mm: float = 2.5
    blades: int = 6
    blade_mm: float = 1.8
    inlet_height_mm: float = 12.0
    outlet_height_mm: float = 5.0
    wrap_deg: float = 75.0
    hub_mm: float = 15.0
    hub_height_mm: float = 16.0
    bore_mm: float = 7.0
    balance_holes: int = 0
    balance_hole_mm: float = 3.0

    @property
    def tunnels(self) -> int:
        """The bore and the balance holes."""
        return 1 + self.balance_holes

    def solid(self) -> Manifold:
        """Build it about z, the blades upward."""
        r, hub = self.outer_mm / 2.0, self.hub_mm / 2.0
        back = turned(
            (0, 0), (r, 0, 0.4), (r, self.back_mm, 0.4), (hub + 2.0, self.back_mm + 2.0, 6.0), (hub, 8.0), (0, 8.0)
        )
        blade = _spiral_blade(hub * 0.8, r - 0.8, self.wrap_deg, self.blade_mm).extrude(self.inlet_height_mm)
        shroud = turned(
            (0, 0),
            (r + 1.0, 0),
            (r + 1.0, self.back_mm + self.outlet_height_mm),
            (hub + 5.0, self.back_mm + self.inlet_height_mm * 0.8, 8.0),
            (hub + 2.0, self.back_mm + self.inlet_height_mm),
            (0, self.back_mm + self.inlet_height_mm),
        )
        blades = round_about(blade.translate((0, 0, 1.0)), self.blades) ^ shroud
        body = joined(back, blades, boss(self.hub_mm, self.hub_height_mm, 0.0, 1.2).translate((0, 0, 0.2)))
        tools = [through(self.bore_mm)]
        if self.balance_holes:
            tools.append(
                ring_of_holes(self.balance_holes, self.hub_mm + 5.0, self.balance_hole_mm, 180.0 / self.blades - 8.0)
            )
        return cut(body, *tools)


@dataclass(frozen=True)
class AxialWheel:
    """A small turbine wheel in one piece: disc with dished web and twisted blades."""

    hub_mm: float = 34.0
    rim_mm: float = 10.0
    blades: int = 17
    span_mm: float = 9.0
    chord_mm: float = 9.0
    stagger_deg: float = 28.0
    twist_deg: float = 24.0
    thick_share: float = 0.16
    tip_share: float = 0.75
    bore_mm: float = 8.0
    web_mm: float = 4.5
    tip_ring_mm: float = 0.0

    @property
    def tunnels(self) -> int:
        """The bore, and the passages between blades where a tip ring closes them."""
        return 1 + (self.blades if self.tip_ring_mm > 0.0 else 0)

    def _blade(self) -> Manifold:
        """Return one blade along +x, rooted inside the rim."""
        section = _aerofoil(self.chord_mm, self.thick_share, 0.09)
        root = self.hub_mm / 2.0 - 1.2
        span = self.span_mm + 1.2
        raw = Manifold.extrude(section, span, 8, self.twist_deg, (self.tip_share, self.tip_share))
        return raw.rotate((0, 0, 90.0 - self.stagger_deg)).rotate((0, 90, 0)).rotate((90, 0, 0)).translate((root, 0, 0))

    def solid(self) -> Manifold:
        """Build it about z, symmetric about z = 0."""
        r, half = self.hub_mm / 2.0, self.rim_mm / 2.0
        rim = turned((0, -half), (r, -half, 0.6), (r, half, 0.6), (0, half))
        dish = turned(
            (self.bore_mm / 2 + 4, self.web_mm / 2, 1.5),
            (r - 3.0, self.web_mm / 2, 1.5),
            (r - 2.0, half + 1),
            (self.bore_mm / 2 + 3, half + 1),
        )
        blades = round_about(self._blade(), self.blades)
        body = joined(cut(rim, dish, dish.mirror((0, 0, 1))), blades)
        if self.tip_ring_mm > 0.0:
            inside = r + self.span_mm - 0.4
            body = joined(body, cut(rod(2 * (inside + self.tip_ring_mm), 7.0, (0, 0, -3.5)), through(2 * inside)))
        return cut(body, through(self.bore_mm))


@dataclass(frozen=True)
class GuideVaneRing:
    """A ring of guide vanes between an inner and an outer band, with locating lugs."""

    inner_mm: float = 30.0
    outer_mm: float = 52.0
    band_mm: float = 2.2
    height_mm: float = 10.0
    vanes: int = 13
    vane_mm: float = 1.5
    lean_deg: float = 30.0
    lugs: int = 3
    lug_mm: float = 7.0
    lug_hole_mm: float = 3.0

    @property
    def tunnels(self) -> int:
        """The inner bore, one passage after each vane, the lug holes."""
        return 1 + self.vanes + self.lugs

    def solid(self) -> Manifold:
        """Build it about z on the plane z = 0."""
        inner, outer = self.inner_mm / 2.0, self.outer_mm / 2.0
        band_in = plate(
            disc(self.inner_mm + 2 * self.band_mm) - disc(self.inner_mm), self.height_mm, top_mm=0.5, bottom_mm=0.5
        )
        band_out = plate(
            disc(self.outer_mm) - disc(self.outer_mm - 2 * self.band_mm), self.height_mm, top_mm=0.5, bottom_mm=0.5
        )
        middle = (inner + outer) / 2.0
        length = outer - inner - self.band_mm
        sheet = rectangle(
            self.height_mm * 0.8 / math.cos(math.radians(self.lean_deg)), self.vane_mm, self.vane_mm * 0.48
        )
        vane = sheet.extrude(length).translate((0, 0, -length / 2.0)).rotate((0, 0, 90.0 - self.lean_deg))
        vane = vane.rotate((90, 0, 90)).translate((middle, 0, self.height_mm / 2.0))
        lug = plate(
            CrossSection.batch_hull([disc(self.lug_mm, outer + 1.5), disc(self.lug_mm * 1.3, outer - 3.6)]),
            3.0,
            top_mm=0.4,
            bottom_mm=0.4,
        )
        lug = cut(lug, through(self.outer_mm - 2 * self.band_mm + 0.6), through(self.lug_hole_mm, outer + 1.5))
        return joined(band_in, band_out, round_about(vane, self.vanes), round_about(lug, self.lugs))


@dataclass(frozen=True)
class MixingScrew:
    """A feed screw: helical flight on a core, hexagon drive socket at one end, journal at the other."""

    outer_mm: float = 18.0
    core_mm: float = 9.0
    length_mm: float = 46.0
    lead_mm: float = 14.0
    flight_mm: float = 2.6
    journal_mm: float = 7.0
    journal_length_mm: float = 10.0
    socket_mm: float = 5.0
    socket_depth_mm: float = 8.0

    @property
    def tunnels(self) -> int:
        """None: the socket is blind."""
        return 0

    def solid(self) -> Manifold:
        """Build it about z, the journal upward."""
        turns = self.length_mm / self.lead_mm
        middle = (self.core_mm + self.outer_mm) / 4.0
        width = self.flight_mm * math.hypot(1.0, 2.0 * math.pi * middle / self.lead_mm)
        near, far, half = self.core_mm / 2.0 - 0.6, self.outer_mm / 2.0, width / 2.0
        stations = [near + (far - near) * k / 6 for k in range(7)]
        sector = polygon([*((x, -half) for x in stations), *((x, half) for x in reversed(stations))])
        flight = Manifold.extrude(sector, self.length_mm, round(turns * 40), 360.0 * turns)
        flight = flight ^ rod(self.outer_mm, self.length_mm)
        core = turned((0, 0), (self.core_mm / 2, 0), (self.core_mm / 2, self.length_mm), (0, self.length_mm))
        collar = plate(disc(self.outer_mm), 4.0, top_mm=0.6, bottom_mm=0.8)
        journal = boss(self.journal_mm, self.journal_length_mm, 0.8, 0.8).translate((0, 0, self.length_mm))
        socket = placed(_hexagon_cutter(self.socket_mm, self.socket_depth_mm), (0, 0, -1.0))
        return cut(joined(core, flight, collar, journal), socket)


def _hexagon_cutter(across_mm: float, depth_mm: float) -> Manifold:
    """Return the cutter of a hexagon socket, one millimetre longer than its depth."""
    radius = across_mm / math.sqrt(3.0)
    corners: NDArray[np.float64] = np.radians(60.0 * np.arange(6))
    return polygon((radius * math.cos(a), radius * math.sin(a)) for a in corners).extrude(depth_mm + 1.0)
