"""The building blocks against closed formulas and gear arithmetic."""

import math

import numpy as np
import pytest

from demo_vault.shapes.gears import involute_gear
from demo_vault.shapes.outlines import CHORD_MM, disc, outline, rectangle, ring, segments, slot, soften
from demo_vault.shapes.solids import boss, countersunk, cut, drill_point, plate, rod, standing, turned


def test_a_fillet_takes_off_the_corner_of_a_square_less_the_quarter_of_a_circle() -> None:
    area = rectangle(20.0, 10.0, 3.0).area()
    assert area == pytest.approx(200.0 - (4.0 - math.pi) * 3.0**2, abs=CHORD_MM * 2.0 * math.pi * 3.0)


def test_an_inside_corner_gets_material_from_its_fillet() -> None:
    sharp = ((0, 0), (10, 0), (10, 4), (4, 4), (4, 10), (0, 10))
    filleted = ((0, 0), (10, 0), (10, 4), (4, 4, 2.0), (4, 10), (0, 10))
    assert outline(*filleted).area() - outline(*sharp).area() == pytest.approx(
        (1.0 - math.pi / 4.0) * 2.0**2, abs=CHORD_MM * math.pi / 2.0 * 2.0
    )


def test_corners_may_be_given_in_either_sense() -> None:
    corners = ((0, 0, 1.0), (9, 0, 2.0), (9, 6), (0, 6, 0.5))
    assert outline(*corners).area() == pytest.approx(outline(*reversed(corners)).area())


def test_a_fillet_longer_than_its_edge_is_refused() -> None:
    with pytest.raises(ValueError, match="does not fit the corner"):
        outline((0, 0, 8.0), (5, 0), (5, 5), (0, 5))


@pytest.mark.parametrize("radius_mm", [0.5, 3.0, 12.0, 60.0])
def test_edges_of_a_circle_keep_the_chord_error(radius_mm: float) -> None:
    sagitta = radius_mm * (1.0 - math.cos(math.pi / segments(radius_mm)))
    assert sagitta <= CHORD_MM * 1.001


def test_a_slot_has_the_length_over_its_ends() -> None:
    low_x, low_y, high_x, high_y = slot(12.0, 5.0, 3.0, 1.0).bounds()
    assert (high_x - low_x, high_y - low_y) == pytest.approx((12.0, 5.0))


def test_a_chamfered_plate_weighs_the_prism_less_its_two_chamfers() -> None:
    # frustum of a square pyramid between sides a and a - 2c: h/3 (A1 + A2 + sqrt(A1 A2))
    a, height, c = 20.0, 6.0, 1.0
    ends = c / 3.0 * (a**2 + (a - 2 * c) ** 2 + a * (a - 2 * c))
    assert plate(rectangle(a, a), height, top_mm=c, bottom_mm=c).volume() == pytest.approx(
        a**2 * (height - 2 * c) + 2 * ends
    )


def test_holes_of_a_plate_are_chamfered_outward() -> None:
    broken = plate(ring(30.0, 10.0), 5.0, top_mm=1.0)
    low, high = (np.asarray(broken.slice(z).bounds()) for z in (0.5, 4.9))
    bore_low, bore_high = (
        -broken.slice(z).area() + disc(30.0 - 2 * inset).area() for z, inset in ((0.5, 0), (4.9, 0.9))
    )
    assert high[2] == pytest.approx(low[2] - 0.9, abs=0.005)
    assert bore_high == pytest.approx(disc(11.8).area(), rel=0.01)
    assert bore_low == pytest.approx(disc(10.0).area(), rel=0.01)


def test_an_edge_break_larger_than_a_fillet_is_refused() -> None:
    with pytest.raises(ValueError, match="larger than a fillet"):
        plate(rectangle(20.0, 20.0, 0.5), 6.0, top_mm=1.5)


def test_a_turned_ring_follows_pappus() -> None:
    made = turned((10, 0), (14, 0), (14, 3), (10, 3)).volume()
    assert made == pytest.approx(2.0 * math.pi * 12.0 * 12.0, rel=0.003)


def test_a_boss_with_a_foot_is_wider_at_its_foot() -> None:
    foot, top = (boss(10.0, 8.0, foot_mm=2.0, edge_mm=1.0).slice(z).area() for z in (0.01, 4.0))
    assert foot > disc(13.0).area()
    assert top == pytest.approx(disc(10.0).area(), rel=0.005)


def test_a_countersink_takes_out_its_cone_and_its_hole() -> None:
    block = plate(rectangle(30.0, 30.0), 10.0)
    left = cut(block, countersunk(5.0, 9.0, (0, 0, 10.0)))
    cone = math.pi * 2.0 / 3.0 * (4.5**2 + 2.5**2 + 4.5 * 2.5)
    assert block.volume() - left.volume() == pytest.approx(math.pi * 2.5**2 * 8.0 + cone, rel=0.02)


def test_a_drilled_hole_ends_in_a_point_of_118_degrees() -> None:
    low_z = drill_point(6.0, 10.0, (0, 0, 20.0)).bounding_box()[2]
    assert 20.0 - low_z == pytest.approx(10.0 + 3.0 / math.tan(math.radians(59.0)))


def test_a_standing_plate_lies_evenly_about_the_plane_y_0() -> None:
    low_x, low_y, low_z, high_x, high_y, high_z = standing(plate(rectangle(8, 6, 0, 4, 3), 2.0), 2.0).bounding_box()
    assert (low_x, high_x, low_y, high_y, low_z, high_z) == pytest.approx((0, 8, -1, 1, 0, 6))


@pytest.mark.parametrize(("axis", "end"), [("x", (9, 0, 0)), ("-x", (-9, 0, 0)), ("y", (0, 9, 0)), ("-z", (0, 0, -9))])
def test_a_rod_runs_along_its_axis(axis: str, end: tuple[int, int, int]) -> None:
    box = np.asarray(rod(1.0, 9.0, axis=axis).bounding_box()).reshape(2, 3)
    reached = box[1] if sum(end) > 0 else box[0]
    assert reached[np.flatnonzero(end)[0]] == pytest.approx(sum(end))


def test_soft_corners_lose_area_outside_and_win_it_inside() -> None:
    cross = rectangle(20.0, 6.0) + rectangle(6.0, 20.0)
    assert soften(cross, outside_mm=1.0).area() < cross.area() < soften(cross, inside_mm=1.0).area()


def test_tooth_and_gap_are_equal_at_the_pitch_circle() -> None:
    # definition of the standard tooth without shift or backlash (ISO 53, ISO 21771; from memory)
    band = ring(2 * 20.01, 2 * 19.99)
    assert (involute_gear(20, 2.0) ^ band).area() / band.area() == pytest.approx(0.5, abs=0.002)


def test_span_over_three_teeth_is_that_of_the_involute() -> None:
    # W_k = m cos a (pi (k - 1/2) + z inv a): 7.660 mm for m = 1, z = 20, k = 3, a = 20 degrees
    # (formula and value from memory; both stand in gear tables)
    involute = math.tan(math.radians(20.0)) - math.radians(20.0)
    expected = math.cos(math.radians(20.0)) * (math.pi * 2.5 + 20.0 * involute)
    base_radius = 10.0 * math.cos(math.radians(20.0))
    strip = rectangle(0.0005, 30.0, x=base_radius)
    middle = (involute_gear(20, 1.0) ^ strip) ^ rectangle(40.0, 8.6)
    low, high = middle.bounds()[1], middle.bounds()[3]
    assert expected == pytest.approx(7.660, abs=0.001)
    assert high - low == pytest.approx(expected, abs=0.01)
