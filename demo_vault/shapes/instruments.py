"""Small parts of instruments and implants. Shapes for a demo, not for use on anybody."""

from dataclasses import dataclass

from manifold3d import Manifold

from demo_vault.shapes.outlines import belt, disc, outline, rectangle, slot
from demo_vault.shapes.solids import cut, joined, plate, rod, standing, through


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
class SpacerFrame:
    """An interbody spacer: hollow kidney ring with toothed faces, side windows and a driver socket."""

    length_mm: float = 26.0
    width_mm: float = 11.0
    height_mm: float = 9.0
    wall_mm: float = 2.2
    teeth: int = 11
    tooth_mm: float = 0.7
    socket_mm: float = 3.6
    windows: int = 2
    window_mm: float = 4.6
    marker_mm: float = 1.0

    @property
    def tunnels(self) -> int:
        """The middle opening, the windows of both long walls, the driver socket, the marker pin holes."""
        return 1 + 2 * self.windows + 1 + 2

    def solid(self) -> Manifold:
        """Build it along x, standing on its lower teeth."""
        length, width, h = self.length_mm, self.width_mm, self.height_mm
        shape = belt(disc(width, -length / 2 + width / 2), disc(width * 0.8, length / 2 - width * 0.4))
        body = plate(shape, h, top_mm=0.8, bottom_mm=0.8, steps=3)
        inner = shape.offset(-self.wall_mm, circular_segments=64).extrude(60.0).translate((0, 0, -20))
        pitch = (length - 4.0) / self.teeth
        vee = belt(disc(0.3, 0.0, self.tooth_mm), rectangle(pitch * 0.62, 0.2, 0.0, 0.0, -0.1))
        groove = standing(vee.extrude(60.0), 60.0)
        places = [-length / 2 + 2.0 + pitch * (k + 0.5) for k in range(self.teeth)]
        grooves = [groove.translate((x, 0, 0)) for x in places] + [
            groove.mirror((0, 0, 1)).translate((x, 0, h)) for x in places
        ]
        spread = length * 0.42
        window = standing(slot(self.window_mm, self.window_mm * 0.6, 0.0, h / 2.0, 90.0).extrude(60.0), 60.0)
        step = spread / max(1, self.windows)
        cuts = [window.translate((step * (k - (self.windows - 1) / 2.0), 0, 0)) for k in range(self.windows)]
        socket = rod(self.socket_mm, 8.0, (-length / 2 - 1.0, 0, h / 2.0), "x")
        marks = [through(self.marker_mm, -length / 2 + 2.4, side * width * 0.3) for side in (-1, 1)]
        return cut(body, inner, *grooves, *cuts, socket, *marks)
