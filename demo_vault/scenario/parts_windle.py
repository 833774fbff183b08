"""Windlestraw Cycles: sprockets, clamps and joints for cargo bicycles, with plain revision numbers."""

from datetime import date

from demo_vault.scenario.drawing import DEBURRED, MARKED, NO_CRACKS, bore, look, outside, pitch, reamed, sheet, step
from demo_vault.scenario.facts import PartFact, RevisionFact

_RUFUS = "Rufus Tanglewick"

SPROCKET = PartFact(
    "P-A00015",
    "WINDLE",
    "7781",
    "Sprocket, 19 teeth",
    "ChainSprocket",
    "DEMO-STEEL-1",
    "ordinary",
    (
        RevisionFact("1", date(2023, 3, 6), "First issue.", _RUFUS, released=date(2023, 3, 13)),
        RevisionFact(
            "2",
            date(2023, 7, 17),
            "Chain climbs when dirty: seats 0.2 mm larger.",
            _RUFUS,
            {"roller_mm": 3.5},
            released=date(2023, 7, 24),
            accepted=date(2023, 8, 1),
        ),
        RevisionFact(
            "3",
            date(2024, 2, 5),
            "Hub comes with splines now, no key.",
            _RUFUS,
            {"spline_teeth": 8},
            released=date(2024, 2, 12),
            accepted=date(2024, 2, 26),
        ),
        RevisionFact(
            "4",
            date(2025, 11, 3),
            "Heavier riders: 3.6 mm thick.",
            _RUFUS,
            {"thick_mm": 3.6},
            released=date(2025, 11, 10),
            accepted=date(2025, 11, 24),
        ),
    ),
    sheet(
        step("tooth width", "thick_mm", "z", 0.12, key=True),
        bore("bore", "bore_mm", 0.15, key=True),
        pitch("screw circle", "screw_circle_mm", "x"),
        outside("hub", "hub_mm", "x"),
        DEBURRED,
        MARKED,
    ),
    (
        ("ramp", date(2023, 8, 28), "first article of rev 2 passed"),
        ("production", date(2024, 5, 13), "capability shown over three lots"),
    ),
    label_scheme="numbers",
    finish="black oxide",
    gate="capability bound",
)

CALIPER = PartFact(
    "P-A00016",
    "WINDLE",
    "7790",
    "Caliper bridge, parking brake",
    "CaliperBridge",
    "DEMO-STEEL-1",
    "otherwise safety-critical",
    (
        RevisionFact("1", date(2025, 4, 7), "First issue.", _RUFUS, released=date(2025, 4, 14)),
        RevisionFact(
            "2",
            date(2025, 9, 1),
            "Bridge opens 0.1 mm under load: crown 8 to 10 mm.",
            _RUFUS,
            {"crown_mm": 10.0, "height_mm": 36.0},
            released=date(2025, 9, 8),
            accepted=date(2025, 9, 29),
        ),
        RevisionFact(
            "3",
            date(2026, 8, 17),
            "Piston of the other supplier: 18 to 17 mm.",
            _RUFUS,
            {"piston_mm": 17.0},
            released=date(2026, 8, 24),
            accepted=date(2026, 9, 7),
        ),
    ),
    sheet(
        outside("length over ears", "length_mm", "x"),
        step("disc gap", "gap_mm", "y", 0.15, key=True),
        reamed("piston bores", "piston_mm", 0.02),
        outside("height", "height_mm", "z"),
        NO_CRACKS,
        look("proof load", "no set after the drawing's proof load, one piece of every lot"),
    ),
    (("ramp", date(2025, 11, 10), "first article of rev 2 passed"),),
    label_scheme="numbers",
    orientation="+x+z-y",
)

