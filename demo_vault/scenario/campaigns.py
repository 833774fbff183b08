"""What was printed when: one campaign is one box, one blend, one furnace load, and the lots that shared them."""

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


def _lot(order: str, part: PartFact, label: str, started: int, settings: str = "S1", **more: object) -> LotFact:
    """A lot made for one order; its key is the order's."""
    return LotFact(order, part.number, label, started, order, settings=settings, **more)  # type: ignore[arg-type]


def _trial(key: str, part: PartFact, label: str, started: int, measured: int = 3) -> LotFact:
    """A lot made without an order, to try something."""
    return LotFact(key, part.number, label, started, measured=measured)


def _campaign(printed: date, blend: str, *lots: LotFact, **more: object) -> CampaignFact:
    """A campaign on the printer and furnace of its grade."""
    machine, box, furnace = _PLACE[blend.rsplit("/", 1)[0]]
    key = f"{printed:%Y%m%d}-{machine}"
    return CampaignFact(key, printed, machine, box, furnace, blend, "tove", lots, **more)  # type: ignore[arg-type]
