"""Ostrel Aerial Survey: light brackets, horns and shells of unmanned aircraft."""

from datetime import date

from demo_vault.scenario.drawing import DEBURRED, NO_CRACKS, bore, look, outside, pitch, reamed, sheet, step
from demo_vault.scenario.facts import PartFact, RevisionFact

_JAREK, _NOOR = "Jarek Windmarsh", "Noor Castellane"
_FAI = "first-article approval"

CAMERA_BRACKET = PartFact(
    "P-A00008",
    "OSTREL",
    "OAS-20-311",
    "Bracket, camera gimbal",
    "GussetBracket",
    "DEMO-STEEL-1",
    "flight",
    (
        RevisionFact("-", date(2023, 6, 12), "First issue.", _JAREK, released=date(2023, 6, 19)),
        RevisionFact(
            "A",
            date(2023, 10, 2),
            "Foot holes 2 mm further apart for the new rail.",
            _JAREK,
            {"hole_pitch_mm": 26.0},
            released=date(2023, 10, 9),
            accepted=date(2023, 10, 30),
            basis=_FAI,
            accepted_by=_NOOR,
        ),
        RevisionFact(
            "B",
            date(2024, 5, 6),
            "Upright resonates at 140 Hz: wall 5 to 6 mm, gussets 3.5 to 5 mm.",
            _JAREK,
            {"wall_mm": 6.0, "gusset_mm": 5.0},
            released=date(2024, 5, 14),
            accepted=date(2024, 6, 17),
            basis=_FAI,
            accepted_by=_NOOR,
        ),
        RevisionFact(
            "C",
            date(2025, 9, 15),
            "Water collects in the corner: drain slot in the foot.",
            _JAREK,
            {"drain_slot": True},
            released=date(2025, 9, 22),
            accepted=date(2025, 10, 27),
            basis=_FAI,
            accepted_by=_NOOR,
        ),
    ),
    sheet(
        outside("foot length", "foot_mm", "x"),
        pitch("foot hole pitch", "hole_pitch_mm", "y", 0.25, key=True),
        reamed("bearing bore", "bore_mm", 0.03),
        step("bore height", "bore_height_mm", "z", 0.3, key=True),
        outside("wall", "wall_mm", "x"),
        NO_CRACKS,
        look("weight", "31 g or less up to rev A; 40 g or less from rev B"),
    ),
    (
        ("ramp", date(2023, 11, 20), "first article of rev A approved"),
        ("production", date(2024, 10, 14), "capability shown over three lots"),
    ),
    drawing_number="OAS-20-311",
    orientation="+x+z-y",
    gate="capability bound",
)

PROBE_ARM = PartFact(
    "P-A00009",
    "OSTREL",
    "OAS-20-318",
    "Arm, air-data probe",
    "SensorArm",
    "DEMO-STEEL-1",
    "flight",
    (
        RevisionFact("A", date(2025, 2, 24), "First issue.", _JAREK, released=date(2025, 3, 3)),
        RevisionFact(
            "B",
            date(2025, 8, 11),
            "Probe sits too near the skin: reach 46 to 50 mm.",
            _JAREK,
            {"reach_mm": 50.0},
            released=date(2025, 8, 18),
            accepted=date(2025, 9, 8),
            basis=_FAI,
            accepted_by=_NOOR,
        ),
    ),
    sheet(
        outside("ring height", "ring_height_mm", "z"),
        bore("probe bore", "probe_mm", 0.12, key=True),
        outside("ring", "ring_mm", "x"),
        bore("slot width", "slot_width_mm"),
        DEBURRED,
    ),
    (("ramp", date(2025, 10, 13), "first article of rev B approved"),),
    drawing_number="OAS-20-318",
)

CONNECTOR_SHELL = PartFact(
    "P-A00011",
    "OSTREL",
    "OAS-20-342",
    "Shell, payload connector",
    "ConnectorShell",
    "DEMO-STEEL-1",
    "ordinary",
    (
        RevisionFact(
            "A", date(2023, 8, 21), "First issue.", _JAREK, released=date(2023, 8, 28), accepted=date(2023, 9, 18)
        ),
        RevisionFact(
            "B",
            date(2024, 11, 4),
            "Latch does not snap: windows 5 to 6 mm.",
            _JAREK,
            {"window_mm": 6.0},
            released=date(2024, 11, 11),
            accepted=date(2024, 12, 2),
        ),
    ),
    sheet(
        outside("tube length across", "tube_mm", "x", 0.2, key=True),
        outside("tube width", "tube_width_mm", "y", 0.15, key=True),
        pitch("screw pitch", "screw_pitch_mm", "x"),
        step("tube length", "tube_length_mm", "z"),
        DEBURRED,
    ),
    (
        ("ramp", date(2023, 10, 23), "first article passed"),
        ("production", date(2024, 7, 8), "hundred per cent inspection agreed"),
    ),
    drawing_number="OAS-20-342",
)

CONTROL_HORN = PartFact(
    "P-A00013",
    "OSTREL",
    "OAS-20-361",
    "Horn, aileron control",
    "BellCrank",
    "DEMO-STEEL-1",
    "flight",
    (
        RevisionFact(
            "A",
            date(2023, 3, 20),
            "First issue.",
            _JAREK,
            released=date(2023, 3, 27),
            accepted=date(2023, 5, 15),
            basis=_FAI,
            accepted_by=_NOOR,
        ),
        RevisionFact(
            "B",
            date(2024, 7, 15),
            "Ribs 1 mm lower to clear the skin.",
            _JAREK,
            {"rib_height_mm": 7.0},
            released=date(2024, 7, 22),
            accepted=date(2024, 8, 19),
            basis=_FAI,
            accepted_by=_NOOR,
            note="acceptance withdrawn 2026-10-05 after a crack on the test stand",
        ),
        RevisionFact(
            "C",
            date(2026, 10, 26),
            "Ribs back to 8 mm and 4 mm wide; the skin gets a bulge instead.",
            _JAREK,
            {"rib_height_mm": 8.0, "rib_mm": 4.0},
            released=date(2026, 11, 3),
        ),
    ),
    sheet(
        pitch("long arm", "arm_mm", "x", 0.25, key=True),
        reamed("pivot bore", "bore_mm", 0.02),
        reamed("end bores", "end_bore_mm", 0.02),
        outside("hub height", "hub_height_mm", "z"),
        NO_CRACKS,
        look("dye test", "no indications after penetrant inspection"),
    ),
    (
        ("ramp", date(2023, 6, 26), "first article of rev A approved"),
        ("production", date(2024, 3, 4), "hundred per cent inspection agreed"),
    ),
    drawing_number="OAS-20-361",
)

PARTS = (CAMERA_BRACKET, PROBE_ARM, CONNECTOR_SHELL, CONTROL_HORN)
