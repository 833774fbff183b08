"""Shrinkage and scale: how much bigger a part is printed so that it comes out of the furnace in size.

The linear shrinkage s is counted from the green size: s = (green - sintered) / green, so scale = green / sintered = 1
/ (1 - s). Counting from the sintered size instead ("1 + s") leaves the part too small by s squared, 3 % at s = 0.18.
"""

import math

from vault.errors import BadInput
from vault.model.base import Vector3
from vault.model.orientation import Orientation

LARGEST_SHRINKAGE = 0.5
"""Above this a number is a slip: a powder bed 50 to 60 % dense shrinks 15 to 20 % in length (common practice)."""


def scale_from_shrinkage(shrinkage: float) -> float:
    """Return green over sintered length, 1 / (1 - s), for a linear shrinkage s of the green size: 0.18, not 18.

    Negative shrinkage is growth. Checked against the textbook case 13.8 mm green to 12 mm: s 0.13043, scale 1.15.

    Raises:
        BadInput: s is not between -0.2 and 0.5; per cent typed as a fraction is the usual reason.
    """
    if not -0.2 <= shrinkage <= LARGEST_SHRINKAGE:
        hint = "; type 0.18 for 18 %" if 1 < shrinkage < 50 else ""
        raise BadInput(f"shrinkage {shrinkage} is outside -0.2 to {LARGEST_SHRINKAGE}{hint}")
    return 1.0 / (1.0 - shrinkage)


def shrinkage_from_scale(scale: float) -> float:
    """Return the linear shrinkage counted from the green size, 1 - 1 / scale.

    Raises:
        BadInput: The scale is not a positive number.
    """
    if not 0 < scale < math.inf:
        raise BadInput(f"scale {scale} is not above 0")
    return 1.0 - 1.0 / scale


def shrinkage_from_sizes(green_mm: float, sintered_mm: float) -> float:
    """Return the linear shrinkage (green - sintered) / green of one measured length.

    Raises:
        BadInput: A length is not above 0.
    """
    if not (0 < green_mm < math.inf and 0 < sintered_mm < math.inf):
        raise BadInput(f"lengths {green_mm} mm green and {sintered_mm} mm sintered must be above 0")
    return (green_mm - sintered_mm) / green_mm


def mean_scale_from_density(green_fraction: float, sintered_fraction: float) -> float:
    """Return the mean linear scale (rho_sintered / rho_green)^(1/3), from mass that stays while volume shrinks.

    Both densities relative to the pore-free metal, the green one of the metal alone (binder off), no infiltration. It
    says nothing about any one axis: real parts shrink more along the build direction.

    Raises:
        BadInput: A density is outside 0 to 1.02, or the sintered one is below the green one.
    """
    for fraction in (green_fraction, sintered_fraction):
        if not 0 < fraction <= 1.02:
            raise BadInput(f"relative density {fraction} is outside 0 to 1; type 0.97 for 97 %")
    if not sintered_fraction >= green_fraction:
        raise BadInput(f"the sintered density {sintered_fraction} is below the green density {green_fraction}")
    return float((sintered_fraction / green_fraction) ** (1 / 3))


def volume_scale(scale_xyz: Vector3) -> float:
    """Return green over sintered volume, the product of the three scales."""
    return math.prod(scale_xyz)


def green_size_mm(size_mm: Vector3, scale_xyz: Vector3, orientation: Orientation | None = None) -> Vector3:
    """Return the box of the green part, mm: turned into the print box first, then scaled along the box axes.

    `size_mm` is the part's own box as drawn; without an orientation it lies as drawn. At an angle this is an upper
    bound.

    Raises:
        BadInput: A size or a scale is not above 0.
    """
    for value in (*size_mm, *scale_xyz):
        if not 0 < value < math.inf:
            raise BadInput(f"sizes {size_mm} mm and scales {scale_xyz} must all be above 0")
    turned = (orientation or Orientation.as_drawn()).turned_size_mm(size_mm)
    x, y, z = (size * scale for size, scale in zip(turned, scale_xyz, strict=True))
    return (x, y, z)


def isotropy_gap(scale_xyz: Vector3) -> float:
    """Return the largest scale over the smallest, less 1: the share of a length that a wrong quarter turn costs."""
    return max(scale_xyz) / min(scale_xyz) - 1.0
