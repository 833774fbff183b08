"""Brackets: parts that hold another part to a wall, with ribs, bosses and slots."""

from dataclasses import dataclass

from manifold3d import Manifold

from demo_vault.shapes.outlines import belt, disc, outline, rectangle, ring, slot, soften
from demo_vault.shapes.solids import (
    bar,
    boss,
    counterbored,
    countersunk,
    cut,
    gusset,
    joined,
    placed,
    plate,
    rod,
    round_about,
    standing,
    through,
)


@dataclass(frozen=True)
class GussetBracket:
    """An angle bracket: foot with four holes, upright with a bored boss, gussets in the corner."""

    width_mm: float = 36.0
    foot_mm: float = 44.0
    upright_mm: float = 40.0
    wall_mm: float = 5.0
    corner_mm: float = 4.0
    gussets: int = 2
    gusset_mm: float = 3.5
    foot_hole_mm: float = 4.5
    hole_pitch_mm: float = 24.0
    hole_from_edge_mm: float = 7.0
    bore_mm: float = 10.0
    bore_height_mm: float = 26.0
    boss_mm: float = 18.0
    drain_slot: bool = False

    @property
    def tunnels(self) -> int:
        """Four foot holes, the bore, and the slot."""
        return 5 + self.drain_slot

    def solid(self) -> Manifold:
        """Build it with the inner corner along y and the foot along +x."""
        t, length, height = self.wall_mm, self.foot_mm, self.upright_mm
        side = outline((0, 0), (length, 0), (length, t), (t, t, self.corner_mm), (t, height), (0, height))
        body = standing(plate(side, self.width_mm, top_mm=0.6, bottom_mm=0.6), self.width_mm)
        plan = rectangle(2 * length, self.width_mm, 5.0).extrude(2 * height).translate((0, 0, -1))
        front = placed(rectangle(2 * height, self.width_mm, 5.0).extrude(2 * length), (-1, 0, 0), "x")
        body = body ^ plan ^ front
        pad = placed(boss(self.boss_mm, 3.0, 1.0, 0.5), (t, 0, self.bore_height_mm), "x")
        spread = self.width_mm / 2.0 - 2.0 - self.gusset_mm / 2.0
        places = [
            spread * (2.0 * k / (self.gussets - 1) - 1.0) if self.gussets > 1 else 0.0 for k in range(self.gussets)
        ]
        ribs = [gusset(length * 0.45, height * 0.55, self.gusset_mm).translate((t, y, t)) for y in places]
        near, far = t + 8.5, length - self.hole_from_edge_mm
        half = self.hole_pitch_mm / 2.0
        holes = [
            through(self.foot_hole_mm, x, y * scale) for x, scale in ((far, 1.0), (near, 0.5)) for y in (-half, half)
        ]
        tools = [*holes, rod(self.bore_mm, 400.0, (-200.0, 0, self.bore_height_mm), "x")]
        if self.drain_slot:
            tools.append(slot(10.0, 3.0, (near + far) / 2.0 + 1.0).extrude(50.0).translate((0, 0, -20)))
        return cut(joined(body, pad, *ribs), *tools)


@dataclass(frozen=True)
class ClevisBracket:
    """A base with two rounded ears and a pin bore across them."""

    base_mm: float = 40.0
    base_width_mm: float = 30.0
    base_thick_mm: float = 6.0
    gap_mm: float = 12.0
    ear_mm: float = 6.0
    ear_radius_mm: float = 9.0
    pin_mm: float = 8.0
    pin_height_mm: float = 24.0
    screw_mm: float = 5.5
    screw_pitch_mm: float = 30.0
    grease_hole: bool = False

    @property
    def tunnels(self) -> int:
        """Two screw holes, a pin hole in each ear, the grease hole."""
        return 4 + self.grease_hole

    def solid(self) -> Manifold:
        """Build it on the plane z = 0, the pin along y."""
        base = plate(rectangle(self.base_mm, self.base_width_mm, 4.0), self.base_thick_mm, top_mm=1.0)
        r, up = self.ear_radius_mm, self.pin_height_mm
        profile = soften(belt(disc(2 * r, 0, up), rectangle(2 * r + 6.0, 1.0, 0.0, 0.0, self.base_thick_mm)), 0, 0.8)
        ear = standing(plate(profile, self.ear_mm, top_mm=0.5, bottom_mm=0.5, steps=3), self.ear_mm)
        offset = (self.gap_mm + self.ear_mm) / 2.0
        ears = [ear.translate((0, side * offset, 0)) for side in (-1, 1)]
        half = self.screw_pitch_mm / 2.0
        screws = [countersunk(self.screw_mm, self.screw_mm * 1.9, (x, 0, self.base_thick_mm)) for x in (-half, half)]
        pin = rod(self.pin_mm, 400.0, (0, -200, up), "y")
        tools = [*screws, pin]
        if self.grease_hole:
            tools.append(rod(2.0, 60.0, (0, offset, up), "z"))
        return cut(joined(base, *ears), *tools)


