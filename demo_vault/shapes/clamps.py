"""Clamps, collars, holders and small hardware."""

from dataclasses import dataclass

from manifold3d import CrossSection, Manifold

from demo_vault.shapes.outlines import belt, disc, outline, rectangle, slot, soften
from demo_vault.shapes.solids import (
    bar,
    boss,
    counterbored,
    countersunk,
    cut,
    joined,
    placed,
    plate,
    rod,
    standing,
    through,
    turned,
)


@dataclass(frozen=True)
class TubeClamp:
    """A split tube clamp: bored ring, slit, two clamping ears with a screw, a flat foot."""

    bore_mm: float = 22.0
    wall_mm: float = 4.5
    width_mm: float = 14.0
    slit_mm: float = 2.0
    ear_mm: float = 13.0
    ear_thick_mm: float = 6.0
    screw_mm: float = 5.3
    head_mm: float = 9.5
    foot_mm: float = 44.0
    foot_thick_mm: float = 5.0
    foot_screw_mm: float = 4.5
    liner_groove: bool = False

    @property
    def tunnels(self) -> int:
        """A screw hole in each ear and two in the foot; the bore is open to the slit and counts for nothing."""
        return 4

    def solid(self) -> Manifold:
        """Build it with the tube along y, the ears upward."""
        outer = self.bore_mm / 2.0 + self.wall_mm
        up = outer + self.foot_thick_mm - self.wall_mm * 0.5
        ears_half = self.slit_mm / 2.0 + self.ear_thick_mm
        top = up + outer + self.ear_mm - 3.0
        head = belt(rectangle(2 * ears_half, 1.0, 0, 0, up + outer * 0.6), rectangle(2 * ears_half, 1.0, 0, 0, top))
        foot = rectangle(self.foot_mm, self.foot_thick_mm, 0, 0, self.foot_thick_mm / 2.0)
        saddle = rectangle(outer * 1.5, outer * 0.8, 0, 0, outer * 0.4)
        section = soften(disc(2 * outer, 0, up) + head + foot + saddle, inside_mm=2.0, outside_mm=1.0)
        body = standing(plate(section, self.width_mm, top_mm=0.7, bottom_mm=0.7), self.width_mm)
        slit = bar(self.slit_mm, 200.0, 100.0, (0, 0, up))
        screw_up = up + outer + self.ear_mm * 0.42
        x = self.foot_mm / 2.0 - 5.0
        tools = [
            rod(self.bore_mm, 200.0, (0, -100, up), "y"),
            slit,
            counterbored(self.screw_mm, self.head_mm, 2.0, (ears_half, 0, screw_up), "-x", 2 * ears_half + 2.0),
            *(
                countersunk(self.foot_screw_mm, self.foot_screw_mm * 1.8, (side * x, 0, self.foot_thick_mm))
                for side in (-1, 1)
            ),
        ]
        if self.liner_groove:
            r = self.bore_mm / 2.0
            liner = turned((0, -3.0), (r + 1.0, -3.0), (r + 1.0, 3.0), (0, 3.0))
            tools.append(placed(liner, (0, 0, up), "y"))
        return cut(body, *tools)


@dataclass(frozen=True)
class ShaftCollar:
    """A slit shaft collar with a cross screw and a balance pocket."""

    bore_mm: float = 16.0
    outer_mm: float = 34.0
    width_mm: float = 11.0
    slit_mm: float = 1.6
    screw_mm: float = 4.3
    head_mm: float = 7.8
    pocket_mm: float = 6.0
    face_ring_mm: float = 1.0
    screws: int = 1

    @property
    def tunnels(self) -> int:
        """Each screw runs through both sides of the slit; the bore is open to the slit and counts for nothing."""
        return 2 * self.screws

    def solid(self) -> Manifold:
        """Build it about z, the slit toward +x."""
        r = self.outer_mm / 2.0
        ring_ = plate(disc(self.outer_mm), self.width_mm, top_mm=1.0, bottom_mm=1.0, steps=3)
        seat = boss((self.bore_mm + self.outer_mm) / 2.0, self.face_ring_mm, 0.0, 0.3).translate((0, 0, self.width_mm))
        slit = bar(r + 5.0, self.slit_mm, 60.0, ((r + 5.0) / 2.0, 0, -20))
        across = (self.bore_mm / 2.0 + r) / 2.0 + 0.6
        spots = [self.width_mm * (k + 1) / (self.screws + 1) for k in range(self.screws)]
        cuts = []
        for z in spots:
            cuts.append(rod(self.screw_mm, 80.0, (across, -40, z), "y"))
            cuts.append(rod(self.head_mm, 40.0, (across, 4.0, z), "y"))
        pocket = rod(self.pocket_mm, 3.0, (-across, 0, -1.0))
        return cut(joined(ring_, seat), through(self.bore_mm), slit, pocket, *cuts)


