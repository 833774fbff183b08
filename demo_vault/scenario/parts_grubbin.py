"""Grubbinloft Automation: gears, fingers and covers of small machines, with labels of the customer's own kind."""

from datetime import date

from demo_vault.scenario.drawing import DEBURRED, NO_CRACKS, bore, look, outside, pitch, reamed, sheet, step
from demo_vault.scenario.facts import PartFact, RevisionFact

_YSOLDE = "Ysolde Pinnock"

FEED_GEAR = PartFact(
    "P-A00027",
    "GRUBBIN",
    "GA.gear.28",
    "Gear, feed, 28 teeth m1.5",
    "SpurGear",
    "DEMO-STEEL-1",
    "ordinary",
    (
        RevisionFact("2023-01", date(2023, 1, 30), "First drawing.", _YSOLDE, released=date(2023, 2, 6)),
        RevisionFact(
            "2023-04",
            date(2023, 4, 24),
            "Runs tight when warm: backlash 0.06 to 0.10 mm.",
            _YSOLDE,
            {"backlash_mm": 0.10},
            released=date(2023, 5, 2),
            accepted=date(2023, 5, 8),
        ),
        RevisionFact(
            "2024-02",
            date(2024, 2, 19),
            "Lighter: web 5 to 4 mm.",
            _YSOLDE,
            {"web_mm": 4.0},
            released=date(2024, 2, 26),
            accepted=date(2024, 3, 4),
        ),
        RevisionFact(
            "2025-03",
            date(2025, 3, 24),
            "Key sheared: 4 mm key, deeper hub.",
            _YSOLDE,
            {"key_mm": 4.0, "key_depth_mm": 1.8, "hub_height_mm": 8.0},
            released=date(2025, 3, 31),
            accepted=date(2025, 4, 7),
        ),
    ),
    sheet(
        outside("face width", "face_mm", "z", 0.2, key=True),
        reamed("bore", "bore_mm", 0.03),
        bore("keyway width", "key_mm", 0.08, key=True),
        outside("hub", "hub_mm", "x"),
        look("runout", "0.12 mm or less on the mandrel"),
        DEBURRED,
    ),
    (
        ("ramp", date(2023, 6, 19), "first article of rev 2023-04 passed"),
        ("production", date(2024, 5, 27), "capability shown over three lots"),
    ),
    label_scheme="free",
    gate="capability bound",
)

PINION = PartFact(
    "P-A00028",
    "GRUBBIN",
    "GA.pinion.15",
    "Pinion, helical, right hand",
    "HelicalPinion",
    "DEMO-STEEL-1",
    "ordinary",
    (
        RevisionFact("R1", date(2026, 5, 18), "First try.", _YSOLDE, released=date(2026, 5, 20)),
        RevisionFact(
            "R2",
            date(2026, 8, 10),
            "Helix 18 to 22 degrees, quieter.",
            _YSOLDE,
            {"helix_deg": 22.0},
            released=date(2026, 8, 12),
        ),
        RevisionFact(
            "R2b",
            date(2026, 11, 2),
            "Mail says only 'flats a bit longer'; the flats are also 0.3 mm thinner.",
            _YSOLDE,
            {"flats_mm": 9.2, "shaft_length_mm": 18.0},
        ),
    ),
    sheet(
        outside("face width", "face_mm", "z"),
        outside("shaft", "shaft_mm", "x", 0.1, key=True),
        outside("flats", "flats_mm", "y"),
        DEBURRED,
    ),
    label_scheme="free",
)

FINGER = PartFact(
    "P-A00029",
    "GRUBBIN",
    "GA.finger.A",
    "Finger, gripper, notched",
    "GripFinger",
    "DEMO-STEEL-1",
    "ordinary",
    (
        RevisionFact(
            "R1", date(2023, 11, 27), "First drawing.", _YSOLDE, released=date(2023, 12, 4), accepted=date(2023, 12, 11)
        ),
        RevisionFact(
            "R2",
            date(2024, 6, 24),
            "Heavier bottles: finger root 12 to 14 mm.",
            _YSOLDE,
            {"root_mm": 14.0},
            released=date(2024, 7, 1),
            accepted=date(2024, 7, 8),
        ),
        RevisionFact(
            "R3",
            date(2025, 12, 1),
            "Notch 5 to 6 mm for the bigger neck.",
            _YSOLDE,
            {"notch_mm": 6.0},
            released=date(2025, 12, 8),
            accepted=date(2025, 12, 15),
        ),
    ),
    sheet(
        outside("width", "width_mm", "y", 0.2, key=True),
        step("reach", "reach_mm", "z", 0.3, key=True),
        bore("dowel", "dowel_mm", 0.08, key=True),
        outside("foot thickness", "foot_thick_mm", "z"),
        DEBURRED,
    ),
    (
        ("ramp", date(2024, 2, 12), "first article passed"),
        ("production", date(2025, 3, 17), "capability shown over three lots"),
    ),
    label_scheme="free",
    orientation="+x+z-y",
    gate="capability bound",
)

