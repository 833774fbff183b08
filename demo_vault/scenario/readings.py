"""What the inspectors wrote down: readings on pieces, drawn from a generator that the lot's key seeds.

The pieces behave as sintered metal does: each part is off by a little along each axis, each lot by a little more,
outside sizes grow and holes shrink by what the binder bleeds, machined sizes do neither. The amounts are invented.
"""

from dataclasses import dataclass
from datetime import date
from random import Random

from demo_vault.scenario.campaigns import MEASURED_AFTER, campaign_of
from demo_vault.scenario.catalogue import part
from demo_vault.scenario.drawing import general_mm
from demo_vault.scenario.facts import CharacteristicFact, LotFact, PartFact
from demo_vault.scenario.shop import GAUGES, MATERIALS

_PART_SHARE = 0.0006
_LOT_SHARE = 0.0004
_PIECE_SHARE = 0.0006
_BLEED_MM = 0.012  # per face
_GAUGE_MM = 0.004
_MACHINED_OF_TOLERANCE = 0.15


@dataclass(frozen=True)
class ReadingFact:
    """One reading: a number in mm, or accepted or not."""

    characteristic: str
    piece: str
    measured_in: str
    gauge: str | None
    value_mm: float | None = None
    accepted: bool | None = None


@dataclass(frozen=True)
class WeighingFact:
    """A piece weighed in air and in water, pores sealed."""

    piece: str
    mass_in_air_g: float
    mass_in_water_g: float
    water_c: float


def limits_mm(fact: PartFact, label: str, balloon: CharacteristicFact) -> tuple[float, float, float]:
    """Return nominal, lower and upper limit of a dimension at a revision. Raises ValueError for a note."""
    nominal = fact.nominal_mm(label, balloon)
    if nominal is None:
        raise ValueError(f"{fact.number} {balloon.number} is a note")
    tolerance = balloon.tolerance_mm if balloon.tolerance_mm is not None else general_mm(nominal)
    return nominal, round(nominal - tolerance, 4), round(nominal + tolerance, 4)


def measured_on(lot: LotFact) -> date:
    """Return the day on which a lot was measured."""
    return campaign_of(lot.key).printed + MEASURED_AFTER


def readings(lot: LotFact) -> tuple[ReadingFact, ...]:
    """Return all readings on the measured pieces of a lot, characteristic by characteristic."""
    fact = part(lot.part)
    taken: list[ReadingFact] = []
    for balloon in fact.drawing:
        pieces = [str(number) for number in range(1, lot.measured + 1)]
        if balloon.dimension is None:
            state, gauge = balloon.measured_in, balloon.gauge
            taken.extend(ReadingFact(balloon.number, piece, state, gauge, accepted=True) for piece in pieces)
            continue
        sizes = _sizes_mm(fact, lot, balloon)
        taken.extend(
            ReadingFact(balloon.number, piece, balloon.measured_in, balloon.gauge, value_mm=size)
            for piece, size in zip(pieces, sizes, strict=True)
        )
    return tuple(taken)


def _sizes_mm(fact: PartFact, lot: LotFact, balloon: CharacteristicFact) -> list[float]:
    """Draw the sizes of one dimension on every measured piece."""
    nominal, lower, upper = limits_mm(fact, lot.label, balloon)
    draw = Random(f"readings of {lot.key} {balloon.number}")
    resolution = next(gauge.resolution_mm or 0.01 for gauge in GAUGES if gauge.id == balloon.gauge)
    off = lot.faults.get(balloon.number, 0.0)
    if balloon.measured_in == "finished":
        spread = (upper - lower) / 2.0 * _MACHINED_OF_TOLERANCE
        centre = nominal + draw.gauss(0.0, spread / 3.0) + off
    else:
        axis = Random(f"{fact.number} {balloon.direction}").gauss(0.0, _PART_SHARE)
        of_lot = Random(f"{lot.key} along {balloon.direction}").gauss(0.0, _LOT_SHARE)
        bleed = {"external": 2.0, "internal": -2.0}.get(balloon.feature, 0.0) * _BLEED_MM
        spread = nominal * _PIECE_SHARE + _GAUGE_MM
        centre = nominal * (1.0 + axis + of_lot) + bleed + off
    digits = 3 if resolution < 0.01 else 2
    return [round(round(draw.gauss(centre, spread) / resolution) * resolution, digits) for _ in range(lot.measured)]


def weighings(lot: LotFact) -> tuple[WeighingFact, ...]:
    """Return the density weighings of a lot: three pieces, by the volume of the design and a drawn density."""
    fact = part(lot.part)
    volume_cm3 = fact.design_at(lot.label).solid().volume() / 1000.0
    full = next(grade.reference_density_g_cm3 for grade in MATERIALS if grade.id == fact.material)
    draw = Random(f"density of {lot.key}")
    water_c, water_g_cm3 = 21.0, 0.9980
    taken = []
    for number in range(1, 4):
        density = full * draw.gauss(0.982, 0.0015)
        air = volume_cm3 * density
        taken.append(WeighingFact(str(number), round(air, 3), round(air - volume_cm3 * water_g_cm3, 3), water_c))
    return tuple(taken)