@dataclass(frozen=True)
class BearingPedestal:
    """A bearing foot: slotted base, bored head, stiffening rib on each side."""

    base_mm: float = 76.0
    base_width_mm: float = 22.0
    base_thick_mm: float = 7.0
    centre_height_mm: float = 27.0
    head_mm: float = 32.0
    head_width_mm: float = 20.0
    bore_mm: float = 16.0
    seat_mm: float = 22.0
    seat_depth_mm: float = 7.0
    slot_mm: float = 11.0
    slot_width_mm: float = 6.6
    slot_pitch_mm: float = 58.0
    oil_hole_mm: float = 3.0

    @property
    def tunnels(self) -> int:
        """Two slots, the bore, the oil hole into the bore."""
        return 4

    def solid(self) -> Manifold:
        """Build it on the plane z = 0, the bore along y."""
        base = plate(rectangle(self.base_mm, self.base_width_mm, 5.0), self.base_thick_mm, top_mm=0.8)
        up, head = self.centre_height_mm, self.head_mm
        profile = belt(disc(head, 0, up), rectangle(head, 1.0, 0.0, 0.0, self.base_thick_mm - 0.5))
        body = standing(plate(profile, self.head_width_mm, top_mm=0.8, bottom_mm=0.8), self.head_width_mm)
        run = (self.slot_pitch_mm - self.slot_mm - head) / 2.0 - 1.5
        rib = gusset(run, up - self.base_thick_mm, 5.0).translate((head / 2.0 - 0.4, 0, self.base_thick_mm))
        slots = [slot(self.slot_mm, self.slot_width_mm, side * self.slot_pitch_mm / 2.0) for side in (-1, 1)]
        cutters = [outline_.extrude(100.0).translate((0, 0, -50)) for outline_ in slots]
        seat = rod(self.seat_mm, self.seat_depth_mm + 1.0, (0, -self.head_width_mm / 2.0 - 1.0, up), "y")
        bore = rod(self.bore_mm, 200.0, (0, -100, up), "y")
        oil = rod(self.oil_hole_mm, 60.0, (0, self.head_width_mm / 2.0 - 6.0, up))
        ribs = joined(rib, rib.mirror((1, 0, 0)))
        return cut(joined(base, body, ribs), *cutters, seat, bore, oil)


@dataclass(frozen=True)
class SensorArm:
    """An arm from a slotted foot to a ring that holds a probe, with a clamping screw boss."""

    reach_mm: float = 46.0
    foot_mm: float = 26.0
    foot_width_mm: float = 20.0
    thick_mm: float = 5.0
    neck_mm: float = 10.0
    ring_mm: float = 22.0
    probe_mm: float = 12.0
    ring_height_mm: float = 14.0
    slot_mm: float = 12.0
    slot_width_mm: float = 4.5
    screw_mm: float = 3.2
    rib_mm: float = 4.0

    @property
    def tunnels(self) -> int:
        """Two slots, the probe bore, the clamping screw into it."""
        return 4

    def solid(self) -> Manifold:
        """Build it on the plane z = 0, the foot at -x, the ring about z at (reach, 0)."""
        reach, thick = self.reach_mm, self.thick_mm
        foot = rectangle(self.foot_mm, self.foot_width_mm, 3.0)
        neck = belt(rectangle(2.0, self.neck_mm * 1.5), disc(self.neck_mm, reach))
        base = plate(soften(foot + neck, inside_mm=5.0), thick, top_mm=0.6, bottom_mm=0.6)
        holder = plate(disc(self.ring_mm), self.ring_height_mm, top_mm=0.8, bottom_mm=0.6).translate((reach, 0, 0))
        lug = placed(boss(8.0, self.ring_mm / 2.0 + 3.5, 0.0, 0.5), (reach, 0, self.ring_height_mm / 2.0 + 1.5), "x")
        rise = self.ring_height_mm - thick - 2.0
        rib = gusset(reach - self.foot_mm / 2.0 - 8.0, rise, self.rib_mm).mirror((1, 0, 0))
        rib = rib.translate((reach - self.ring_mm / 2.0 + 0.4, 0, thick))
        slots = [slot(self.slot_mm, self.slot_width_mm, 0.0, y, 0.0) for y in (-5.5, 5.5)]
        cutters = [section.translate((-3.0, 0)).extrude(60.0).translate((0, 0, -20)) for section in slots]
        probe = through(self.probe_mm, reach)
        screw = rod(self.screw_mm, 60.0, (reach, 0, self.ring_height_mm / 2.0 + 1.5), "x")
        return cut(joined(base, holder, lug, rib), *cutters, probe, screw)


