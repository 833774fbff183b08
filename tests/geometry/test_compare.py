"""Comparing shapes against truths in closed form, both ways: one direction alone misses what was added."""

import math

import numpy as np
import pytest

from tests.shapes import (
    Mesh,
    as_shape,
    box,
    bracket,
    cube,
    cube_10mm,
    cube_with_hole,
    cylinder,
    from_manifold,
    icosphere,
    inside_out,
    mirrored_bracket,
    moved,
    open_box,
    scaled,
)
from vault.geometry.compare import compare
from vault.geometry.transform import placed
from vault.model.orientation import Orientation
from vault.model.shape import ShapeChange, ShapeVerdict

SAME, WITHIN, CHANGED = ShapeVerdict.SAME, ShapeVerdict.WITHIN_RESOLUTION, ShapeVerdict.CHANGED


def change(a: Mesh, b: Mesh) -> ShapeChange:
    return compare(as_shape(a), as_shape(b))


def plate_with_boss() -> Mesh:
    """The box 30 x 20 x 10 with a boss 4 x 4 x 10 on its largest face."""
    return from_manifold(cube(30, 20, 10) + cube(4, 4, 12).translate((3.3, 1.7, 9)))


def test_a_boss_is_ten_millimetres_seen_from_the_new_shape_and_two_from_the_old() -> None:
    # V +160, A 2360; new to old 10 (its top), old to new 2 (the middle of its foot), verified on meshes.
    found = change(box(30, 20, 10), plate_with_boss())
    assert found.max_b_to_a_mm == pytest.approx(10.0, abs=1e-9)
    assert found.max_a_to_b_mm == pytest.approx(2.0, abs=1e-3)
    assert found.volume_b_mm3 - found.volume_a_mm3 == pytest.approx(160.0)
    assert found.area_b_mm2 == pytest.approx(2360.0)
    assert found.verdict is CHANGED


def test_a_box_grown_by_two_per_cent_about_its_centre() -> None:
    # Corner sqrt(.3^2 + .2^2 + .1^2) = .374166 from the new shape, .300 from the old.
    found = change(box(30, 20, 10), scaled(box(30, 20, 10), 1.02))
    assert found.max_b_to_a_mm == pytest.approx(0.374166, abs=1e-6)
    assert found.max_a_to_b_mm == pytest.approx(0.300, abs=1e-6)
    assert found.verdict is CHANGED


def test_a_box_offset_by_a_tenth_with_sharp_corners() -> None:
    found = change(box(30, 20, 10), box(30.2, 20.2, 10.2))
    assert found.max_b_to_a_mm == pytest.approx(0.1 * math.sqrt(3), abs=1e-9)
    assert found.max_a_to_b_mm == pytest.approx(0.1, abs=1e-9)


def test_concentric_spheres_are_their_difference_apart_everywhere() -> None:
    found = change(icosphere(10.0, 4), icosphere(10.05, 4))
    for value in (found.max_a_to_b_mm, found.max_b_to_a_mm, found.mean_a_to_b_mm, found.mean_b_to_a_mm):
        assert value == pytest.approx(0.05, abs=1e-4)
    assert found.verdict is CHANGED


def test_a_sphere_moved_by_t_is_t_away_at_most_and_half_of_it_in_the_mean() -> None:
    found = change(icosphere(10.0, 5), moved(icosphere(10.0, 5), (0.2, 0, 0)))
    assert found.max_mm == pytest.approx(0.2, abs=1e-4)
    assert found.mean_a_to_b_mm == pytest.approx(0.1, abs=1e-3)


def test_a_hole_takes_its_volume() -> None:
    # V -282.2894 for a 64-gon of diameter 6 through 10.
    drilled = from_manifold(cube(30, 20, 10) - cylinder(12, 3.0, 64))
    found = change(box(30, 20, 10), drilled)
    assert found.volume_b_mm3 - found.volume_a_mm3 == pytest.approx(-282.2894, abs=1e-4)
    assert not found.same_topology
    assert found.verdict is CHANGED


def test_the_same_mesh_is_the_same_also_in_another_order_and_32_bits() -> None:
    vertices, faces = bracket()
    order = np.random.default_rng(1).permutation(len(faces))
    shuffled = (vertices, np.roll(faces[order], 1, axis=1))
    rounded = (vertices.astype(np.float32).astype(np.float64), faces)
    for other in (bracket(), shuffled, rounded):
        found = change(bracket(), other)
        assert found.verdict is SAME
        assert found.max_mm <= 1e-5


@pytest.mark.parametrize("sides", [80, 200])
def test_another_tessellation_of_the_same_part_is_within_resolution(sides: int) -> None:
    # The chord error of a circle r with n sides is r (1 - cos(pi / n)); both together bound the deviation.
    found = change(bracket(sides=96), bracket(sides=sides))
    assert found.verdict is WITHIN
    assert found.max_mm <= found.resolution_mm
    assert found.resolution_mm >= sum(3 * (1 - math.cos(math.pi / n)) for n in (96, sides)) * 0.99


CHANGES = {
    "a wall moved by 0.05": bracket(wall_mm=0.05, sides=80),
    "a wall moved by 0.01": bracket(wall_mm=0.01, sides=80),
    "a hole moved by 0.5": bracket(shift_mm=0.5, sides=80),
    "a hole moved by 0.02": bracket(shift_mm=0.02, sides=80),
    "a hole wider by 0.03": bracket(hole_mm=6.03, sides=80),
    "the other hand": mirrored_bracket(),
}


@pytest.mark.parametrize("what", CHANGES)
def test_a_small_change_is_found_under_another_tessellation(what: str) -> None:
    assert change(bracket(sides=96), CHANGES[what]).verdict is CHANGED


def test_an_open_or_inside_out_shape_is_never_called_the_same() -> None:
    open_one = change(open_box(), open_box())
    assert open_one.verdict is WITHIN
    assert any("not closed" in caution for caution in open_one.cautions)
    assert change(cube_10mm(), open_box()).verdict is CHANGED
    assert change(cube_10mm(), inside_out(cube_10mm())).verdict is CHANGED


@pytest.mark.parametrize("factor", [25.4, 1 / 25.4, 1000.0])
def test_a_slip_of_the_unit_is_hinted_at(factor: float) -> None:
    found = change(bracket(), scaled(bracket(), factor))
    assert found.verdict is CHANGED
    assert any("read as mm?" in caution for caution in found.cautions)


def test_a_part_that_was_only_turned_is_hinted_at() -> None:
    turned = placed(as_shape(bracket()), Orientation.named("+y-x+z"))
    found = compare(as_shape(bracket()), turned)
    assert found.verdict is CHANGED
    assert any("moved, turned or mirrored" in caution for caution in found.cautions)


def test_comparing_twice_gives_the_same_numbers() -> None:
    assert change(bracket(), cube_with_hole()) == change(bracket(), cube_with_hole())


def test_the_largest_deviation_is_bounded_above() -> None:
    # Brute force over a dense grid of points on the old face under the boss never exceeds the bound.
    found = change(box(30, 20, 10), plate_with_boss())
    side = np.linspace(-2, 2, 401)
    x, y = np.meshgrid(side, side)
    deepest = float(np.minimum(2 - np.abs(x), 2 - np.abs(y)).max())
    assert found.max_a_to_b_mm <= deepest <= found.max_a_to_b_mm + max(found.uncertainty_mm, 2e-4)
