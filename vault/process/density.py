"""Densities and masses of parts."""

import math

from vault.errors import BadInput

_HEAVIEST_G_CM3 = 25.0  # osmium, the densest metal, is 22.6


def mass_g(volume_mm3: float, density_g_cm3: float) -> float:
    """Return the mass of a closed body: m = rho V, with 1 cm3 = 1000 mm3; g.

    Raises:
        BadInput: The volume is not above 0, or the density is no density of a metal.
    """
    if not 0 < volume_mm3 < math.inf:
        raise BadInput(f"a body of {volume_mm3} mm3 has no mass; is its surface closed and facing outwards?")
    if not 0 < density_g_cm3 <= _HEAVIEST_G_CM3:
        raise BadInput(f"density {density_g_cm3} g/cm3 is outside 0 to {_HEAVIEST_G_CM3:g}; densities are in g/cm3")
    return volume_mm3 / 1000 * density_g_cm3


def relative_density(density_g_cm3: float, pore_free_g_cm3: float) -> float:
    """Return density as a fraction of the pore-free density of the metal.

    Raises:
        BadInput: A density is not above 0, or the body would be denser than pore-free by more than 2 %.
    """
    for density in (density_g_cm3, pore_free_g_cm3):
        if not 0 < density <= _HEAVIEST_G_CM3:
            raise BadInput(f"density {density} g/cm3 is outside 0 to {_HEAVIEST_G_CM3:g}; densities are in g/cm3")
    fraction = density_g_cm3 / pore_free_g_cm3
    if not fraction <= 1.02:  # sources for pore-free densities differ by about 1 % (common practice)
        both = f"{density_g_cm3} g/cm3 is above the pore-free {pore_free_g_cm3} g/cm3"
        raise BadInput(f"density {both}; is the material right?")
    return fraction