FORK = PartFact(
    "P-A00030",
    "GRUBBIN",
    "GA.fork.3",
    "Fork, shift",
    "ShiftFork",
    "DEMO-STEEL-1",
    "ordinary",
    (
        RevisionFact(
            "R1", date(2023, 4, 11), "First drawing.", _YSOLDE, released=date(2023, 4, 18), accepted=date(2023, 4, 24)
        ),
        RevisionFact(
            "R2",
            date(2024, 1, 8),
            "Pads wear: 1 mm thicker.",
            _YSOLDE,
            {"pad_thick_mm": 9.0},
            released=date(2024, 1, 15),
            accepted=date(2024, 1, 22),
        ),
    ),
    sheet(
        reamed("rail bore", "rail_mm", 0.02),
        step("pad thickness", "pad_thick_mm", "z", 0.15, key=True),
        pitch("reach", "reach_mm", "x"),
        NO_CRACKS,
    ),
    (
        ("ramp", date(2023, 6, 12), "first article passed"),
        ("retired", date(2025, 9, 30), "replaced by an electric actuator"),
    ),
    label_scheme="free",
)

COVER = PartFact(
    "P-A00031",
    "GRUBBIN",
    "GA.cover.61",
    "Cover, gear case",
    "GearCaseCover",
    "DEMO-STEEL-1",
    "ordinary",
    (
        RevisionFact("R1", date(2025, 7, 14), "First drawing.", _YSOLDE, released=date(2025, 7, 21)),
        RevisionFact(
            "R2",
            date(2025, 12, 15),
            "Oil filler beside the bearings.",
            _YSOLDE,
            {"oil_boss": True},
            released=date(2025, 12, 22),
            accepted=date(2026, 1, 12),
        ),
        RevisionFact(
            "R3",
            date(2026, 6, 15),
            "Warps in sintering: ribs 2.2 to 3 mm, floor 4 mm.",
            _YSOLDE,
            {"rib_mm": 3.0, "thick_mm": 4.0},
            released=date(2026, 6, 22),
            accepted=date(2026, 7, 6),
        ),
    ),
    sheet(
        pitch("bearing centres", "centres_mm", "x", 0.15, key=True),
        reamed("large seat", "seat_large_mm", 0.02),
        reamed("small seat", "seat_small_mm", 0.02),
        outside("rim height", "rim_height_mm", "z"),
        look("joint face", "flat within 0.15 mm on the surface plate"),
    ),
    (("ramp", date(2026, 2, 23), "first article of rev R2 passed"),),
    label_scheme="free",
)

COUPLER = PartFact(
    "P-A00032",
    "GRUBBIN",
    "GA.coupler.40",
    "Coupling half, three jaws",
    "JawCoupling",
    "DEMO-STEEL-1",
    "ordinary",
    (
        RevisionFact(
            "R1", date(2023, 9, 18), "First drawing.", _YSOLDE, released=date(2023, 9, 25), accepted=date(2023, 10, 2)
        ),
        RevisionFact(
            "R2",
            date(2024, 8, 5),
            "Spider did not fit: jaws 42 to 40 per cent of the pitch.",
            _YSOLDE,
            {"jaw_share": 0.40},
            released=date(2024, 8, 12),
            accepted=date(2024, 8, 19),
        ),
    ),
    sheet(
        outside("outer diameter", "outer_mm", "x", 0.3),
        reamed("bore", "bore_mm", 0.02),
        bore("keyway width", "key_mm", 0.08, key=True),
        step("jaw length", "jaw_length_mm", "z", 0.2, key=True),
        NO_CRACKS,
    ),
    (
        ("ramp", date(2023, 11, 27), "first article passed"),
        ("production", date(2024, 6, 24), "hundred per cent inspection agreed"),
    ),
    label_scheme="free",
)

TOOL_HOLDER = PartFact(
    "P-A00033",
    "GRUBBIN",
    "Q-0007",
    "Tool holder, dovetail",
    "ToolHolder",
    "DEMO-STEEL-1",
    "ordinary",
    (
        RevisionFact(
            "1",
            date(2026, 7, 6),
            "Drawn by the shop to the customer's sketch.",
            "Ivo Larkspindle",
            released=date(2026, 7, 8),
        ),
        RevisionFact(
            "2",
            date(2026, 9, 7),
            "Chips pack in the pocket: three clamp screws, smaller chamfer.",
            "Leopold Starling-Nye",
            {"screws": 3, "chamfer_mm": 4.0},
            released=date(2026, 9, 9),
        ),
    ),
    sheet(
        step("tool pocket", "pocket_mm", "z", 0.15, key=True),
        outside("dovetail", "tail_mm", "y", 0.12, key=True),
        outside("length", "length_mm", "x"),
        DEBURRED,
    ),
    authority="shop",
    label_scheme="numbers",
    orientation="+y+z+x",
)

PARTS = (FEED_GEAR, PINION, FINGER, FORK, COVER, COUPLER, TOOL_HOLDER)
