"""Density by weighing in air and in water (Archimedes), with the water's temperature and the buoyancy of air."""

from vault.errors import BadInput

AIR_G_CM3 = 0.0012
"""Density of air in a room at sea level; it changes the result by about 0.1 %."""


def water_density_g_cm3(water_c: float) -> float:
    """Return the density of air-free water at 1 atm, g/cm3, for 0 to 40 C.

    Source: M. Tanaka et al., "Recommended table for the density of water between 0 C and 40 C based on recent
    experimental reports", Metrologia 38 (2001) 301-309, coefficients as reproduced second-hand.

    Raises:
        BadInput: The temperature is outside 0 to 40 C.
    """
    if not 0 <= water_c <= 40:
        raise BadInput(f"water of {water_c} C is outside 0 to 40 C; the formula for its density holds only there")
    numerator = (water_c - 3.983035) ** 2 * (water_c + 301.797)
    return 0.999974950 * (1 - numerator / (522528.9 * (water_c + 69.34881)))


def archimedes_density_g_cm3(
    mass_in_air_g: float, mass_in_water_g: float, water_c: float, air_g_cm3: float = AIR_G_CM3
) -> float:
    """Return the density of a piece: m_air (rho_water - rho_air) / (m_air - m_water) + rho_air, g/cm3.

    Without air (`air_g_cm3=0`) this is the formula of ASTM B962 and ISO 3369 (from memory): m_air rho_water / (m_air -
    m_water). Pores that are open to the surface and not sealed fill with water and make the reading too high.

    Raises:
        BadInput: A mass is not above 0, or the piece weighs no less in water than in air.
    """
    if not 0 < mass_in_water_g < mass_in_air_g:
        raise BadInput(
            f"{mass_in_air_g} g in air and {mass_in_water_g} g in water: a metal piece weighs less in water, and "
            "more than nothing"
        )
    water = water_density_g_cm3(water_c)
    return mass_in_air_g * (water - air_g_cm3) / (mass_in_air_g - mass_in_water_g) + air_g_cm3
