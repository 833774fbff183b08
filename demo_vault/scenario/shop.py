"""The invented shop: its people, machines, furnaces, gauges and grades.

Every number of the process is made of one repeated digit (777 C, 55 um, 66.6 %), so that nobody takes it for a recipe.
"""

from dataclasses import dataclass
from datetime import date

NAME = "Quernholt Sinterhouse"
TODAY = date(2026, 11, 20)
"""The demo's clock stands still on this day."""

WATERMARK = "DEMO: invented settings, do not sinter"
SITE = "Quernholt yard"


@dataclass(frozen=True)
class PersonFact:
    """Somebody in the shop."""

    handle: str
    name: str
    roles: tuple[str, ...]


PEOPLE = (
    PersonFact("hesper", "Hesper Dunnockley", ("owner", "engineer")),
    PersonFact("ivo", "Ivo Larkspindle", ("engineer",)),
    PersonFact("sanna", "Sanna Brockenfell", ("engineer",)),
    PersonFact("maren", "Maren Tollwick", ("quality",)),
    PersonFact("pim", "Pim Osketh", ("clerk", "desk")),
    PersonFact("tove", "Tove Quillander", ("clerk",)),
)


@dataclass(frozen=True)
class MaterialFact:
    """An invented grade. Its densities are round numbers that no alloy has."""

    id: str
    name: str
    family: str
    reference_density_g_cm3: float
    sintered_density_g_cm3: float
    contains_nickel: str
    oxygen_max_ppm: float
    carbon_max_ppm: float
    reuse_max: int


MATERIALS = (
    MaterialFact("DEMO-STEEL-1", "invented hardenable steel", "steel", 7.77, 7.66, "no", 2222.0, 888.0, 12),
    MaterialFact("DEMO-INOX-2", "invented stainless steel", "stainless steel", 7.99, 7.88, "yes", 1111.0, 333.0, 12),
    MaterialFact("DEMO-NICKEL-3", "invented nickel alloy", "nickel alloy", 8.22, 8.11, "yes", 555.0, 444.0, 8),
    MaterialFact("DEMO-COBALT-4", "invented cobalt alloy", "cobalt alloy", 8.44, 8.33, "no", 666.0, 333.0, 6),
    MaterialFact("DEMO-COPPER-5", "invented copper", "copper", 8.88, 8.66, "no", 777.0, 222.0, 6),
)
DENSITY_SOURCE = "invented for the demo; no alloy has this density"


@dataclass(frozen=True)
class BoxFact:
    """A build volume."""

    id: str
    name: str
    size_mm: tuple[float, float, float]
    layer_s: float


@dataclass(frozen=True)
class MachineFact:
    """A printer."""

    id: str
    name: str
    boxes: tuple[str, ...]
    materials: tuple[str, ...]
    firmware: str


BOXES = (
    BoxFact("box-tall", "tall box", (333.0, 222.0, 188.0), 33.0),
    BoxFact("box-flat", "flat box", (333.0, 222.0, 88.0), 33.0),
    BoxFact("box-small", "small box", (222.0, 155.0, 111.0), 22.0),
)
MACHINES = (
    MachineFact("jet-1", "big jet for steel", ("box-tall", "box-flat"), ("DEMO-STEEL-1",), "demo-7.7"),
    MachineFact("jet-2", "little jet for cobalt", ("box-small",), ("DEMO-COBALT-4",), "demo-4.4"),
    MachineFact("jet-3", "big jet for stainless", ("box-tall", "box-flat"), ("DEMO-INOX-2",), "demo-7.7"),
    MachineFact("jet-4", "bench jet", ("box-small",), ("DEMO-NICKEL-3", "DEMO-COPPER-5"), "demo-4.4"),
)


@dataclass(frozen=True)
class FurnaceFact:
    """A furnace."""

    id: str
    name: str
    max_c: float
    hot_zone_mm: tuple[float, float, float]
    trays: int
    metal_limit_kg: float
    binder_limit_kg: float
    atmospheres: tuple[str, ...]


