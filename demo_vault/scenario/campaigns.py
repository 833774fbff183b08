"""What was printed when: one campaign is one box, one blend, one furnace load, and the lots that shared them."""

from dataclasses import replace
from datetime import date, timedelta

from demo_vault.scenario import parts_calyx as calyx
from demo_vault.scenario import parts_grubbin as grubbin
from demo_vault.scenario import parts_marrow as marrow
from demo_vault.scenario import parts_marrow_lines as lines
from demo_vault.scenario import parts_ostrel as ostrel
from demo_vault.scenario import parts_ostrel_air as air
from demo_vault.scenario import parts_windle as windle
from demo_vault.scenario.facts import CampaignFact, LotFact, PartFact

_STEEL, _INOX, _COBALT = "DEMO-STEEL-1", "DEMO-INOX-2", "DEMO-COBALT-4"
_NICKEL, _COPPER = "DEMO-NICKEL-3", "DEMO-COPPER-5"
_PLACE = {
    _STEEL: ("jet-1", "box-tall", "kiln-a"),
    _INOX: ("jet-3", "box-tall", "kiln-a"),
    _COBALT: ("jet-2", "box-small", "kiln-b"),
    _NICKEL: ("jet-4", "box-small", "kiln-b"),
    _COPPER: ("jet-4", "box-small", "kiln-b"),
}

SINTERED_AFTER = timedelta(days=3)
FINISHED_AFTER = timedelta(days=7)
MEASURED_AFTER = timedelta(days=9)
SHIPPED_AFTER = timedelta(days=11)


def _lot(order: str, part: PartFact, label: str, started: int, settings: str = "S1") -> LotFact:
    """A lot made for one order; its key is the order's."""
    return LotFact(order, part.number, label, started, order, settings=settings)


def _faulty(lot: LotFact, **faults_mm: float) -> LotFact:
    """The same lot with some characteristics off: c1=0.2 puts 0.2 mm on characteristic 1 of every piece."""
    return replace(lot, faults={name.removeprefix("c"): off for name, off in faults_mm.items()})


def _trial(key: str, part: PartFact, label: str, started: int) -> LotFact:
    """A lot made without an order, to try something."""
    return LotFact(key, part.number, label, started, measured=3)


def _campaign(printed: date, blend: str, *lots: LotFact) -> CampaignFact:
    """A campaign on the printer and furnace of its grade."""
    machine, box, furnace = _PLACE[blend.rsplit("/", 1)[0]]
    return CampaignFact(f"{printed:%Y%m%d}-{machine}", printed, machine, box, furnace, blend, "tove", lots)


_2023 = (
    _campaign(date(2023, 5, 8), "DEMO-COBALT-4/1", _lot("jaw-1", calyx.JAW, "A", 70)),
    _campaign(
        date(2023, 5, 29),
        "DEMO-STEEL-1/1",
        _lot("horn-1", ostrel.CONTROL_HORN, "A", 29),
        _lot("fork-1", grubbin.FORK, "R1", 20),
        _lot("gear-1", grubbin.FEED_GEAR, "2023-04", 25),
    ),
    _campaign(
        date(2023, 5, 30),
        "DEMO-INOX-2/1",
        _lot("valve-1", marrow.VALVE_BODY, "A", 30),
    ),
    _campaign(date(2023, 6, 12), "DEMO-STEEL-1/1", _lot("clamp-1", windle.TUBE_CLAMP, "1", 69)),
    _campaign(date(2023, 6, 14), "DEMO-INOX-2/1", _lot("impeller-1", marrow.IMPELLER, "A", 47)),
    _campaign(date(2023, 8, 14), "DEMO-STEEL-1/1", _lot("sprocket-1", windle.SPROCKET, "2", 113)),
    _campaign(date(2023, 9, 4), "DEMO-INOX-2/1", _lot("hinge-1", calyx.CASE_HINGE, "A", 91)),
    _campaign(
        date(2023, 10, 9),
        "DEMO-STEEL-1/2",
        _lot("shell-1", ostrel.CONNECTOR_SHELL, "A", 58),
    ),
    _campaign(date(2023, 10, 16), "DEMO-INOX-2/1", _lot("spray-1", lines.SPRAY_BAR, "A", 24)),
    _campaign(
        date(2023, 11, 8),
        "DEMO-STEEL-1/2",
        _lot("bracket-1", ostrel.CAMERA_BRACKET, "A", 36),
        _lot("coupler-1", grubbin.COUPLER, "R1", 25),
    ),
)

