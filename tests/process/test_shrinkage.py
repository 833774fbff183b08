"""Shrinkage and scale against published and computed values."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vault.errors import BadInput
from vault.model.orientation import Orientation
from vault.process.shrinkage import (
    green_size_mm,
    isotropy_gap,
    mean_scale_from_density,
    scale_from_shrinkage,
    shrinkage_from_scale,
    shrinkage_from_sizes,
    volume_scale,
)


def test_the_textbook_case() -> None:
    # A German textbook's example: 13.8 mm green, 12 mm sintered: "13 %", factor 1.15.
    shrinkage = shrinkage_from_sizes(13.8, 12.0)
    assert shrinkage == pytest.approx(0.13043, abs=5e-6)
    assert scale_from_shrinkage(shrinkage) == pytest.approx(1.15)


# s to 1 / (1 - s), to six decimals.
@pytest.mark.parametrize(
    ("shrinkage", "scale"),
    [
        (0.13, 1.149425),
        (0.15, 1.176471),
        (0.16, 1.190476),
        (0.175, 1.212121),
        (0.18, 1.219512),
        (0.20, 1.25),
        (0.0, 1.0),
    ],
)
def test_scale_is_one_by_one_minus_s(shrinkage: float, scale: float) -> None:
    assert scale_from_shrinkage(shrinkage) == pytest.approx(scale, abs=5e-7)
    assert shrinkage_from_scale(scale) == pytest.approx(shrinkage, abs=5e-7)


# What "1 + s" would cost, in per cent of a length: s squared.
@pytest.mark.parametrize(
    ("shrinkage", "lost"), [(0.13, 1.69), (0.15, 2.25), (0.16, 2.56), (0.175, 3.06), (0.18, 3.24), (0.2, 4.0)]
)
def test_one_plus_s_would_leave_the_part_small_by_s_squared(shrinkage: float, lost: float) -> None:
    assert (1 - (1 + shrinkage) / scale_from_shrinkage(shrinkage)) * 100 == pytest.approx(lost, abs=0.005)


# Relative densities green and sintered to shrinkage and scale, from mass that stays.
@pytest.mark.parametrize(
    ("green", "sintered", "shrinkage", "scale"),
    [
        (0.55, 0.98, 0.175143, 1.212331),
        (0.60, 0.97, 0.147960, 1.173654),
        (0.50, 0.98, 0.200936, 1.251465),
        (0.60, 1.0, 0.156567, 1.185631),
    ],
)
def test_mean_scale_follows_from_the_densities(green: float, sintered: float, shrinkage: float, scale: float) -> None:
    mean = mean_scale_from_density(green, sintered)
    assert mean == pytest.approx(scale, abs=5e-7)
    assert shrinkage_from_scale(mean) == pytest.approx(shrinkage, abs=5e-7)


def test_the_anisotropic_case() -> None:
    # Shrinkages .175, .177, .184: scales 1.212121, 1.215067, 1.225490; sintered over green volume .5540436.
    x, y, z = (scale_from_shrinkage(s) for s in (0.175, 0.177, 0.184))
    assert (x, y, z) == pytest.approx((1.212121, 1.215067, 1.225490), abs=5e-7)
    assert 1 / volume_scale((x, y, z)) == pytest.approx(0.5540436, abs=5e-8)
    assert green_size_mm((30, 20, 10), (x, y, z)) == pytest.approx((36.3636, 24.3013, 12.2549), abs=5e-5)
    assert isotropy_gap((x, y, z)) == pytest.approx(1.225490 / 1.212121 - 1, abs=1e-6)


def test_the_part_is_turned_before_it_is_scaled() -> None:
    upright = Orientation.named("+y+z+x")  # the part's x stands up
    assert green_size_mm((60.0, 20.0, 10.0), (1.1, 1.2, 1.3), upright) == pytest.approx((22.0, 12.0, 78.0))


@given(st.floats(-0.2, 0.5))
def test_shrinkage_and_scale_undo_each_other(shrinkage: float) -> None:
    assert shrinkage_from_scale(scale_from_shrinkage(shrinkage)) == pytest.approx(shrinkage, abs=1e-12)


@pytest.mark.parametrize("shrinkage", [18.0, 0.51, -0.21, math.nan, math.inf, 1.0])
def test_a_shrinkage_that_cannot_be_is_refused(shrinkage: float) -> None:
    with pytest.raises(BadInput, match="shrinkage"):
        scale_from_shrinkage(shrinkage)


def test_per_cent_typed_as_a_fraction_gets_a_hint() -> None:
    with pytest.raises(BadInput, match=r"type 0\.18 for 18 %"):
        scale_from_shrinkage(18.0)


@pytest.mark.parametrize(("green", "sintered"), [(0.0, 0.98), (0.6, 0.5), (math.nan, 0.98), (0.6, 97.0)])
def test_densities_that_cannot_be_are_refused(green: float, sintered: float) -> None:
    with pytest.raises(BadInput, match="density"):
        mean_scale_from_density(green, sintered)


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf])
def test_lengths_and_scales_must_be_above_nothing(bad: float) -> None:
    for call in (
        lambda: shrinkage_from_sizes(bad, 12.0),
        lambda: shrinkage_from_scale(bad),
        lambda: green_size_mm((30, bad, 10), (1.2, 1.2, 1.2)),
        lambda: green_size_mm((30, 20, 10), (1.2, 1.2, bad)),
    ):
        with pytest.raises(BadInput):
            call()
