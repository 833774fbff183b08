"""Pictures: the right outline, the same each time, no words hidden in the file."""

import io
import time

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from tests.shapes import Mesh, as_shape, box, bracket, cube_with_hole, icosphere, inside_out, open_box, two_shells
from vault.errors import BadInput
from vault.geometry.picture import VIEWS, picture_png, three_views_png
from vault.geometry.raster import NOTHING, see


def pixels(content: bytes) -> np.ndarray:
    return np.asarray(Image.open(io.BytesIO(content)).convert("RGB"))


def drawn(content: bytes) -> np.ndarray:
    """Where something other than white paper is."""
    return (pixels(content) < 250).any(axis=2)


@pytest.mark.parametrize(
    ("view", "wide", "high"), [("front", 30, 10), ("top", 30, 20), ("right", 20, 10), ("back", 30, 10)]
)
def test_a_box_fills_a_rectangle_of_its_own_proportions(view: str, wide: float, high: float) -> None:
    seen = drawn(picture_png(as_shape(box(30, 20, 10)), (400, 400), view))
    rows, columns = np.flatnonzero(seen.any(axis=1)), np.flatnonzero(seen.any(axis=0))
    assert seen[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1].all()
    assert len(columns) / len(rows) == pytest.approx(wide / high, rel=0.02)
    assert len(columns) == pytest.approx(360, abs=2)  # nine tenths of the picture
    assert rows[0] + rows[-1] == pytest.approx(399, abs=2)  # in the middle


def test_a_sphere_covers_the_area_of_its_circle() -> None:
    seen = drawn(picture_png(as_shape(icosphere(10.0, 4)), (400, 400), "iso"))
    assert seen.sum() == pytest.approx(np.pi * 180**2, rel=0.01)


def test_one_sees_through_a_hole() -> None:
    seen = drawn(picture_png(as_shape(cube_with_hole()), (400, 400), "top"))
    assert not seen[200, 200]
    assert (~seen[60:340, 60:340]).sum() == pytest.approx(np.pi * (3 * 18) ** 2, rel=0.03)


def test_the_nearer_body_hides_the_farther() -> None:
    near = np.array([[[10.0, 10, 5], [90, 10, 5], [10, 90, 5]]])
    far = near * (1, 1, -1)
    for corners, number in ((np.concatenate([near, far]), 0), (np.concatenate([far, near]), 1)):
        assert see(corners, (100, 100)).triangle[20, 20] == number


def test_pixels_are_shared_out_without_gap_between_neighbours() -> None:
    # Two triangles of a square of 80 pixels: each pixel centre inside belongs to one of them.
    corners = np.array([[[10.0, 10, 0], [90, 10, 0], [90, 90, 0]], [[10, 10, 0], [90, 90, 0], [10, 90, 0]]])
    seen = see(corners, (100, 100)).triangle
    assert (seen != NOTHING).sum() == 6400
    assert (seen[10:90, 10:90] != NOTHING).all()


@settings(max_examples=100, deadline=None)
@given(st.lists(st.tuples(st.floats(-50, 150), st.floats(-50, 150)), min_size=3, max_size=3))
def test_a_pixel_is_drawn_where_its_centre_lies_inside(points: list[tuple[float, float]]) -> None:
    a, b, c = (np.array(point) for point in points)
    seen = see(np.array([[[*a, 0.0], [*b, 0.0], [*c, 0.0]]]), (60, 60)).triangle == 0
    y, x = np.mgrid[0:60, 0:60] + 0.5
    sides = [(q[0] - p[0]) * (y - p[1]) - (q[1] - p[1]) * (x - p[0]) for p, q in ((a, b), (b, c), (c, a))]
    slack = 1e-6 * (1 + max(np.abs(side).max() for side in sides))
    well_inside = np.all([side > slack for side in sides], axis=0) | np.all([side < -slack for side in sides], axis=0)
    outside = np.any([side > slack for side in sides], axis=0) & np.any([side < -slack for side in sides], axis=0)
    assert seen[well_inside].all()
    assert not seen[outside].any()


@pytest.mark.parametrize("view", VIEWS)
def test_the_same_shape_gives_the_same_picture(view: str) -> None:
    assert picture_png(as_shape(bracket()), (120, 90), view) == picture_png(as_shape(bracket()), (120, 90), view)


def test_a_picture_has_its_size_shading_and_edges() -> None:
    picture = pixels(picture_png(as_shape(bracket())))
    assert picture.shape == (360, 480, 3)
    levels = np.unique(picture.reshape(-1, 3), axis=0)
    assert len(levels) > 20
    assert levels.min() < 60  # lines
    assert (picture[0] == 255).all()  # white paper around


@pytest.mark.parametrize(
    "mesh", [open_box(), inside_out(cube_with_hole()), two_shells(), (box(1, 1, 1)[0], box(1, 1, 1)[1][:1])]
)
def test_unsound_shapes_are_drawn_too(mesh: Mesh) -> None:
    assert drawn(picture_png(as_shape(mesh), (120, 90))).any()


def test_a_picture_holds_no_words_and_no_time() -> None:
    content = picture_png(as_shape(bracket()), (64, 64))
    assert not any(word in content for word in (b"tEXt", b"iTXt", b"zTXt", b"tIME", b"eXIf"))


def test_three_views_are_to_one_scale() -> None:
    sheet = drawn(three_views_png(as_shape(box(30, 20, 10)), (600, 600)))
    top, front, right = sheet[:300, :300], sheet[300:, :300], sheet[300:, 300:]
    assert top.any(axis=0).sum() == pytest.approx(front.any(axis=0).sum(), abs=1)
    assert front.any(axis=1).sum() == pytest.approx(right.any(axis=1).sum(), abs=1)
    assert top.any(axis=1).sum() == pytest.approx(right.any(axis=0).sum(), abs=1)


@pytest.mark.parametrize(("size", "view"), [((480, 360), "askew"), ((4, 360), "iso"), ((40_000, 40_000), "iso")])
def test_a_picture_that_cannot_be_is_refused(size: tuple[int, int], view: str) -> None:
    with pytest.raises(BadInput):
        picture_png(as_shape(bracket()), size, view)


@pytest.mark.slow
def test_a_part_of_eighty_thousand_triangles_is_drawn_in_two_seconds() -> None:
    shape = as_shape(icosphere(10.0, 6))
    start = time.process_time()
    picture_png(shape)
    assert time.process_time() - start < 2.0