_2024 = (
    _campaign(
        date(2024, 1, 2),
        "DEMO-STEEL-1/2",
        _lot("ratchet-1", windle.RATCHET, "1", 58),
    ),
    _campaign(date(2024, 1, 29), "DEMO-STEEL-1/2", _lot("finger-1", grubbin.FINGER, "R1", 29)),
    _campaign(date(2024, 2, 26), "DEMO-INOX-2/2", _lot("impeller-2", marrow.IMPELLER, "B", 69)),
    _campaign(
        date(2024, 3, 18),
        "DEMO-INOX-2/2",
        _lot("impeller-3", marrow.IMPELLER, "B", 91),
        _lot("manifold-1", marrow.PORT_MANIFOLD, "A", 19),
    ),
    _campaign(
        date(2024, 3, 20),
        "DEMO-STEEL-1/2",
        _lot("sprocket-2", windle.SPROCKET, "3", 168),
        _lot("gear-2", grubbin.FEED_GEAR, "2024-02", 36),
    ),
    _campaign(date(2024, 4, 8), "DEMO-INOX-2/2", _lot("impeller-4", marrow.IMPELLER, "B", 91)),
    _campaign(
        date(2024, 4, 10),
        "DEMO-STEEL-1/2",
        _lot("sprocket-3", windle.SPROCKET, "3", 168),
        _lot("gear-3", grubbin.FEED_GEAR, "2024-02", 36),
    ),
    _campaign(date(2024, 4, 15), "DEMO-COBALT-4/2", _lot("jaw-2", calyx.JAW, "B", 136)),
    _campaign(
        date(2024, 4, 29),
        "DEMO-STEEL-1/2",
        _lot("sprocket-4", windle.SPROCKET, "3", 168),
        _lot("gear-4", grubbin.FEED_GEAR, "2024-02", 36),
    ),
    _campaign(date(2024, 6, 3), "DEMO-INOX-2/2", _lot("hinge-2", calyx.CASE_HINGE, "A", 91)),
    _campaign(date(2024, 6, 17), "DEMO-STEEL-1/3", _lot("clamp-2", windle.TUBE_CLAMP, "2", 91)),
    _campaign(date(2024, 7, 1), "DEMO-INOX-2/2", _lot("hinge-3", calyx.CASE_HINGE, "A", 91)),
    _campaign(date(2024, 7, 8), "DEMO-STEEL-1/3", _lot("bracket-2", ostrel.CAMERA_BRACKET, "B", 48, "S2")),
    _campaign(
        date(2024, 8, 5),
        "DEMO-STEEL-1/3",
        _lot("bracket-3", ostrel.CAMERA_BRACKET, "B", 48, "S2"),
        _lot("clamp-3", windle.TUBE_CLAMP, "2", 91),
    ),
    _campaign(
        date(2024, 9, 9),
        "DEMO-STEEL-1/3",
        _lot("bracket-4", ostrel.CAMERA_BRACKET, "B", 48, "S2"),
        _lot("clamp-4", windle.TUBE_CLAMP, "2", 91),
    ),
    _campaign(date(2024, 9, 23), "DEMO-STEEL-1/3", _lot("ratchet-2", windle.RATCHET, "2", 91)),
    _campaign(date(2024, 11, 4), "DEMO-INOX-2/2", _lot("valve-2", marrow.VALVE_BODY, "C", 47)),
    _campaign(date(2024, 12, 16), "DEMO-STEEL-1/3", _lot("finger-2", grubbin.FINGER, "R2", 47)),
)

