"""Calyxine Instruments: jaws, nozzles and hinges of instruments. Shapes for a demo, not for use on anybody."""

from datetime import date

from demo_vault.scenario.drawing import (
    CLEAN_PASSAGES,
    DEBURRED,
    NO_CRACKS,
    bore,
    look,
    outside,
    pitch,
    reamed,
    sheet,
    step,
)
from demo_vault.scenario.facts import PartFact, RevisionFact

_ANSELM, _PIET = "Anselm Kirkquill", "Piet Halloran-Dusk"
_FAI = "first-article approval"

JAW = PartFact(
    "P-A00021",
    "CALYX",
    "CX-0091",
    "Jaw, grasping, serrated",
    "ForcepsJaw",
    "DEMO-COBALT-4",
    "medical",
    (
        RevisionFact(
            "A",
            date(2023, 2, 20),
            "First issue.",
            _ANSELM,
            file="3mf",
            released=date(2023, 3, 1),
            accepted=date(2023, 4, 10),
            basis=_FAI,
            accepted_by=_PIET,
        ),
        RevisionFact(
            "B",
            date(2023, 12, 4),
            "Grip slips on thread: teeth 0.35 to 0.45 mm deep.",
            _ANSELM,
            {"tooth_depth_mm": 0.45},
            file="3mf",
            released=date(2023, 12, 12),
            accepted=date(2024, 1, 22),
            basis=_FAI,
            accepted_by=_PIET,
        ),
        RevisionFact(
            "C",
            date(2025, 1, 13),
            "Easier to clean: window through the jaw.",
            _ANSELM,
            {"window_mm": 7.0},
            file="3mf",
            released=date(2025, 1, 20),
            accepted=date(2025, 2, 24),
            basis=_FAI,
            accepted_by=_PIET,
        ),
    ),
    sheet(
        outside("width", "width_mm", "y", 0.08, key=True),
        reamed("pivot", "pivot_mm", 0.015),
        outside("height", "height_mm", "z"),
        bore("drive slot", "slot_mm"),
        NO_CRACKS,
        look("serrations", "all teeth complete at 10x"),
    ),
    (
        ("ramp", date(2023, 5, 22), "first article of rev A approved"),
        ("production", date(2024, 6, 3), "hundred per cent inspection agreed"),
    ),
    drawing_number="CX-0091-01",
    orientation="+x+z-y",
    finish="electropolished at Calyxine",
)

SPACER = PartFact(
    "P-A00022",
    "CALYX",
    "CX-0104",
    "Spacer, study sample",
    "SpacerFrame",
    "DEMO-COBALT-4",
    "medical",
    (
        RevisionFact("X1", date(2026, 4, 7), "Study sample.", _ANSELM, file="3mf", released=date(2026, 4, 9)),
        RevisionFact(
            "X2",
            date(2026, 7, 27),
            "Three windows instead of two.",
            _ANSELM,
            {"windows": 3, "window_mm": 4.0},
            file="3mf",
            released=date(2026, 7, 29),
        ),
    ),
    sheet(
        outside("length", "length_mm", "x"),
        outside("height", "height_mm", "z", 0.15, key=True),
        bore("driver socket", "socket_mm", 0.1),
        look("teeth", "no tooth broken"),
    ),
    label_scheme="free",
    classified=False,
)

IRRIGATION_NOZZLE = PartFact(
    "P-A00023",
    "CALYX",
    "CX-0117",
    "Nozzle, irrigation, swirl",
    "SwirlInjector",
    "DEMO-COBALT-4",
    "medical",
    (
        RevisionFact(
            "A",
            date(2025, 6, 2),
            "First issue.",
            _ANSELM,
            file="3mf",
            released=date(2025, 6, 10),
            accepted=date(2025, 7, 7),
            basis="sample approval",
            accepted_by=_PIET,
        ),
        RevisionFact(
            "B",
            date(2026, 2, 2),
            "Cone too narrow: six inlets instead of four.",
            _ANSELM,
            {"slots": 6},
            file="3mf",
            released=date(2026, 2, 10),
            accepted=date(2026, 3, 16),
            basis="sample approval",
            accepted_by=_PIET,
        ),
    ),
    sheet(
        outside("body", "body_mm", "x", 0.12, key=True),
        outside("length", "length_mm", "z"),
        bore("orifice", "orifice_mm", 0.08, key=True),
        CLEAN_PASSAGES,
        look("spray", "even cone on the paper test"),
    ),
    (("ramp", date(2025, 9, 15), "first article of rev A approved"),),
    drawing_number="CX-0117-01",
)

