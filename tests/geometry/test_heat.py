"""Pictures of differences: grey where nothing changed, orange where the part grew, blue where it shrank."""

import io

import numpy as np
import pytest
from PIL import Image

from tests.shapes import as_shape, box, bracket
from vault.errors import BadInput
from vault.geometry.heat import BANDS, band_limits, compare_picture_png

PLATE = as_shape(box(30, 20, 10))


def middle_colour(newer_height_mm: float) -> np.ndarray:
    """The colour in the middle of the top of a plate of 10 mm that now has another height."""
    newer = as_shape(box(30, 20, newer_height_mm))
    picture = Image.open(io.BytesIO(compare_picture_png(PLATE, newer, 1.0, 0.01, (400, 300), "top"))).convert("RGB")
    return np.asarray(picture)[150, 160].astype(int)


def test_what_grew_is_orange_what_shrank_is_blue_and_the_rest_is_grey() -> None:
    grown, shrunk, same = middle_colour(11.0), middle_colour(9.0), middle_colour(10.0)
    assert grown[0] > grown[2] + 40
    assert shrunk[2] > shrunk[0] + 40
    assert np.ptp(same) < 15


def test_more_is_darker() -> None:
    assert middle_colour(12.0).sum() < middle_colour(10.1).sum()


def test_bands_lie_evenly_about_zero() -> None:
    limits = band_limits(1.0, 0.2)
    assert len(limits) == 2 * BANDS
    assert limits == pytest.approx(-limits[::-1])
    assert limits[BANDS:] == pytest.approx([0.2, 0.4, 0.6, 0.8])


@pytest.mark.parametrize(("range_mm", "dead_mm"), [(0.0, 0.0), (0.001, 0.5), (1e6, 0.0)])
def test_bands_rise_whatever_the_range(range_mm: float, dead_mm: float) -> None:
    assert (np.diff(band_limits(range_mm, dead_mm)) > 0).all()


def test_the_same_pair_gives_the_same_picture() -> None:
    pair = (as_shape(bracket()), as_shape(bracket(hole_mm=6.4)), 0.5, 0.01, (160, 120))
    assert compare_picture_png(*pair) == compare_picture_png(*pair)


def test_a_view_that_is_not_known_is_refused() -> None:
    with pytest.raises(BadInput, match="askew"):
        compare_picture_png(PLATE, PLATE, 1.0, 0.01, view="askew")
