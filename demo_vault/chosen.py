"""How much of the story the demo plays: the scenario tells four years, a visitor waits less than a minute.

Orders and lots before a day are left out with everything that hangs on them. Each part keeps its newest revisions and
those that something still told was made from; a stage that was reached before that day is reached after the first lot.
"""

from collections.abc import Iterator
from datetime import date
from functools import cache

from demo_vault.scenario import campaigns, incidents, orders
from demo_vault.scenario.facts import CampaignFact, OrderFact, PartFact, RevisionFact

BEGINS = date(2025, 9, 1)
_NEWEST = 2


@cache
def told_campaigns() -> tuple[CampaignFact, ...]:
    """Return the campaigns that are played."""
    return tuple(fact for fact in campaigns.CAMPAIGNS if fact.printed >= BEGINS)


@cache
def told_orders() -> tuple[OrderFact, ...]:
    """Return the orders that are played: those with a lot that is played, and those that never had one."""
    made = {lot.order for fact in campaigns.CAMPAIGNS for lot in fact.lots}
    told = {lot.order for fact in told_campaigns() for lot in fact.lots}
    return tuple(fact for fact in orders.ORDERS if fact.key in told or fact.key not in made)


def told_revisions(fact: PartFact) -> tuple[RevisionFact, ...]:
    """Return the revisions of a part that are played, oldest first."""
    labels = {lot.label for campaign in told_campaigns() for lot in campaign.lots if lot.part == fact.number}
    labels |= {order.revision_as_written or "" for order in told_orders() if order.part == fact.number}
    labels |= {one.label for one in (*incidents.WITHDRAWALS, *incidents.SECOND_FILES) if one.part == fact.number}
    needed = [place for place, revision in enumerate(fact.revisions) if revision.label in labels]
    first = min([*needed, max(0, len(fact.revisions) - _NEWEST)])
    return fact.revisions[first:]


def told_moves(fact: PartFact) -> Iterator[tuple[str, date, str]]:
    """Yield the stage moves of a part, each with the day on which it is played."""
    measured = [
        campaign.printed + campaigns.MEASURED_AFTER
        for campaign in told_campaigns()
        if any(lot.part == fact.number and lot.order and _is_good(lot.key) for lot in campaign.lots)
    ]
    for to, day, why in fact.stages:
        if to != "retired" and (not measured or (to == "production" and not _has_evidence(fact, len(measured)))):
            continue
        if day >= BEGINS or to == "retired":
            yield to, day, why
        else:
            yield to, max(day, min(measured)), why


def _is_good(lot: str) -> bool:
    return all(case.lot != lot for case in incidents.NONCONFORMANCES)


def _has_evidence(fact: PartFact, lots: int) -> bool:
    """Say whether the lots that are played are enough for the gate: a capability bound needs three of them."""
    return lots >= 3 or fact.gate != "capability bound"


def stage_on(fact: PartFact, day: date) -> str:
    """Return the stage of a part on a day, as it is played."""
    reached = [to for to, since, _ in told_moves(fact) if since < day]
    return reached[-1] if reached else "prototype"
