"""Powder of the demo: every blend with what went into it."""

from datetime import date

from demo_vault.scenario.facts import BlendFact

BLENDS = (
    BlendFact(
        "DEMO-STEEL-1/1", date(2023, 1, 16), (("supplier:ZZ-S-1101", 66.0),), 66.0, oxygen_ppm=1222.0, d50_um=11.1
    ),
    BlendFact(
        "DEMO-COBALT-4/1", date(2023, 1, 23), (("supplier:ZZ-C-4101", 22.0),), 22.0, oxygen_ppm=333.0, d50_um=11.1
    ),
    BlendFact("DEMO-INOX-2/1", date(2023, 1, 30), (("supplier:ZZ-X-2101", 66.0),), 66.0, oxygen_ppm=555.0, d50_um=11.1),
    BlendFact(
        "DEMO-STEEL-1/2",
        date(2023, 9, 4),
        (("DEMO-STEEL-1/1", 33.0), ("supplier:ZZ-S-1102", 33.0)),
        65.4,
        returned_from_run=True,
        oxygen_ppm=1333.0,
        d50_um=11.4,
    ),
    BlendFact(
        "DEMO-INOX-2/2",
        date(2024, 1, 22),
        (("DEMO-INOX-2/1", 30.0), ("supplier:ZZ-X-2102", 44.0)),
        73.1,
        returned_from_run=True,
        oxygen_ppm=611.0,
        d50_um=11.3,
    ),
    BlendFact(
        "DEMO-COBALT-4/2",
        date(2024, 2, 26),
        (("DEMO-COBALT-4/1", 9.0), ("supplier:ZZ-C-4102", 15.0)),
        23.7,
        returned_from_run=True,
        oxygen_ppm=388.0,
        d50_um=11.2,
    ),
    BlendFact(
        "DEMO-STEEL-1/3",
        date(2024, 6, 3),
        (("DEMO-STEEL-1/2", 28.0), ("supplier:ZZ-S-1103", 44.0)),
        71.2,
        returned_from_run=True,
        oxygen_ppm=1411.0,
        d50_um=11.5,
    ),
    BlendFact(
        "DEMO-INOX-2/3",
        date(2025, 3, 31),
        (("DEMO-INOX-2/2", 25.0), ("supplier:ZZ-X-2103", 44.0)),
        68.0,
        returned_from_run=True,
        oxygen_ppm=644.0,
        d50_um=11.4,
    ),
    BlendFact(
        "DEMO-STEEL-1/4",
        date(2025, 7, 7),
        (("DEMO-STEEL-1/3", 30.0), ("supplier:ZZ-S-1104", 55.0)),
        84.0,
        returned_from_run=True,
        oxygen_ppm=1444.0,
        d50_um=11.5,
    ),
    BlendFact(
        "DEMO-COBALT-4/3",
        date(2025, 6, 16),
        (("DEMO-COBALT-4/2", 11.0), ("supplier:ZZ-C-4103", 15.0)),
        25.6,
        returned_from_run=True,
        oxygen_ppm=411.0,
        d50_um=11.3,
    ),
    BlendFact(
        "DEMO-NICKEL-3/1", date(2026, 1, 19), (("supplier:ZZ-N-3101", 22.0),), 22.0, oxygen_ppm=222.0, d50_um=11.1
    ),
    BlendFact(
        "DEMO-INOX-2/4",
        date(2026, 2, 2),
        (("DEMO-INOX-2/3", 30.0), ("supplier:ZZ-X-2104", 55.0)),
        84.1,
        returned_from_run=True,
        oxygen_ppm=688.0,
        d50_um=11.5,
    ),
    BlendFact(
        "DEMO-COPPER-5/1", date(2026, 4, 27), (("supplier:ZZ-K-5101", 22.0),), 22.0, oxygen_ppm=333.0, d50_um=11.1
    ),
    BlendFact(
        "DEMO-STEEL-1/5",
        date(2026, 5, 4),
        (("DEMO-STEEL-1/4", 33.0), ("supplier:ZZ-S-1105", 55.0)),
        87.2,
        returned_from_run=True,
        oxygen_ppm=1488.0,
        d50_um=11.6,
    ),
    BlendFact(
        "DEMO-COPPER-5/2",
        date(2026, 9, 14),
        (("DEMO-COPPER-5/1", 14.0), ("supplier:ZZ-K-5102", 8.0)),
        21.8,
        returned_from_run=True,
        oxygen_ppm=411.0,
        d50_um=11.2,
    ),
)
"""In the order in which they were made. A supplier's lot is written supplier:<lot>."""