@dataclass(frozen=True)
class ToolHolder:
    """A tool holder: dovetail foot, square tool pocket with two clamp screws, coolant bore."""

    length_mm: float = 48.0
    width_mm: float = 26.0
    height_mm: float = 30.0
    tail_mm: float = 18.0
    tail_neck_mm: float = 13.0
    tail_height_mm: float = 6.0
    pocket_mm: float = 12.3
    pocket_depth_mm: float = 11.0
    screws: int = 2
    screw_mm: float = 5.2
    coolant_mm: float = 4.0
    chamfer_mm: float = 6.0

    @property
    def tunnels(self) -> int:
        """The clamp screws, which end in the open pocket, and the coolant bore."""
        return self.screws + 1

    def solid(self) -> Manifold:
        """Build it along x, the tool pocket open to -y, the dovetail down."""
        w, h, c = self.width_mm / 2.0, self.height_mm, self.chamfer_mm
        neck, tail = self.tail_neck_mm / 2.0, self.tail_mm / 2.0
        low = self.tail_height_mm
        side = outline(
            (-tail, 0, 0.8),
            (tail, 0, 0.8),
            (neck, low),
            (w, low, 1.2),
            (w, h, 2.0),
            (c - w, h, 1.2),
            (-w, h - c, 1.2),
            (-w, low, 1.2),
            (-neck, low),
        )
        body = (
            plate(side, self.length_mm, top_mm=0.7, bottom_mm=0.7)
            .translate((0, 0, -self.length_mm / 2.0))
            .rotate((90, 0, 90))
        )
        floor = low + 4.5
        pocket = bar(200.0, 40.0, self.pocket_mm, (0, self.pocket_depth_mm - w - 20.0, floor))
        relief = rod(2.0, 200.0, (-100, self.pocket_depth_mm - w, floor + 0.6), "x")
        pitch = self.length_mm / (self.screws + 1)
        y = (self.pocket_depth_mm - 2 * w) / 2.0 + 1.5
        clamp = [
            rod(self.screw_mm, 60.0, (pitch * (k + 1) - self.length_mm / 2.0, y, floor + 4.0))
            for k in range(self.screws)
        ]
        coolant = rod(self.coolant_mm, 200.0, (-100, w - 6.5, h - 7.0), "x")
        return cut(body, pocket, relief, *clamp, coolant)


@dataclass(frozen=True)
class GripFinger:
    """A gripper finger: two-dowel foot, tapered finger, V-notched pad."""

    foot_mm: float = 22.0
    foot_depth_mm: float = 18.0
    foot_thick_mm: float = 8.0
    reach_mm: float = 40.0
    root_mm: float = 12.0
    tip_mm: float = 6.0
    width_mm: float = 14.0
    notch_mm: float = 5.0
    screw_mm: float = 4.3
    dowel_mm: float = 3.0
    pocket: bool = True

    @property
    def tunnels(self) -> int:
        """Two screws, one dowel, the weight-saving window."""
        return 3 + self.pocket

    def solid(self) -> Manifold:
        """Build it with the foot on z = 0 and the finger upward."""
        deep, top = self.foot_depth_mm, self.reach_mm
        side = outline(
            (0, 0, 1.0),
            (deep + self.root_mm - 4.0, 0, 1.0),
            (deep + self.root_mm - 4.0, self.foot_thick_mm, 1.0),
            (self.root_mm, self.foot_thick_mm, 5.0),
            (self.tip_mm, top, 2.0),
            (0, top, 1.0),
        )
        body = standing(plate(side, self.width_mm, top_mm=0.7, bottom_mm=0.7), self.width_mm)
        plan = rectangle(self.foot_mm + 8.0, self.foot_mm, 4.0, (self.foot_mm + 8.0) / 2.0 - 0.0)
        foot = plate(
            rectangle(deep + self.root_mm - 6.0, self.foot_mm, 3.0, (deep + self.root_mm) / 2.0 - 1.0),
            self.foot_thick_mm,
            top_mm=0.7,
            bottom_mm=0.7,
        )
        notch = CrossSection.batch_hull(
            [rectangle(0.1, 0.1, 0, self.notch_mm * 0.5), rectangle(0.1, self.notch_mm, 0, -0.5)]
        )
        vee = notch.extrude(18.0).translate((0, 0, top - 14.0))
        x = self.root_mm + deep / 2.0 - 1.0
        tools = [
            vee,
            *(counterbored(self.screw_mm, 7.4, 2.5, (x, side_ * 6.5, self.foot_thick_mm)) for side_ in (-1, 1)),
        ]
        tools.append(through(self.dowel_mm, x - 6.0 + 0.5, 0.0))
        if self.pocket:
            tools.append(
                standing(
                    slot(top * 0.34, self.root_mm * 0.32, self.root_mm * 0.42, top * 0.48, 93.0).extrude(60.0), 60.0
                )
            )
        return cut(joined(body, foot ^ plan.extrude(60.0)), *tools)
