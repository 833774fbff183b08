"""Short words for the balloons of a drawing, with the general tolerances that a drawing falls back on."""

from dataclasses import replace

from demo_vault.scenario.facts import CharacteristicFact

GENERAL_MM = ((3.0, 0.1), (6.0, 0.1), (30.0, 0.2), (120.0, 0.3), (400.0, 0.5))
"""ISO 2768-1:1989, linear dimensions, class m: up to this size, plus or minus this. From memory."""

CALLIPER, MICROMETER, BORE_GAUGE, CMM, MICROSCOPE, HEIGHT = "CAL-03", "MIC-11", "BOR-02", "CMM-01", "OPT-07", "HGT-05"


def general_mm(nominal_mm: float) -> float:
    """Return the general tolerance of a size. Raises ValueError above 400 mm."""
    for up_to, tolerance in GENERAL_MM:
        if nominal_mm <= up_to:
            return tolerance
    raise ValueError(f"no general tolerance for {nominal_mm} mm")


def outside(
    name: str, dimension: str, axis: str, tolerance: float | None = None, key: bool = False
) -> CharacteristicFact:
    """An outside size along an axis of the part."""
    gauge = MICROMETER if tolerance is not None and tolerance <= 0.06 else CALLIPER
    return CharacteristicFact("", name, dimension, tolerance, key, axis, "external", gauge=gauge)


def bore(name: str, dimension: str, tolerance: float | None = None, key: bool = False) -> CharacteristicFact:
    """A hole as sintered."""
    return CharacteristicFact("", name, dimension, tolerance, key, "none", "internal", gauge=MICROSCOPE)


def reamed(name: str, dimension: str, tolerance: float, key: bool = True) -> CharacteristicFact:
    """A hole that is reamed or honed after sintering."""
    return CharacteristicFact("", name, dimension, tolerance, key, "none", "internal", "finished", BORE_GAUGE)


def pitch(
    name: str, dimension: str, axis: str, tolerance: float | None = None, key: bool = False
) -> CharacteristicFact:
    """A distance between centres."""
    return CharacteristicFact("", name, dimension, tolerance, key, axis, "centre distance", gauge=CMM)


def step(name: str, dimension: str, axis: str, tolerance: float | None = None, key: bool = False) -> CharacteristicFact:
    """A height or depth from face to face."""
    return CharacteristicFact("", name, dimension, tolerance, key, axis, "step", gauge=CMM if key else HEIGHT)


def look(name: str, requirement: str, state: str = "finished") -> CharacteristicFact:
    """A note that is accepted or rejected."""
    return CharacteristicFact("", name, measured_in=state, requirement=requirement)


def sheet(*balloons: CharacteristicFact) -> tuple[CharacteristicFact, ...]:
    """Number the balloons of one drawing from 1."""
    return tuple(replace(balloon, number=str(number)) for number, balloon in enumerate(balloons, start=1))


NO_CRACKS = look("surface", "no cracks, blisters or unsintered spots at 10x")
DEBURRED = look("edges", "free of loose powder and burrs")
CLEAN_PASSAGES = look("passages", "all passages open; a pin of 80 % of the bore drops through")
MARKED = look("marking", "part number and revision legible on the tag of every bag")