_2025 = (
    _campaign(date(2025, 1, 20), "DEMO-STEEL-1/3", _lot("finger-3", grubbin.FINGER, "R2", 47)),
    _campaign(
        date(2025, 2, 10),
        "DEMO-STEEL-1/3",
        _lot("finger-4", grubbin.FINGER, "R2", 47),
        _lot("shell-2", ostrel.CONNECTOR_SHELL, "B", 102),
    ),
    _campaign(date(2025, 5, 5), "DEMO-STEEL-1/3", _lot("gear-5", grubbin.FEED_GEAR, "2025-03", 58)),
    _campaign(date(2025, 5, 12), "DEMO-INOX-2/3", _lot("impeller-5", marrow.IMPELLER, "C", 104, "S2")),
    _campaign(date(2025, 5, 26), "DEMO-STEEL-1/3", _lot("horn-2", ostrel.CONTROL_HORN, "B", 43)),
    _campaign(date(2025, 6, 16), "DEMO-INOX-2/3", _lot("hinge-4", calyx.CASE_HINGE, "B", 113)),
    _campaign(
        date(2025, 7, 28),
        "DEMO-INOX-2/3",
        _lot("valve-3", marrow.VALVE_BODY, "C", 47),
        _lot("manifold-2", marrow.PORT_MANIFOLD, "C", 29),
    ),
    _campaign(date(2025, 7, 29), "DEMO-COBALT-4/3", _lot("jaw-3", calyx.JAW, "C", 136)),
    _campaign(date(2025, 8, 25), "DEMO-INOX-2/3", _lot("flange-1", marrow.HUB_FLANGE, "B", 24)),
    _campaign(date(2025, 9, 1), "DEMO-COBALT-4/3", _lot("nozzle-1", calyx.IRRIGATION_NOZZLE, "A", 47)),
    _campaign(date(2025, 9, 15), "DEMO-STEEL-1/4", _lot("clamp-5", windle.TUBE_CLAMP, "3", 136)),
    _campaign(date(2025, 9, 29), "DEMO-STEEL-1/4", _lot("arm-1", ostrel.PROBE_ARM, "B", 23)),
    _campaign(date(2025, 10, 27), "DEMO-STEEL-1/4", _lot("caliper-1", windle.CALIPER, "2", 29)),
    _campaign(
        date(2025, 11, 17),
        "DEMO-STEEL-1/4",
        _lot("bracket-5", ostrel.CAMERA_BRACKET, "C", 58, "S2"),
        _lot("yoke-1", windle.DRIVE_YOKE, "2", 25),
    ),
)

_2026 = (
    _campaign(date(2026, 2, 2), "DEMO-INOX-2/4", _lot("elbow-1", lines.ELBOW, "A", 20)),
    _campaign(
        date(2026, 2, 9),
        "DEMO-STEEL-1/4",
        _lot("cover-1", grubbin.COVER, "R2", 15),
        _lot("sprocket-6", windle.SPROCKET, "4", 168),
    ),
    _campaign(date(2026, 2, 10), "DEMO-NICKEL-3/1", _trial("wheel-trial-1", air.FAN_WHEEL, "1", 6)),
    _campaign(date(2026, 3, 9), "DEMO-INOX-2/4", _lot("knob-1", calyx.VALVE_KNOB, "A", 36)),
    _campaign(date(2026, 3, 16), "DEMO-STEEL-1/4", _lot("finger-5", grubbin.FINGER, "R3", 102)),
    _campaign(date(2026, 3, 30), "DEMO-INOX-2/4", _trial("strainer-trial-1", lines.STRAINER, "1", 10)),
    _campaign(date(2026, 4, 21), "DEMO-STEEL-1/4", _lot("coupler-2", grubbin.COUPLER, "R2", 69)),
    _campaign(date(2026, 4, 22), "DEMO-COBALT-4/3", _trial("spacer-trial-1", calyx.SPACER, "X1", 12)),
    _campaign(date(2026, 6, 18), "DEMO-COPPER-5/1", _lot("spreader-1", air.HEAT_SPREADER, "B", 36)),
    _campaign(
        date(2026, 7, 20),
        "DEMO-COBALT-4/3",
        _faulty(_lot("jaw-4", calyx.JAW, "C", 170), c1=0.062),
    ),
    _campaign(date(2026, 8, 3), "DEMO-NICKEL-3/1", _trial("wheel-trial-2", air.FAN_WHEEL, "4", 8)),
    _campaign(date(2026, 8, 10), "DEMO-INOX-2/4", _lot("impeller-6", marrow.IMPELLER, "C", 115, "S2")),
    _campaign(date(2026, 9, 7), "DEMO-STEEL-1/5", _trial("latch-trial-1", windle.LATCH, "2", 10)),
    _campaign(
        date(2026, 9, 28),
        "DEMO-STEEL-1/5",
        _trial("pinion-trial-1", grubbin.PINION, "R2", 6),
        _trial("holder-trial-1", grubbin.TOOL_HOLDER, "2", 4),
        _trial("cover-trial-1", grubbin.COVER, "R3", 4),
    ),
    _campaign(date(2026, 11, 18), "DEMO-STEEL-1/5", _lot("sprocket-blanket", windle.SPROCKET, "4", 170)),
)

CAMPAIGNS: tuple[CampaignFact, ...] = (*_2023, *_2024, *_2025, *_2026)
"""In the order in which they were printed. The last one is still in its box on the demo's day."""


def campaign_of(lot: str) -> CampaignFact:
    """Return the campaign that a lot was printed in. Raises KeyError where there is none."""
    for campaign in CAMPAIGNS:
        if any(one.key == lot for one in campaign.lots):
            return campaign
    raise KeyError(lot)


def lot_called(key: str) -> LotFact:
    """Return a lot by its key. Raises KeyError where there is none."""
    return next(lot for lot in campaign_of(key).lots if lot.key == key)
