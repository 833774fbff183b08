"""Heat spreaders and cold plates: fins, pins, channels."""

from dataclasses import dataclass

from manifold3d import Manifold

from demo_vault.shapes.outlines import belt, disc, rectangle
from demo_vault.shapes.solids import bar, cut, joined, placed, plate, rod, through, turned


@dataclass(frozen=True)
class PinFinSpreader:
    """A heat spreader: base plate with pin fins, a raised pad under the chip, four spring-screw corners."""

    side_mm: float = 40.0
    base_mm: float = 3.0
    pins: int = 8
    pin_mm: float = 2.4
    pin_tip_mm: float = 1.8
    pin_height_mm: float = 10.0
    pad_mm: float = 18.0
    pad_height_mm: float = 1.0
    screw_mm: float = 3.2
    screw_inset_mm: float = 4.5

    @property
    def tunnels(self) -> int:
        """Four screw holes."""
        return 4

    def solid(self) -> Manifold:
        """Build it with the pins upward from the base on z = 0."""
        half = self.side_mm / 2.0
        base = plate(rectangle(self.side_mm, self.side_mm, 3.0), self.base_mm, top_mm=0.4, bottom_mm=0.4)
        pad = plate(rectangle(self.pad_mm, self.pad_mm, 1.0), self.pad_height_mm + 0.5, bottom_mm=0.3).translate(
            (0, 0, -self.pad_height_mm)
        )
        pitch = (self.side_mm - 5.0) / (self.pins - 1)
        start = -(self.pins - 1) * pitch / 2.0
        low, high = self.pin_mm / 2.0, self.pin_tip_mm / 2.0
        pin = Manifold.cylinder(self.pin_height_mm + 0.2, low, high, 16).translate((0, 0, self.base_mm - 0.2))
        spots = [(start + i * pitch, start + j * pitch) for i in range(self.pins) for j in range(self.pins)]
        keep = self.screw_mm / 2.0 + 2.0 + low
        corner = half - self.screw_inset_mm
        clear = [(x, y) for x, y in spots if max(abs(abs(x) - corner), abs(abs(y) - corner)) > keep]
        pins = [pin.translate((x, y, 0)) for x, y in clear]
        screws = [through(self.screw_mm, sx * corner, sy * corner) for sx in (-1, 1) for sy in (-1, 1)]
        return cut(joined(base, pad, *pins), *screws)


@dataclass(frozen=True)
class FinnedCooler:
    """A cold plate: straight fins on top, serpentine ends closed, inlet and outlet spigots on the side."""

    length_mm: float = 56.0
    width_mm: float = 34.0
    base_mm: float = 7.0
    fins: int = 11
    fin_mm: float = 1.2
    fin_height_mm: float = 9.0
    channel_mm: float = 4.0
    spigot_mm: float = 8.0
    spigot_length_mm: float = 9.0
    spigot_pitch_mm: float = 20.0
    screw_mm: float = 3.4
    ear_mm: float = 9.0

    @property
    def tunnels(self) -> int:
        """The channel from spigot to spigot, and two ear screws."""
        return 3

    def solid(self) -> Manifold:
        """Build it with the fins along x and the spigots at +x."""
        length, width, base = self.length_mm, self.width_mm, self.base_mm
        body = plate(rectangle(length, width, 2.0), base, top_mm=0.4, bottom_mm=0.6)
        gap = (width - 2.0 - self.fin_mm) / (self.fins - 1)
        places = [-width / 2 + 1.0 + self.fin_mm / 2 + gap * k for k in range(self.fins)]
        fins = [bar(length - 2.0, self.fin_mm, self.fin_height_mm + 0.3, (0, y, base - 0.3)) for y in places]
        half, mid = self.spigot_pitch_mm / 2.0, base / 2.0
        stub = turned(
            (0, -1.0),
            (self.spigot_mm / 2 - 0.8, -1.0),
            (self.spigot_mm / 2 - 0.8, self.spigot_length_mm - 3.5),
            (self.spigot_mm / 2, self.spigot_length_mm - 3.0),
            (self.spigot_mm / 2 - 1.0, self.spigot_length_mm),
            (0, self.spigot_length_mm),
        )
        block = plate(rectangle(self.spigot_mm + 2.0, self.spigot_mm + 2.0, 2.0), 5.0)
        port = joined(block, stub.translate((0, 0, 5.0)))
        ports = [placed(port, (length / 2 - 1.0, y, mid + 1.0), "x") for y in (-half, half)]
        channel = joined(
            *(rod(self.channel_mm, length - 5.0, (length / 2 - 1.0, y, mid), "-x") for y in (-half, half)),
            rod(self.channel_mm, 2 * half, (-length / 2 + 6.0, -half, mid), "y"),
            *(rod(self.channel_mm - 0.6, 60.0, (length / 2 - 3.0, y, mid + 0.6), "x") for y in (-half, half)),
        )
        ear = belt(disc(self.ear_mm, 0, width / 2 + 3.0), rectangle(self.ear_mm * 1.5, 2.0, 0, 0, width / 2 - 1.0))
        ears = plate(ear, 3.5, top_mm=0.4, bottom_mm=0.4)
        parts = [body, *fins, *ports, ears, ears.rotate((0, 0, 180))]
        screws = [through(self.screw_mm, 0, side * (width / 2 + 3.0)) for side in (-1, 1)]
        return cut(joined(*parts), channel, *screws)
