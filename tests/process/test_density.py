"""Masses and densities."""

import math

import pytest

from vault.errors import BadInput
from vault.process.density import mass_g, relative_density


def test_mass_is_density_times_volume() -> None:
    # 316L at 7.9 g/cm3 (the usual handbook value, from memory): 6 cm3 weigh 47.4 g.
    assert mass_g(6000.0, 7.9) == pytest.approx(47.4)


@pytest.mark.parametrize("volume", [0.0, -1.0, math.nan, math.inf])
def test_a_body_without_a_volume_has_no_mass(volume: float) -> None:
    with pytest.raises(BadInput, match="surface closed"):
        mass_g(volume, 7.9)


@pytest.mark.parametrize("density", [0.0, -7.9, 7900.0, math.nan])
def test_a_density_in_another_unit_is_refused(density: float) -> None:
    with pytest.raises(BadInput, match="g/cm3"):
        mass_g(1000.0, density)


def test_relative_density_is_the_share_of_the_pore_free_metal() -> None:
    assert relative_density(7.663, 7.9) == pytest.approx(0.97)


@pytest.mark.parametrize(("density", "pore_free"), [(8.2, 7.9), (0.0, 7.9), (7.7, math.nan)])
def test_a_body_denser_than_its_metal_is_refused(density: float, pore_free: float) -> None:
    with pytest.raises(BadInput, match="density"):
        relative_density(density, pore_free)
