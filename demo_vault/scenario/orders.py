"""PO lines of the demo. Those without a lot in `campaigns` are open on the demo's day."""

from collections.abc import Mapping
from datetime import date

from demo_vault.scenario import parts_calyx as calyx
from demo_vault.scenario import parts_grubbin as grubbin
from demo_vault.scenario import parts_marrow as marrow
from demo_vault.scenario import parts_marrow_lines as lines
from demo_vault.scenario import parts_ostrel as ostrel
from demo_vault.scenario import parts_ostrel_air as air
from demo_vault.scenario import parts_windle as windle
from demo_vault.scenario.facts import OrderFact, PartFact

_CERTIFICATE = ("certificate", "certificate of conformity with the delivery")
_FIRST_ARTICLE = ("first-article approval", "first article approved before series delivery")
_BAGS = ("packing", "bags of fifty, tag with part number and revision")
_LOT_NUMBERS = ("retention", "lot number on every bag; records kept fifteen years")


def _line(
    key: str,
    part: PartFact,
    po: str,
    written: str | None,
    quantity: int,
    received: date,
    due: date,
    clauses: tuple[tuple[str, str], ...] = (),
    po_line: str = "10",
    over: int = 0,
) -> OrderFact:
    """A PO line with one date."""
    return OrderFact(key, part.number, po, po_line, written, ((due, quantity),), received, over=over, clauses=clauses)