TUBE_CLAMP = PartFact(
    "P-A00017",
    "WINDLE",
    "7802",
    "Clamp, frame tube 22",
    "TubeClamp",
    "DEMO-STEEL-1",
    "ordinary",
    (
        RevisionFact(
            "1", date(2023, 5, 8), "First issue.", _RUFUS, released=date(2023, 5, 15), accepted=date(2023, 5, 30)
        ),
        RevisionFact(
            "2",
            date(2024, 4, 8),
            "Scratches the tube: groove for a liner.",
            _RUFUS,
            {"liner_groove": True},
            released=date(2024, 4, 15),
            accepted=date(2024, 4, 29),
        ),
        RevisionFact(
            "3",
            date(2025, 7, 21),
            "Tube of the new frame is 22.8 mm.",
            _RUFUS,
            {"bore_mm": 22.8},
            released=date(2025, 7, 28),
            accepted=date(2025, 8, 11),
        ),
    ),
    sheet(
        bore("tube bore", "bore_mm", 0.2, key=True),
        step("slit", "slit_mm", "x"),
        outside("width", "width_mm", "y"),
        outside("foot", "foot_mm", "x"),
        DEBURRED,
    ),
    (
        ("ramp", date(2023, 7, 3), "first article passed"),
        ("production", date(2024, 9, 23), "capability shown over three lots"),
    ),
    label_scheme="numbers",
    orientation="+x+z-y",
    finish="black oxide",
    gate="capability bound",
)

DRIVE_YOKE = PartFact(
    "P-A00018",
    "WINDLE",
    "7815",
    "Yoke, drive shaft",
    "JointYoke",
    "DEMO-STEEL-1",
    "ordinary",
    (
        RevisionFact("1", date(2025, 5, 19), "First issue.", _RUFUS, file="obj", released=date(2025, 5, 26)),
        RevisionFact(
            "2",
            date(2025, 10, 6),
            "Grease gets trapped: slot through the hub.",
            _RUFUS,
            {"relief_slot": True},
            file="obj",
            released=date(2025, 10, 13),
            accepted=date(2025, 10, 27),
        ),
    ),
    sheet(
        outside("span", "span_mm", "x", 0.25, key=True),
        reamed("eyes", "eye_mm", 0.02),
        reamed("hub bore", "bore_mm", 0.03),
        step("eye height", "eye_height_mm", "z", 0.3),
        NO_CRACKS,
    ),
    (("ramp", date(2025, 12, 8), "first article of rev 2 passed"),),
    label_scheme="numbers",
)

RATCHET = PartFact(
    "P-A00019",
    "WINDLE",
    "7823",
    "Ratchet wheel, 18 teeth",
    "RatchetWheel",
    "DEMO-STEEL-1",
    "ordinary",
    (
        RevisionFact(
            "1", date(2023, 10, 23), "First issue.", _RUFUS, released=date(2023, 10, 30), accepted=date(2023, 11, 13)
        ),
        RevisionFact(
            "2",
            date(2024, 6, 10),
            "Square 0.2 mm wider, must go on by hand.",
            _RUFUS,
            {"square_mm": 9.2},
            released=date(2024, 6, 17),
            accepted=date(2024, 7, 1),
        ),
    ),
    sheet(
        outside("tip diameter", "outer_mm", "x", 0.25, key=True),
        step("thickness", "thick_mm", "z"),
        bore("square", "square_mm", 0.12, key=True),
        DEBURRED,
    ),
    (
        ("ramp", date(2024, 1, 15), "first article passed"),
        ("production", date(2025, 2, 10), "hundred per cent inspection agreed"),
    ),
    label_scheme="numbers",
)

LATCH = PartFact(
    "P-A00020",
    "WINDLE",
    "7840",
    "Latch hook, cargo lid",
    "LatchHook",
    "DEMO-STEEL-1",
    "ordinary",
    (
        RevisionFact("1", date(2026, 7, 13), "First try.", _RUFUS, released=date(2026, 7, 15)),
        RevisionFact(
            "2",
            date(2026, 8, 31),
            "Opens over bumps: nose 7 to 9 mm.",
            _RUFUS,
            {"nose_mm": 9.0},
            released=date(2026, 9, 2),
        ),
        RevisionFact(
            "3",
            date(2026, 10, 12),
            "Window weakens it: leave it out.",
            _RUFUS,
            {"window": False},
            released=date(2026, 10, 14),
        ),
    ),
    sheet(
        outside("thickness", "thick_mm", "z"),
        bore("pivot", "pivot_mm", 0.1, key=True),
        look("nose", "catches the gauge pin with the lid pressed"),
    ),
    label_scheme="numbers",
)

PARTS = (SPROCKET, CALIPER, TUBE_CLAMP, DRIVE_YOKE, RATCHET, LATCH)