FURNACES = (
    FurnaceFact("kiln-a", "batch furnace A", 1444.0, (333.0, 222.0, 222.0), 6, 44.0, 1.1, ("argon", "forming gas")),
    FurnaceFact("kiln-b", "vacuum furnace B", 1444.0, (222.0, 222.0, 222.0), 5, 22.0, 0.66, ("vacuum", "argon")),
)


@dataclass(frozen=True)
class GaugeFact:
    """A gauge with its calibration and, where one was made, its gauge study."""

    id: str
    name: str
    resolution_mm: float | None
    uncertainty_mm: float | None
    calibrated: date
    due: date
    certificate: str
    study_percent: float | None = None
    study_on: date | None = None

    @property
    def calibrations(self) -> tuple[tuple[date, date], ...]:
        """When it was calibrated and until when that held, year by year since 2022, oldest first."""
        years = range(2022, self.calibrated.year + 1)
        return tuple((self.calibrated.replace(year=year), self.due.replace(year=year + 1)) for year in years)


GAUGES = (
    GaugeFact(
        "CAL-03", "calliper 150 mm", 0.01, 0.02, date(2026, 3, 9), date(2027, 3, 9), "QS-K-2611", 18.0, date(2025, 4, 2)
    ),
    GaugeFact(
        "MIC-11",
        "micrometer 0 to 25 mm",
        0.001,
        0.003,
        date(2026, 5, 18),
        date(2027, 5, 18),
        "QS-K-2624",
        9.0,
        date(2025, 4, 3),
    ),
    GaugeFact(
        "BOR-02",
        "bore gauge 6 to 20 mm",
        0.001,
        0.003,
        date(2026, 6, 2),
        date(2027, 6, 2),
        "QS-K-2630",
        11.0,
        date(2025, 4, 8),
    ),
    GaugeFact(
        "CMM-01",
        "coordinate measuring machine",
        0.001,
        0.004,
        date(2026, 1, 22),
        date(2027, 1, 22),
        "QS-K-2603",
        6.0,
        date(2025, 2, 12),
    ),
    GaugeFact(
        "OPT-07",
        "measuring microscope",
        0.001,
        0.003,
        date(2026, 2, 16),
        date(2027, 2, 16),
        "QS-K-2608",
        14.0,
        date(2025, 4, 9),
    ),
    GaugeFact("HGT-05", "height gauge 300 mm", 0.01, 0.015, date(2025, 9, 15), date(2026, 9, 15), "QS-K-2544"),
)
"""HGT-05 has been out of calibration since 2026-09-15, and nobody has studied it."""

RATES = {
    "currency": "EUR",
    "printer_hour_cents": 2200,
    "furnace_load_cents": 33000,
    "labour_hour_cents": 5500,
    "powder_kg_cents": 4400,
    "binder_litre_cents": 6600,
}


@dataclass(frozen=True)
class ServiceFact:
    """Something that was done to a machine, furnace or gauge."""

    equipment: str
    what: str
    effect: str
    on: date
    new_material: str | None = None


SERVICES = (
    ServiceFact("jet-1", "print head wiped and nozzles counted", "routine", date(2025, 2, 3)),
    ServiceFact("jet-3", "roller exchanged", "affects quality", date(2025, 6, 16)),
    ServiceFact("kiln-a", "thermocouples 2 and 3 exchanged, survey repeated", "affects quality", date(2026, 1, 12)),
    ServiceFact("jet-4", "cleaned out, first filled with nickel", "clean-out", date(2026, 1, 19), "DEMO-NICKEL-3"),
    ServiceFact("jet-4", "cleaned out for copper", "clean-out", date(2026, 4, 27), "DEMO-COPPER-5"),
    ServiceFact("jet-4", "cleaned out for nickel", "clean-out", date(2026, 7, 27), "DEMO-NICKEL-3"),
    ServiceFact("kiln-b", "pump oil exchanged", "routine", date(2026, 8, 10)),
    ServiceFact("jet-4", "cleaned out for copper", "clean-out", date(2026, 9, 14), "DEMO-COPPER-5"),
)