CASE_HINGE = PartFact(
    "P-A00024",
    "CALYX",
    "CX-0123",
    "Hinge, instrument case",
    "HingeKnuckle",
    "DEMO-INOX-2",
    "ordinary",
    (
        RevisionFact(
            "A", date(2023, 7, 10), "First issue.", _ANSELM, released=date(2023, 7, 17), accepted=date(2023, 7, 31)
        ),
        RevisionFact(
            "B",
            date(2024, 10, 21),
            "Lids rattle: pin 5 to 4.8 mm, clearance 0.3 mm.",
            _ANSELM,
            {"pin_mm": 4.8, "clearance_mm": 0.3},
            released=date(2024, 10, 28),
            accepted=date(2024, 11, 11),
        ),
    ),
    sheet(
        outside("width", "width_mm", "y"),
        reamed("pin bore", "pin_mm", 0.03),
        outside("knuckle", "knuckle_mm", "x"),
        bore("screw holes", "screw_mm"),
        DEBURRED,
    ),
    (
        ("ramp", date(2023, 9, 18), "first article passed"),
        ("production", date(2024, 8, 12), "capability shown over three lots"),
    ),
    drawing_number="CX-0123-01",
    orientation="+x+z-y",
    gate="capability bound",
)

VALVE_KNOB = PartFact(
    "P-A00025",
    "CALYX",
    "CX-0138",
    "Knob, flow valve",
    "KnurlKnob",
    "DEMO-INOX-2",
    "ordinary",
    (
        RevisionFact(
            "A", date(2025, 11, 17), "First issue.", _ANSELM, released=date(2025, 11, 24), accepted=date(2025, 12, 8)
        ),
        RevisionFact(
            "B",
            date(2026, 5, 4),
            "Nurses want to feel the position: index notch.",
            _ANSELM,
            {"index_notch": True},
            file="ply",
            released=date(2026, 5, 11),
            accepted=date(2026, 6, 1),
        ),
    ),
    sheet(
        outside("height", "height_mm", "z"),
        reamed("bore", "bore_mm", 0.03),
        outside("hub", "hub_mm", "x"),
        DEBURRED,
    ),
    (("ramp", date(2026, 3, 23), "first article of rev A passed"),),
    drawing_number="CX-0138-01",
    orientation="+x-y-z",
)

TROLLEY_WHEEL_MOUNT = PartFact(
    "P-A00026",
    "CALYX",
    "CX-0150",
    "Mount, damped, three arms",
    "SpiderMount",
    "DEMO-INOX-2",
    "ordinary",
    (
        RevisionFact("A", date(2026, 6, 22), "First issue.", _ANSELM, released=date(2026, 6, 29)),
        RevisionFact(
            "B",
            date(2026, 9, 14),
            "Web rings like a bell: 2.4 to 3.2 mm.",
            _ANSELM,
            {"web_mm": 3.2},
            released=date(2026, 9, 21),
        ),
    ),
    sheet(
        pitch("seat circle", "circle_mm", "x"),
        outside("hub height", "hub_height_mm", "z"),
        bore("hub bore", "bore_mm", 0.15, key=True),
        step("web", "web_mm", "z"),
    ),
    drawing_number="CX-0150-01",
)

PARTS = (JAW, SPACER, IRRIGATION_NOZZLE, CASE_HINGE, VALVE_KNOB, TROLLEY_WHEEL_MOUNT)
