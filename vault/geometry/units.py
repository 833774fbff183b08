"""In which unit a shape file is drawn: said by the file, said by a person, or guessed in the open."""

from dataclasses import dataclass

from vault.errors import BadInput
from vault.geometry.mesh import ReadFile
from vault.units import UNIT_IN_MM, mm, parse_unit

GIVEN_BY_PERSON = "given by the person"

_SMALLEST_PLAUSIBLE_MM = 1.0  # common practice: printed metal parts are not smaller
_LARGEST_PLAUSIBLE_MM = 2000.0  # nor bigger than the biggest boxes
_LARGEST_IN_METRES = 0.1  # under this a part in inches would be under 2.54 mm


@dataclass(frozen=True)
class SettledUnit:
    """The unit of a file, why we think so, and what to tell the person."""

    unit: str
    basis: str
    mm_per_unit: float
    cautions: tuple[str, ...] = ()


def settle_unit(read: ReadFile, title: str, given: str | None, extent: float) -> SettledUnit:
    """Decide the unit of a file whose largest edge of the bounding box is `extent` in the file's unit.

    Raises:
        BadInput: The person's unit is not known or contradicts the file.
    """
    wanted = parse_unit(given) if given is not None else None
    if read.unit is not None:
        if wanted not in (None, read.unit):
            raise BadInput(f"is drawn in {read.unit} ({read.unit_basis}), not in {wanted}; leave the unit out")
        return SettledUnit(read.unit, read.unit_basis, read.mm_per_unit or UNIT_IN_MM[read.unit])
    already = read.mm_per_unit  # the reader took a unit for granted: millimetres
    if wanted is not None:
        return SettledUnit(wanted, GIVEN_BY_PERSON, UNIT_IN_MM[wanted] * (already or 1.0))
    if already is not None:
        basis = f"guessed: this {title} file states no unit, and millimetres are usual"
        return SettledUnit("mm", basis, already, (_caution(title, "mm", basis),))
    unit, basis = guess_unit(extent)
    return SettledUnit(unit, basis, UNIT_IN_MM[unit], (_caution(title, unit, basis),))


def _caution(title: str, unit: str, basis: str) -> str:
    return f"{title} files need not say their unit; {unit} was {basis}; say --unit to be sure"


def guess_unit(extent: float) -> tuple[str, str]:
    """Return a unit and the reason, from the largest size of a part in a file without unit.

    Millimetres unless the part would be smaller than any printed metal part or bigger than any box (common practice,
    ours).
    """
    if extent > _LARGEST_PLAUSIBLE_MM and extent / 1000 <= _LARGEST_PLAUSIBLE_MM:
        return "micron", f"guessed: in mm the part would be {mm(extent)} long, bigger than any box"
    if extent >= _SMALLEST_PLAUSIBLE_MM or extent <= 0:
        return "mm", f"guessed: in mm the part is {mm(extent)} long (in inch it would be {mm(extent * 25.4)})"
    unit = "m" if extent < _LARGEST_IN_METRES else "inch"
    size = mm(extent * UNIT_IN_MM[unit])
    return unit, f"guessed: in mm the part would be only {mm(extent, 6)} long, in {unit} it is {size}"
