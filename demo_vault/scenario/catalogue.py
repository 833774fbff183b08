"""All parts of the demo, by the shop's number."""

from collections.abc import Mapping

from demo_vault.scenario import (
    parts_calyx,
    parts_grubbin,
    parts_marrow,
    parts_marrow_lines,
    parts_ostrel,
    parts_ostrel_air,
    parts_windle,
)
from demo_vault.scenario.facts import PartFact

PARTS: tuple[PartFact, ...] = (
    *parts_marrow.PARTS,
    *parts_marrow_lines.PARTS,
    *parts_ostrel.PARTS,
    *parts_ostrel_air.PARTS,
    *parts_windle.PARTS,
    *parts_calyx.PARTS,
    *parts_grubbin.PARTS,
)

BY_NUMBER: Mapping[str, PartFact] = {part.number: part for part in PARTS}


def part(number: str) -> PartFact:
    """Return the part with the shop's number. Raises KeyError where there is none."""
    return BY_NUMBER[number]
