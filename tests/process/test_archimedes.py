"""Density by weighing in water, against published densities of water and a worked example."""

import math

import pytest

from vault.errors import BadInput
from vault.process.archimedes import archimedes_density_g_cm3, water_density_g_cm3

# Tanaka et al., Metrologia 38 (2001) 301-309, kg/m3, as tabulated second-hand.
TANAKA = {15: 999.1026, 18: 998.5984, 20: 998.2067, 22: 997.7730, 25: 997.0470, 28: 996.2353, 30: 995.6488}


@pytest.mark.parametrize(("water_c", "published"), TANAKA.items())
def test_water_is_as_dense_as_published(water_c, published):
    assert water_density_g_cm3(water_c) * 1000 == pytest.approx(published, abs=6e-5)


def test_a_piece_is_as_dense_as_the_worked_example_says():
    # Computed by hand from the published formula: 25.000 g in air, 21.750 g in water of 22 C.
    assert archimedes_density_g_cm3(25.0, 21.75, 22.0, air_g_cm3=0.0) == pytest.approx(7.675177, abs=5e-7)
    assert archimedes_density_g_cm3(25.0, 21.75, 22.0) == pytest.approx(7.667146, abs=5e-7)


def test_the_temperature_of_the_water_counts():
    # Water taken as 1 g/cm3 would give 7.692308, which is 0.22 % too high.
    assert archimedes_density_g_cm3(25.0, 21.75, 22.0, air_g_cm3=0.0) == pytest.approx(7.692308 * 0.997773, abs=1e-5)


@pytest.mark.parametrize("water_c", [-0.1, 40.1, math.nan])
def test_water_outside_the_formula_is_refused(water_c):
    with pytest.raises(BadInput, match="outside 0 to 40 C"):
        water_density_g_cm3(water_c)


@pytest.mark.parametrize(
    ("in_air_g", "in_water_g"), [(21.75, 25.0), (25.0, 25.0), (25.0, 0.0), (math.nan, 21.0), (25.0, math.nan)]
)
def test_a_piece_that_floats_or_weighs_nothing_is_refused(in_air_g, in_water_g):
    with pytest.raises(BadInput, match="weighs less in water"):
        archimedes_density_g_cm3(in_air_g, in_water_g, 22.0)