DELIVERED = (
    _line("impeller-1", marrow.IMPELLER, "MLP-PO-2311", "A", 40, date(2023, 6, 12), date(2023, 7, 14), (_CERTIFICATE,)),
    _line(
        "impeller-2",
        marrow.IMPELLER,
        "MLP-PO-2402",
        "B",
        60,
        date(2024, 2, 12),
        date(2024, 3, 15),
        (_CERTIFICATE, _FIRST_ARTICLE),
    ),
    _line("impeller-3", marrow.IMPELLER, "MLP-PO-2409", "B", 80, date(2024, 2, 26), date(2024, 4, 5), (_CERTIFICATE,)),
    _line("impeller-4", marrow.IMPELLER, "MLP-PO-2417", "B", 80, date(2024, 3, 11), date(2024, 4, 26), (_CERTIFICATE,)),
    _line(
        "impeller-5",
        marrow.IMPELLER,
        "MLP-PO-2514",
        "C",
        90,
        date(2025, 4, 22),
        date(2025, 6, 6),
        (_CERTIFICATE, _FIRST_ARTICLE),
    ),
    _line("impeller-6", marrow.IMPELLER, "MLP-PO-2633", "C", 100, date(2026, 7, 27), date(2026, 9, 4), (_CERTIFICATE,)),
    _line("valve-1", marrow.VALVE_BODY, "MLP-PO-2312", "A", 25, date(2023, 5, 15), date(2023, 6, 23), (_CERTIFICATE,)),
    _line(
        "valve-2",
        marrow.VALVE_BODY,
        "MLP-PO-2429",
        "C",
        40,
        date(2024, 10, 14),
        date(2024, 11, 29),
        (_CERTIFICATE, _FIRST_ARTICLE),
    ),
    _line("valve-3", marrow.VALVE_BODY, "MLP-PO-2521", "C", 40, date(2025, 7, 1), date(2025, 8, 22), (_CERTIFICATE,)),
    _line("flange-1", marrow.HUB_FLANGE, "MLP-PO-2526", "B", 20, date(2025, 8, 11), date(2025, 9, 19), (_CERTIFICATE,)),
    _line(
        "manifold-1",
        marrow.PORT_MANIFOLD,
        "MLP-PO-2410",
        "A",
        15,
        date(2024, 3, 11),
        date(2024, 4, 19),
        (_CERTIFICATE,),
    ),
    _line(
        "manifold-2", marrow.PORT_MANIFOLD, "MLP-PO-2519", "C", 24, date(2025, 6, 9), date(2025, 8, 15), (_CERTIFICATE,)
    ),
    _line("elbow-1", lines.ELBOW, "MLP-PO-2604", "A", 16, date(2026, 1, 12), date(2026, 3, 6), (_CERTIFICATE,)),
    _line("spray-1", lines.SPRAY_BAR, "MLP-PO-2318", "A", 20, date(2023, 10, 2), date(2023, 11, 17)),
    _line(
        "bracket-1",
        ostrel.CAMERA_BRACKET,
        "OAS/23/071",
        "A",
        30,
        date(2023, 11, 6),
        date(2023, 12, 8),
        (_FIRST_ARTICLE, _CERTIFICATE),
    ),
    _line(
        "bracket-2",
        ostrel.CAMERA_BRACKET,
        "OAS/24/022",
        "B",
        40,
        date(2024, 6, 24),
        date(2024, 8, 2),
        (_FIRST_ARTICLE, _CERTIFICATE),
    ),
    _line(
        "bracket-3", ostrel.CAMERA_BRACKET, "OAS/24/029", "B", 40, date(2024, 7, 22), date(2024, 9, 6), (_CERTIFICATE,)
    ),
    _line(
        "bracket-4",
        ostrel.CAMERA_BRACKET,
        "OAS/24/035",
        "B",
        40,
        date(2024, 8, 26),
        date(2024, 10, 11),
        (_CERTIFICATE,),
    ),
    _line(
        "bracket-5",
        ostrel.CAMERA_BRACKET,
        "OAS/25/061",
        "C",
        50,
        date(2025, 11, 3),
        date(2025, 12, 12),
        (_FIRST_ARTICLE, _CERTIFICATE),
    ),
    _line(
        "arm-1",
        ostrel.PROBE_ARM,
        "OAS/25/048",
        "B",
        18,
        date(2025, 9, 15),
        date(2025, 10, 24),
        (_FIRST_ARTICLE, _CERTIFICATE),
    ),
    _line("shell-1", ostrel.CONNECTOR_SHELL, "OAS/23/064", "A", 50, date(2023, 9, 25), date(2023, 11, 3)),
    _line("shell-2", ostrel.CONNECTOR_SHELL, "OAS/25/009", "B", 90, date(2025, 1, 13), date(2025, 2, 28)),
    _line(
        "horn-1",
        ostrel.CONTROL_HORN,
        "OAS/23/040",
        "A",
        24,
        date(2023, 5, 22),
        date(2023, 7, 7),
        (_FIRST_ARTICLE, _CERTIFICATE),
    ),
    _line("horn-2", ostrel.CONTROL_HORN, "OAS/25/030", "B", 36, date(2025, 5, 5), date(2025, 6, 20), (_CERTIFICATE,)),
    _line("spreader-1", air.HEAT_SPREADER, "OAS/26/033", "B", 30, date(2026, 6, 16), date(2026, 7, 17)),
    _line("sprocket-1", windle.SPROCKET, "WS-5512", "2", 100, date(2023, 8, 3), date(2023, 9, 8), (_BAGS,), over=5),
    _line("sprocket-2", windle.SPROCKET, "WS-5590", "3", 150, date(2024, 3, 4), date(2024, 4, 12), (_BAGS,), over=8),
    _line("sprocket-3", windle.SPROCKET, "WS-5604", "3", 150, date(2024, 3, 25), date(2024, 5, 3), (_BAGS,), over=8),
    _line("sprocket-4", windle.SPROCKET, "WS-5611", "3", 150, date(2024, 4, 15), date(2024, 5, 24), (_BAGS,), over=8),
    _line("sprocket-6", windle.SPROCKET, "WS-5790", "4", 150, date(2026, 1, 12), date(2026, 2, 27), (_BAGS,), over=8),
    _line("caliper-1", windle.CALIPER, "WS-5744", "2", 24, date(2025, 10, 6), date(2025, 11, 14)),
    _line("clamp-1", windle.TUBE_CLAMP, "WS-5508", "1", 60, date(2023, 6, 5), date(2023, 7, 14), (_BAGS,)),
    _line("clamp-2", windle.TUBE_CLAMP, "WS-5622", "2", 80, date(2024, 6, 3), date(2024, 7, 12), (_BAGS,)),
    _line("clamp-3", windle.TUBE_CLAMP, "WS-5640", "2", 80, date(2024, 7, 22), date(2024, 9, 6), (_BAGS,)),
    _line("clamp-4", windle.TUBE_CLAMP, "WS-5651", "2", 80, date(2024, 8, 26), date(2024, 10, 4), (_BAGS,)),
    _line("clamp-5", windle.TUBE_CLAMP, "WS-5738", "3", 120, date(2025, 9, 1), date(2025, 10, 10), (_BAGS,)),
    _line("yoke-1", windle.DRIVE_YOKE, "WS-5751", "2", 20, date(2025, 11, 3), date(2025, 12, 12)),
    _line("ratchet-1", windle.RATCHET, "WS-5566", "1", 50, date(2023, 12, 4), date(2024, 1, 19)),
    _line("ratchet-2", windle.RATCHET, "WS-5663", "2", 80, date(2024, 9, 9), date(2024, 10, 18)),
    _line("jaw-1", calyx.JAW, "C-88104", "A", 60, date(2023, 4, 17), date(2023, 6, 2), (_LOT_NUMBERS, _FIRST_ARTICLE)),
    _line("jaw-2", calyx.JAW, "C-88391", "B", 120, date(2024, 3, 18), date(2024, 5, 10), (_LOT_NUMBERS,)),
    _line("jaw-3", calyx.JAW, "C-88760", "C", 120, date(2025, 7, 7), date(2025, 8, 29), (_LOT_NUMBERS, _FIRST_ARTICLE)),
    _line("jaw-4", calyx.JAW, "C-89033", "C", 150, date(2026, 7, 13), date(2026, 9, 4), (_LOT_NUMBERS,)),
    _line(
        "nozzle-1", calyx.IRRIGATION_NOZZLE, "C-88802", "A", 40, date(2025, 8, 11), date(2025, 9, 26), (_LOT_NUMBERS,)
    ),
    _line("hinge-1", calyx.CASE_HINGE, "C-88171", "A", 80, date(2023, 8, 14), date(2023, 9, 29)),
    _line("hinge-2", calyx.CASE_HINGE, "C-88377", "A", 80, date(2024, 5, 13), date(2024, 6, 28)),
    _line("hinge-3", calyx.CASE_HINGE, "C-88402", "A", 80, date(2024, 6, 10), date(2024, 7, 26)),
    _line("hinge-4", calyx.CASE_HINGE, "C-88745", "B", 100, date(2025, 5, 26), date(2025, 7, 11)),
    _line("knob-1", calyx.VALVE_KNOB, "C-88925", "A", 30, date(2026, 2, 23), date(2026, 4, 2)),
    _line("gear-1", grubbin.FEED_GEAR, "4500117", "2023-04", 20, date(2023, 5, 15), date(2023, 6, 30)),
    _line("gear-2", grubbin.FEED_GEAR, "4500204", "2024-02", 30, date(2024, 3, 11), date(2024, 4, 19)),
    _line("gear-3", grubbin.FEED_GEAR, "4500211", "2024-02", 30, date(2024, 4, 2), date(2024, 5, 10)),
    _line("gear-4", grubbin.FEED_GEAR, "4500219", "2024-02", 30, date(2024, 4, 22), date(2024, 5, 31)),
    _line("gear-5", grubbin.FEED_GEAR, "4500322", "2025-03", 50, date(2025, 4, 14), date(2025, 5, 30)),
    _line("finger-1", grubbin.FINGER, "4500180", "R1", 24, date(2024, 1, 8), date(2024, 2, 23)),
    _line("finger-2", grubbin.FINGER, "4500290", "R2", 40, date(2024, 12, 2), date(2025, 1, 24)),
    _line("finger-3", grubbin.FINGER, "4500297", "R2", 40, date(2025, 1, 7), date(2025, 2, 14)),
    _line("finger-4", grubbin.FINGER, "4500305", "R2", 40, date(2025, 1, 27), date(2025, 3, 7)),
    _line("finger-5", grubbin.FINGER, "4500402", "R3", 90, date(2026, 3, 2), date(2026, 4, 10)),
    _line("fork-1", grubbin.FORK, "4500131", "R1", 16, date(2023, 5, 2), date(2023, 6, 16)),
    _line("cover-1", grubbin.COVER, "4500388", "R2", 12, date(2026, 1, 19), date(2026, 3, 6)),
    _line("coupler-1", grubbin.COUPLER, "4500160", "R1", 20, date(2023, 10, 23), date(2023, 12, 1)),
    _line("coupler-2", grubbin.COUPLER, "4500410", "R2", 60, date(2026, 4, 7), date(2026, 5, 15)),
)

