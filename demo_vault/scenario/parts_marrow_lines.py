"""Marrowlight Pumps: the parts in the lines: strainer, elbow, spray bar."""

from datetime import date

from demo_vault.scenario.drawing import (
    CLEAN_PASSAGES,
    MARKED,
    NO_CRACKS,
    bore,
    look,
    outside,
    pitch,
    sheet,
    step,
)
from demo_vault.scenario.facts import PartFact, RevisionFact

_BERTIL = "Bertil Amberkvist"

STRAINER = PartFact(
    "P-A00005",
    "MARROW",
    "MLP-4141",
    "Strainer cup",
    "FilterBasket",
    "DEMO-INOX-2",
    "ordinary",
    (
        RevisionFact(
            "1",
            date(2026, 3, 16),
            "Sketch to see whether holes of 2 mm come out open.",
            _BERTIL,
            {"hole_mm": 2.0},
            released=date(2026, 3, 18),
        ),
        RevisionFact(
            "2",
            date(2026, 5, 11),
            "Half of the holes were closed: 2.4 mm.",
            _BERTIL,
            {"hole_mm": 2.4},
            released=date(2026, 5, 13),
        ),
        RevisionFact(
            "3",
            date(2026, 9, 21),
            "More flow: five rows, floor holes 3 mm.",
            _BERTIL,
            {"rows": 5, "floor_hole_mm": 3.0},
            released=date(2026, 9, 23),
        ),
    ),
    sheet(
        outside("cup diameter", "outer_mm", "x"),
        outside("height", "height_mm", "z"),
        bore("wall holes", "hole_mm", 0.15, key=True),
        look("holes", "no hole closed or bridged"),
    ),
    label_scheme="numbers",
)

ELBOW = PartFact(
    "P-A00006",
    "MARROW",
    "MLP-4150",
    "Elbow, flanged, 90 degrees",
    "FlangedElbow",
    "DEMO-INOX-2",
    "pressure",
    (
        RevisionFact(
            "A",
            date(2025, 10, 13),
            "First released issue.",
            _BERTIL,
            released=date(2025, 10, 20),
            accepted=date(2025, 11, 10),
        ),
        RevisionFact(
            "B",
            date(2026, 4, 20),
            "Boss for a temperature probe on the outside of the bend.",
            _BERTIL,
            {"sensor_boss_mm": 12.0},
            released=date(2026, 4, 28),
            accepted=date(2026, 5, 18),
        ),
    ),
    sheet(
        bore("pipe bore", "bore_mm", 0.2, key=True),
        pitch("square flange hole pitch", "square_pitch_mm", "y", 0.2, key=True),
        outside("round flange", "flange_mm", "x"),
        step("flange thickness", "flange_thick_mm", "z"),
        look("pressure test", "holds the drawing's pressure for 120 s"),
        NO_CRACKS,
    ),
    (("ramp", date(2026, 2, 16), "first article of rev A passed"),),
    drawing_number="MLP-4150-D",
    orientation="+y+z+x",
)

SPRAY_BAR = PartFact(
    "P-A00007",
    "MARROW",
    "MLP-4166",
    "Spray bar, six nozzles",
    "NozzleBlock",
    "DEMO-INOX-2",
    "ordinary",
    (
        RevisionFact(
            "A",
            date(2023, 9, 4),
            "First released issue.",
            _BERTIL,
            released=date(2023, 9, 11),
            accepted=date(2023, 9, 25),
        ),
        RevisionFact(
            "B",
            date(2024, 3, 25),
            "Orifices clog: 1.2 to 1.6 mm.",
            _BERTIL,
            {"orifice_mm": 1.6},
            released=date(2024, 4, 2),
            accepted=date(2024, 4, 15),
        ),
    ),
    sheet(
        outside("length", "length_mm", "x"),
        pitch("nozzle pitch", "pitch_mm", "x"),
        bore("orifice", "orifice_mm", 0.12, key=True),
        CLEAN_PASSAGES,
        MARKED,
    ),
    (
        ("ramp", date(2023, 11, 6), "first article passed"),
        ("retired", date(2025, 6, 30), "the washer that it was for is no longer made"),
    ),
    drawing_number="MLP-4166-D",
)

PARTS = (STRAINER, ELBOW, SPRAY_BAR)
