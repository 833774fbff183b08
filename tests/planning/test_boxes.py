"""Boxes counted by a grid of bounding boxes: exact for blocks, and never more than fits."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.builders import a_box, a_shape, some_settings
from vault.errors import Refused
from vault.model.orientation import Orientation
from vault.model.settings import Scale
from vault.planning.boxes import green_size_mm, grid_in, layers_of, plan_boxes, quantity_to_start

UNSCALED = Scale(x=1.0, y=1.0, z=1.0)


def test_anisotropic_scale_of_a_block_in_the_box() -> None:
    # Shrinkage .175, .177, .184 of green size: scale is 1 / (1 - s); closed form.
    scale = Scale(x=1 / (1 - 0.175), y=1 / (1 - 0.177), z=1 / (1 - 0.184))
    green = green_size_mm(some_settings(scale=scale), (30.0, 20.0, 10.0))
    assert green == pytest.approx((36.3636, 24.3013, 12.2549), abs=5e-5)


def test_scale_follows_the_box_and_not_the_part() -> None:
    on_edge = some_settings(scale=Scale(x=1.1, y=1.2, z=1.3), print_orientation=Orientation.named("+y+z+x"))
    assert green_size_mm(on_edge, (30.0, 20.0, 10.0)) == pytest.approx((20 * 1.1, 10 * 1.2, 30 * 1.3))


def test_cubes_fill_a_box_exactly() -> None:
    box = a_box(size_mm=(106.0, 76.0, 46.0), wall_margin_mm=3.0)  # 100 x 70 x 40 inside
    assert grid_in(box, (10.0, 10.0, 10.0), 0.0).count == 10 * 7 * 4
    assert grid_in(box, (10.0, 10.0, 10.0), 5.0).count == 7 * 5 * 3


@given(
    edges=st.tuples(*[st.floats(1, 60)] * 3), clearance=st.floats(0.5, 10), room=st.tuples(*[st.floats(40, 400)] * 3)
)
def test_what_is_counted_fits_between_the_walls(
    edges: tuple[float, float, float], clearance: float, room: tuple[float, float, float]
) -> None:
    box = a_box(size_mm=room, wall_margin_mm=3.0)
    grid = grid_in(box, edges, clearance)
    for count, edge, inside in zip((grid.x, grid.y, grid.z), edges, room, strict=True):
        if count:
            assert count * edge + (count - 1) * clearance <= inside - 6 + 1e-6
        assert (count + 1) * edge + count * clearance > inside - 6 - 1e-6


LAYERS = [(160.0, 40.0, 4000), (0.1 + 0.2, 100.0, 3), (1.1 * 1.1, 10.0, 121)]


@pytest.mark.parametrize(("height_mm", "layer_um", "layers"), LAYERS)
def test_layers_are_not_fooled_by_the_last_digit(height_mm: float, layer_um: float, layers: int) -> None:
    assert layers_of(height_mm, layer_um) == layers


def test_box_time_depends_on_height_and_not_on_what_is_in_the_box() -> None:
    settings = some_settings(scale=UNSCALED)
    few, many = (plan_boxes((a_box(),), settings, a_shape((9.0, 9.0, 9.0)), quantity) for quantity in (1, 10))
    assert few.box_min == many.box_min


def test_the_box_that_makes_the_quantity_soonest_is_chosen() -> None:
    low, high = (
        a_box(id=name, size_mm=(160.0, 65.0, height_mm), fixed_min=300.0)
        for name, height_mm in (("LOW", 30.0), ("HIGH", 120.0))
    )
    settings = some_settings(scale=UNSCALED)
    assert plan_boxes((low, high), settings, a_shape((20.0, 20.0, 20.0)), 5).box == "LOW"
    assert plan_boxes((low, high), settings, a_shape((20.0, 20.0, 20.0)), 60).box == "HIGH"


def test_a_part_too_big_for_every_box_is_refused() -> None:
    with pytest.raises(Refused, match="TOO_BIG_FOR_EVERY_BOX"):
        plan_boxes((a_box(),), some_settings(), a_shape((300.0, 10.0, 10.0)), 1)


@pytest.mark.parametrize(("ordered", "started"), [(1, 2), (20, 21), (200, 210), (199, 209)])
def test_a_share_more_is_started(ordered: int, started: int) -> None:
    assert quantity_to_start(ordered, 0.05) == started
