"""How many pieces went through each operation of a lot: drawn from a generator that the lot's key seeds."""

from dataclasses import dataclass
from datetime import date, timedelta
from random import Random

from demo_vault.scenario.campaigns import FINISHED_AFTER, MEASURED_AFTER, SHIPPED_AFTER, SINTERED_AFTER, campaign_of
from demo_vault.scenario.catalogue import part
from demo_vault.scenario.facts import LotFact
from demo_vault.scenario.incidents import NONCONFORMANCES, NonconformanceFact
from demo_vault.scenario.orders import BY_KEY as ORDERS
from demo_vault.scenario.shop import TODAY


@dataclass(frozen=True)
class OperationFact:
    """Counts at one operation: in = on + scrapped."""

    operation: str
    on: date
    count_in: int
    count_on: int
    scrapped: tuple[tuple[str, int], ...] = ()


_LOSSES = (
    ("depowdering", timedelta(days=1), 0.025, ("broken in depowdering", "edge crumbled")),
    ("debind and sinter", SINTERED_AFTER, 0.015, ("cracked", "blistered", "warped beyond straightening")),
    ("ream", FINISHED_AFTER, 0.010, ("bore oversize", "tool mark in the bore")),
    ("inspection", MEASURED_AFTER, 0.012, ("outside the limits", "pore in a sealing face")),
)
"""Operation, how long after printing, share of pieces lost, what they were lost for. Shares invented."""


def operations(lot: LotFact) -> tuple[OperationFact, ...]:
    """Return the operations of a lot that were done by the demo's day, with their counts."""
    printed = campaign_of(lot.key).printed
    has_reaming = any(balloon.measured_in == "finished" and balloon.dimension for balloon in part(lot.part).drawing)
    draw = Random(f"counts of {lot.key}")
    done = []
    pieces = lot.started
    for operation, later, share, causes in _LOSSES:
        if printed + later > TODAY or (operation == "ream" and not has_reaming):
            continue
        lost = [draw.choice(causes) for _ in range(pieces) if draw.random() < share]
        lost += [
            case.words for case in NONCONFORMANCES if _scrapped_at(case, lot, operation) for _ in range(case.count)
        ]
        scrapped = tuple((cause, lost.count(cause)) for cause in sorted(set(lost)))
        done.append(OperationFact(operation, printed + later, pieces, pieces - len(lost), scrapped))
        pieces -= len(lost)
    return tuple(done)


def _scrapped_at(case: NonconformanceFact, lot: LotFact, operation: str) -> bool:
    return case.lot == lot.key and case.decision == "scrap" and case.found_at == operation


def is_finished(lot: LotFact) -> bool:
    """True where the lot came through inspection by the demo's day."""
    return campaign_of(lot.key).printed + MEASURED_AFTER <= TODAY


def good(lot: LotFact) -> int:
    """Return the good pieces of a finished lot."""
    return operations(lot)[-1].count_on


def shipped(lot: LotFact) -> tuple[date, int] | None:
    """Return when and how many pieces of a finished lot went to the customer; None for trials and unfinished lots."""
    if lot.order is None or not is_finished(lot):
        return None
    return campaign_of(lot.key).printed + SHIPPED_AFTER, min(good(lot), ORDERS[lot.order].quantity)
