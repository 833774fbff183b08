"""Green shapes: the scale belongs to the axes of the print box, whatever way the part lies in it."""

import itertools

import numpy as np
import pytest

from tests.shapes import as_shape, box, bracket
from vault.errors import BadInput, Refused
from vault.geometry.measure import measure
from vault.geometry.transform import green_shape, placed
from vault.model.orientation import Orientation, longest_axes, right_angled

SCALE = (1.192, 1.206, 1.231)
ALL = right_angled()


def test_there_are_24_orientations_and_no_mirror_among_them() -> None:
    assert len({one.rows for one in ALL}) == 24
    assert ALL[0] == Orientation.as_drawn()
    for one in ALL:
        assert np.linalg.det(np.array(one.matrix)) == pytest.approx(1.0)
        assert Orientation.named(one.name or "") == one


@pytest.mark.parametrize("orientation", ALL, ids=lambda one: one.name)
def test_each_green_box_scaled_back_and_turned_back_is_the_design(orientation: Orientation) -> None:
    # green = diag(sx, sy, sz) . R . design, so R^-1 . diag(1/s) . green is the design again.
    design = as_shape(bracket())
    green = green_shape(design, orientation, SCALE).shape
    back = placed(as_shape((green.vertices / SCALE, green.faces)), orientation.inverse())
    assert np.allclose(back.vertices, design.vertices, rtol=0, atol=1e-12)
    size = orientation.turned_size_mm(measure(design).size_mm)
    assert measure(green).size_mm == pytest.approx([a * s for a, s in zip(size, SCALE, strict=True)], rel=1e-12)
    assert measure(green).volume_mm3 == pytest.approx(measure(design).volume_mm3 * float(np.prod(SCALE)), rel=1e-12)


def test_green_box_of_a_published_anisotropic_case() -> None:
    # Shrinkages .175, .177, .184 of a nominal 30 x 20 x 10: green 36.3636 x 24.3013 x 12.2549, by 1 / (1 - s).
    scale = (1 / (1 - 0.175), 1 / (1 - 0.177), 1 / (1 - 0.184))
    green = green_shape(as_shape(box(30, 20, 10)), Orientation.as_drawn(), scale)
    assert measure(green.shape).size_mm == pytest.approx((36.3636, 24.3013, 12.2549), abs=5e-5)


def test_turning_the_scaled_body_would_be_wrong_by_the_difference_of_scales() -> None:
    standing = Orientation.named("+z+x+y")
    right = measure(green_shape(as_shape(box(60, 20, 10)), standing, SCALE).shape).size_mm
    wrong = measure(
        placed(green_shape(as_shape(box(60, 20, 10)), Orientation.as_drawn(), SCALE).shape, standing)
    ).size_mm
    assert max(abs(a - b) for a, b in zip(right, wrong, strict=True)) > 0.2


@pytest.mark.parametrize("turn", [one for one in ALL if one.inverse() != one], ids=lambda one: one.name)
def test_a_scaled_body_is_not_turned_by_quarters_or_thirds(turn: Orientation) -> None:
    green = green_shape(as_shape(bracket()), Orientation.as_drawn(), SCALE)
    with pytest.raises(Refused, match="half round"):
        green.turn(turn)


@pytest.mark.parametrize(
    "turn", [Orientation.about("z", 1.0), Orientation.named("+y+x-z")], ids=["free", "half, slanted"]
)
def test_a_scaled_body_is_not_turned_freely(turn: Orientation) -> None:
    with pytest.raises(Refused, match="half round"):
        green_shape(as_shape(bracket()), Orientation.as_drawn(), SCALE).turn(turn)


@pytest.mark.parametrize("axis", "xyz")
@pytest.mark.parametrize("start", ALL[::5], ids=lambda one: one.name)
def test_a_half_turn_of_the_scaled_body_is_the_scaled_half_turn(axis: str, start: Orientation) -> None:
    design = as_shape(bracket())
    turned = green_shape(design, start, SCALE).turned_half(axis)
    again = green_shape(design, start.then(Orientation.about(axis, 180)), SCALE)
    assert np.allclose(turned.shape.vertices, again.shape.vertices, rtol=0, atol=1e-12)
    assert turned.orientation == again.orientation
    assert turned.turn(Orientation.as_drawn()) is turned


def test_a_scaled_body_may_be_moved() -> None:
    green = green_shape(as_shape(bracket()), Orientation.as_drawn(), SCALE)
    assert np.allclose(green.moved((1, 2, 3)).shape.low_mm - green.shape.low_mm, (1, 2, 3))
    with pytest.raises(BadInput, match="finite"):
        green.moved((0, float("nan"), 0))


@pytest.mark.parametrize("scale", [(1.2, 1.2, 0.0), (1.2, 1.2, float("nan")), (18.0, 1.2, 1.2), (-1.2, 1.2, 1.2)])
def test_an_impossible_scale_is_refused(scale: tuple[float, float, float]) -> None:
    with pytest.raises(BadInput, match="scale"):
        green_shape(as_shape(bracket()), Orientation.as_drawn(), scale)


@pytest.mark.parametrize("name", ["+x+y-z", "-x+y+z", "+x+x+z", "xyz", "+x+y", "", "+x+y+w"])
def test_a_mirror_or_a_word_is_no_orientation(name: str) -> None:
    with pytest.raises(BadInput, match="orientation"):
        Orientation.named(name)


def test_a_matrix_that_is_no_turn_is_refused() -> None:
    flips = itertools.product((1.0, -1.0), repeat=3)
    mirrors = [(x, 0.0, 0.0, 0.0, y, 0.0, 0.0, 0.0, z) for x, y, z in flips if x * y * z < 0]
    for rows in [*mirrors, (2.0, 0, 0, 0, 1.0, 0, 0, 0, 1.0), (1.0, 0.1, 0, 0, 1.0, 0, 0, 0, 1.0), (0.0,) * 9]:
        with pytest.raises(ValueError, match=r"turn|mirror"):
            Orientation(rows=tuple(map(float, rows)))


def test_turns_by_quarters_are_exact_and_free_turns_are_turns() -> None:
    assert Orientation.about("z", 90).matrix == ((0.0, -1.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    assert Orientation.about("x", -450) == Orientation.about("x", 270)
    tilted = Orientation.about("y", 12.5).then(Orientation.about("z", 77.0))
    assert tilted.name is None
    back = np.array(tilted.then(tilted.inverse()).matrix)
    assert np.allclose(back, np.eye(3), rtol=0, atol=1e-12)


# Notation of ISO/ASTM 52921 (now ISO 17295): axes by falling size of the bounding box; cases computed by hand.
@pytest.mark.parametrize(
    ("size", "notation"), [((10, 5, 30), "ZXY"), ((30, 20, 10), "XYZ"), ((10, 30, 20), "YZX"), ((20, 10, 30), "ZXY")]
)
def test_longest_axes_come_first(size: tuple[float, float, float], notation: str) -> None:
    assert longest_axes(size) == notation
