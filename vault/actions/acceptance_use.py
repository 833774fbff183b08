"""How much of the customer's acceptance is used: pieces that were started under it, and those that are ordered."""

from collections.abc import Iterable
from dataclasses import dataclass

from vault.actions.reading import Reader
from vault.model.decisions import Acceptance
from vault.model.design import Revision
from vault.model.floor import Lot
from vault.model.ids import Thing
from vault.model.orders import Order
from vault.rules.history import PartHistory


@dataclass(frozen=True)
class AcceptanceUse:
    """What stands against the pieces and the lots that an acceptance is for."""

    pieces: int = 0
    lots: int = 0


def acceptance_use(
    reader: Reader, history: PartHistory, asked: Revision | None, lots: tuple[Lot, ...], but_order: str | None
) -> AcceptanceUse:
    """Return what the standing acceptance of a revision is used for, leaving one order out.

    Of each order the pieces ordered count, or those started where they are more; of a voided order, and of lots
    without an order, those started. What was started before the acceptance was recorded does not count against it.
    """
    acceptance = history.acceptance_of(asked.id) if asked else None
    if acceptance is None:
        return AcceptanceUse()
    # The children of a split lot are the same pieces again.
    started = [lot for lot in lots if lot.revision == acceptance.revision and not lot.parents]
    orders = _open_orders(reader, history.card.number, acceptance.revision)
    names = {*orders, *(lot.order for lot in started if lot.order)} - {but_order}
    each = [_of_order(acceptance, orders.get(name, 0), [lot for lot in started if lot.order == name]) for name in names]
    each += [_of_order(acceptance, 0, [lot for lot in started if lot.order is None])]
    return AcceptanceUse(sum(use.pieces for use in each), sum(use.lots for use in each))


def _open_orders(reader: Reader, part: str, revision: str) -> dict[str, int]:
    """Return the pieces ordered of a revision, by order, without the voided ones."""
    recorded = [reader.order(order.id) for order in reader.referring(Thing.PART, part, Order)]
    return {
        each.order.id: each.order.quantity for each in recorded if each.void is None and each.order.revision == revision
    }


def _of_order(acceptance: Acceptance, ordered: int, lots: Iterable[Lot]) -> AcceptanceUse:
    since = [lot.count for lot in lots if lot.at >= acceptance.at]
    before = sum(lot.count for lot in lots if lot.at < acceptance.at)
    to_start = max(0, ordered - before - sum(since))
    return AcceptanceUse(sum(since) + to_start, len(since) + (1 if to_start else 0))