@dataclass(frozen=True)
class MotorMount:
    """A face plate for a small motor on a ribbed foot: pilot bore, four screws, lightening windows."""

    face_mm: float = 44.0
    wall_mm: float = 4.5
    foot_mm: float = 30.0
    pilot_mm: float = 22.2
    screw_pitch_mm: float = 31.0
    screw_mm: float = 3.4
    foot_screw_mm: float = 4.5
    foot_pitch_mm: float = 24.0
    rib_mm: float = 4.0

    @property
    def tunnels(self) -> int:
        """Pilot, four motor screws, two foot screws."""
        return 7

    def solid(self) -> Manifold:
        """Build it with the face plate in the plane x = 0 and the foot along +x."""
        a, t = self.face_mm, self.wall_mm
        h = a / 2.0
        sheet = outline((h, -h), (h, h), (-h, h, 5.0), (-h, -h, 5.0))
        face = plate(sheet, t, top_mm=0.6, bottom_mm=0.6)
        collar = plate(ring(self.pilot_mm + 8.0, self.pilot_mm - 1.0), 2.5, top_mm=0.5).translate((0, 0, t - 0.5))
        upright = placed(joined(face, collar), (0, 0, a / 2.0), "x")
        foot = bar(self.foot_mm, a, t, (self.foot_mm / 2.0, 0, 0)) ^ rectangle(2 * self.foot_mm, a, 4.0).extrude(50.0)
        rib = gusset(self.foot_mm - t - 5.0, a * 0.62, self.rib_mm, 1.5).translate((t, 0, t))
        side = a / 2.0 - self.rib_mm / 2.0 - 0.6
        ribs = [rib.translate((0, y, 0)) for y in (-side, side)]
        half, centre = self.screw_pitch_mm / 2.0, a / 2.0
        holes = [rod(self.screw_mm, 400, (-200, y, centre + z), "x") for y in (-half, half) for z in (-half, half)]
        pilot = rod(self.pilot_mm, 400, (-200, 0, centre), "x")
        x = t + (self.foot_mm - t) * 0.55
        feet = [
            counterbored(self.foot_screw_mm, self.foot_screw_mm * 1.9, 1.0, (x, y, t))
            for y in (-self.foot_pitch_mm / 2.0, self.foot_pitch_mm / 2.0)
        ]
        return cut(joined(upright, foot, *ribs), *holes, pilot, *feet)


@dataclass(frozen=True)
class SpiderMount:
    """A three-armed damping mount: centre hub, three arms with rubber seats, thin webs between."""

    circle_mm: float = 52.0
    arm_mm: float = 9.0
    arm_thick_mm: float = 6.0
    hub_mm: float = 20.0
    hub_height_mm: float = 14.0
    bore_mm: float = 8.0
    seat_mm: float = 13.0
    seat_bore_mm: float = 7.0
    web_mm: float = 2.4

    @property
    def tunnels(self) -> int:
        """The hub's bore and three seats."""
        return 4

    def solid(self) -> Manifold:
        """Build it on the plane z = 0 about the z axis."""
        r = self.circle_mm / 2.0
        arm = belt(disc(self.arm_mm * 1.5), disc(self.arm_mm, r))
        star = arm + arm.rotate(120.0) + arm.rotate(240.0)
        body = plate(soften(star, inside_mm=8.0), self.arm_thick_mm, top_mm=1.0, bottom_mm=0.6, steps=3)
        web = plate(disc(self.circle_mm * 0.72), self.web_mm, top_mm=0.4)
        hub = boss(self.hub_mm, self.hub_height_mm, 0.0, 1.0)
        seats = round_about(boss(self.seat_mm, self.arm_thick_mm + 3.0, 0.0, 0.7).translate((r, 0, 0)), 3)
        floor = bar(300, 300, 50, (0, 0, -50))
        bores = round_about(through(self.seat_bore_mm, r), 3)
        return cut(joined(body, web, hub, seats), floor, through(self.bore_mm), bores)
