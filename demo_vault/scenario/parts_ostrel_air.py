"""Ostrel Aerial Survey: parts that move air or heat."""

from datetime import date

from demo_vault.scenario.drawing import bore, look, outside, reamed, sheet, step
from demo_vault.scenario.facts import PartFact, RevisionFact

_JAREK = "Jarek Windmarsh"

FAN_WHEEL = PartFact(
    "P-A00010",
    "OSTREL",
    "OAS-20-330",
    "Wheel, avionics cooling fan",
    "AxialWheel",
    "DEMO-NICKEL-3",
    "flight",
    (
        RevisionFact("1", date(2026, 1, 26), "To see whether the blades print.", _JAREK, released=date(2026, 1, 28)),
        RevisionFact(
            "2",
            date(2026, 3, 2),
            "Trailing edges broke off in depowdering: blades thicker.",
            _JAREK,
            {"thick_share": 0.21},
            released=date(2026, 3, 4),
        ),
        RevisionFact(
            "3",
            date(2026, 4, 13),
            "Too noisy: 15 blades instead of 17.",
            _JAREK,
            {"blades": 15},
            released=date(2026, 4, 15),
        ),
        RevisionFact(
            "4",
            date(2026, 6, 8),
            "More pressure: stagger 28 to 33 degrees.",
            _JAREK,
            {"stagger_deg": 33.0},
            released=date(2026, 6, 10),
        ),
        RevisionFact(
            "5", date(2026, 10, 19), "Blades bend in sintering: ring around the tips.", _JAREK, {"tip_ring_mm": 1.6}
        ),
    ),
    sheet(
        outside("hub diameter", "hub_mm", "x"),
        reamed("bore", "bore_mm", 0.02),
        outside("hub height", "rim_mm", "z"),
        look("blades", "all blades complete, no bent tips by eye"),
    ),
    label_scheme="numbers",
    classified=False,
)

VANE_RING = PartFact(
    "P-A00014",
    "OSTREL",
    "OAS-20-377",
    "Vane ring, inlet",
    "GuideVaneRing",
    "DEMO-NICKEL-3",
    "ordinary",
    (
        RevisionFact("A", date(2026, 8, 3), "First issue.", _JAREK, released=date(2026, 8, 10)),
        RevisionFact(
            "B",
            date(2026, 9, 28),
            "Lean 30 to 36 degrees after the wind tunnel.",
            _JAREK,
            {"lean_deg": 36.0},
            file="stl text",
            released=date(2026, 10, 5),
        ),
    ),
    sheet(
        outside("outer band", "outer_mm", "x"),
        bore("inner band", "inner_mm"),
        outside("height", "height_mm", "z"),
        look("vanes", "all passages open"),
    ),
    drawing_number="OAS-20-377",
)

HEAT_SPREADER = PartFact(
    "P-A00012",
    "OSTREL",
    "OAS-20-355",
    "Heat spreader, radio module",
    "PinFinSpreader",
    "DEMO-COPPER-5",
    "ordinary",
    (
        RevisionFact(
            "A", date(2026, 2, 9), "First issue.", _JAREK, released=date(2026, 2, 16), accepted=date(2026, 3, 9)
        ),
        RevisionFact(
            "B",
            date(2026, 5, 25),
            "Hotter module: pins 10 to 13 mm.",
            _JAREK,
            {"pin_height_mm": 13.0},
            released=date(2026, 6, 1),
            accepted=date(2026, 6, 15),
        ),
    ),
    sheet(
        outside("side", "side_mm", "x"),
        step("base", "base_mm", "z", 0.15, key=True),
        bore("screw holes", "screw_mm"),
        look("contact pad", "flat within 0.05 mm on the surface plate"),
        look("pins", "all pins standing"),
    ),
    (("ramp", date(2026, 7, 6), "first article of rev B passed"),),
    drawing_number="OAS-20-355",
)

PARTS = (FAN_WHEEL, VANE_RING, HEAT_SPREADER)
