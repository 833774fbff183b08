"""Orders on a terminal."""

from vault import units
from vault.actions.context import Vault
from vault.actions.finding import resolve_part
from vault.actions.reading import OrderHistory, Reader
from vault.cli.recorded import labels_of
from vault.cli.session import reader_of
from vault.cli.show import Shown, table
from vault.cli.views.records import with_entries
from vault.model.ids import Thing
from vault.model.orders import Delivery, Order
from vault.model.packaging import Package


def orders_shown(vault: Vault, part: str | None, only_open: bool) -> Shown:
    """Return order lines, one in a line, oldest first. Raises NotFound."""
    reader = reader_of(vault)
    orders = reader.all_of(Order, resolve_part(vault, reader, part) if part else None)
    found = [(reader.order(order.id), _delivered(reader, order)) for order in orders]
    chosen = [(history, gone) for history, gone in found if not only_open or _is_open(history, gone)]
    labels = labels_of(reader, [history.order.part for history, _ in chosen])
    rows = [_row(history, gone, labels) for history, gone in chosen]
    data = [
        {**history.order.model_dump(mode="json"), "delivered": gone, "void": history.void is not None}
        for history, gone in chosen
    ]
    heading = ("ORDER", "PART", "ORDERED", "DELIVERED", "DUE", "PO", "")
    return Shown(data, tuple(table(heading, rows, right=frozenset({2, 3}))))


def _row(history: OrderHistory, delivered: int, labels: dict[str, str]) -> tuple[str, ...]:
    order = history.order
    label = labels.get(order.revision, "?") if order.revision else "none"
    state = "void" if history.void else "" if history.review else "not reviewed"
    part = f"{order.part} rev {label}"
    return (
        order.id,
        part,
        str(order.quantity),
        str(delivered),
        str(order.first_due),
        f"{order.po}/{order.po_line}",
        state,
    )


def _delivered(reader: Reader, order: Order) -> int:
    return sum(delivery.quantity for delivery in reader.referring(Thing.ORDER, order.id, Delivery))


def _is_open(history: OrderHistory, delivered: int) -> bool:
    return history.void is None and delivered < history.order.quantity - history.order.under_allowed


def order_shown(vault: Vault, order_id: str) -> Shown:
    """Return an order line with its review, packages and deliveries. Raises NotFound, BadInput."""
    reader = reader_of(vault)
    history = reader.order(order_id)
    own = [entry for entry in (*history.amendments, history.review, history.void) if entry is not None]
    packages = reader.referring(Thing.ORDER, history.order.id, Package)
    deliveries = reader.referring(Thing.ORDER, history.order.id, Delivery)
    shown = with_entries(reader, history.order, (*own, *packages, *deliveries))
    gone = sum(delivery.quantity for delivery in deliveries)
    left = f"delivered: {units.pieces(gone)} of {history.order.quantity}"
    return Shown(shown.data, (*shown.lines, "", left))