OPEN = (
    _line(
        "impeller-open",
        marrow.IMPELLER,
        "MLP-PO-2650",
        "C",
        200,
        date(2026, 11, 16),
        date(2026, 12, 18),
        (_CERTIFICATE,),
    ),
    _line(
        "flange-open",
        marrow.HUB_FLANGE,
        "MLP-PO-2651",
        "C",
        30,
        date(2026, 11, 16),
        date(2027, 1, 15),
        (_CERTIFICATE,),
        "20",
    ),
    _line(
        "horn-open", ostrel.CONTROL_HORN, "OAS/26/058", "B", 24, date(2026, 9, 28), date(2026, 12, 4), (_CERTIFICATE,)
    ),
    _line(
        "bracket-open",
        ostrel.CAMERA_BRACKET,
        "OAS/26/060",
        "C",
        40,
        date(2026, 11, 11),
        date(2026, 12, 18),
        (_CERTIFICATE,),
    ),
    _line("clamp-open", windle.TUBE_CLAMP, "WS-5833", "2", 40, date(2026, 11, 12), date(2026, 12, 11), (_BAGS,)),
    _line("finger-open", grubbin.FINGER, "4500455", None, 60, date(2026, 11, 17), date(2026, 12, 15)),
    _line("cover-open", grubbin.COVER, "4500447", "R3", 20, date(2026, 11, 2), date(2026, 12, 11)),
    _line("jaw-open", calyx.JAW, "C-89170", "C", 150, date(2026, 11, 9), date(2027, 1, 8), (_LOT_NUMBERS,)),
    _line("ratchet-open", windle.RATCHET, "WS-5836", "2", 60, date(2026, 11, 18), date(2027, 1, 22)),
    OrderFact(
        "sprocket-blanket",
        windle.SPROCKET.number,
        "WS-5840",
        "10",
        "4",
        ((date(2026, 12, 11), 150), (date(2027, 2, 12), 150), (date(2027, 4, 9), 200)),
        date(2026, 11, 4),
        over=20,
        clauses=(_BAGS,),
        note="blanket order with three call-offs; the first is on the floor",
    ),
    OrderFact(
        "caliper-open",
        windle.CALIPER.number,
        "WS-5829",
        "10",
        "3",
        ((date(2026, 12, 18), 36),),
        date(2026, 10, 26),
        amendment="1",
        note="amendment 1 moved rev 2 to rev 3",
    ),
)

SUPERSEDED = (
    _line("sprocket-5", windle.SPROCKET, "WS-5760", "3", 150, date(2025, 10, 20), date(2025, 11, 28), (_BAGS,), over=8),
)
"""Rev 4 came while the package of this line was on the floor; the line was bought again as WS-5840."""

ORDERS: tuple[OrderFact, ...] = (*DELIVERED, *SUPERSEDED, *OPEN)

BY_KEY: Mapping[str, OrderFact] = {order.key: order for order in ORDERS}
