"""What goes to the customer and what comes back."""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from vault.actions.context import Vault
from vault.actions.reading import OrderHistory, Reader
from vault.actions.refusing import words_of
from vault.actions.writing import Draft, keep_file, record_of, write
from vault.errors import BadInput, Refused
from vault.model.evidence import Nonconformance
from vault.model.findings import Finding
from vault.model.ids import Thing
from vault.model.orders import Delivery, Order, Return
from vault.model.words import FileRole
from vault.rules.history import PartHistory
from vault.rules.lots import LotHistory, balance_findings
from vault.rules.permissions import Verb


@dataclass(frozen=True)
class NewDelivery:
    """What is typed when pieces leave the shop."""

    order: str
    lot: str
    quantity: int
    shipped_on: date | None = None
    serials: tuple[str, ...] = ()
    carrier_reference: str | None = None
    certificate: Path | None = None


def ship(vault: Vault, new: NewDelivery) -> Delivery:
    """Record a delivery.

    Raises:
        NotFound: The order or the lot is not recorded.
        Refused: A hold, an open nonconformance or an unbalanced count touches the lot; the lot has not so many good
            pieces; it is of another revision than ordered; or more would go than the PO allows.
    """
    on = new.shipped_on or vault.today
    if on > vault.today:
        raise BadInput(f"nothing can have been shipped on {on}; today is {vault.today}")
    kept = keep_file(vault, new.certificate, FileRole.EVIDENCE) if new.certificate else None
    made: list[Delivery] = []

    def decide(reader: Reader, draft: Draft) -> str:
        recorded, lot = reader.order(new.order), reader.lot(new.lot)
        reasons = tuple(reasons_against_shipping(reader, recorded, lot, new))
        if reasons:
            raise Refused("\n".join((f"nothing is shipped from {new.lot}:", *(f"  {reason}" for reason in reasons))))
        delivery = record_of(
            draft,
            Delivery,
            id=draft.allot(Thing.DELIVERY),
            order=recorded.order.id,
            lot=lot.lot.id,
            quantity=new.quantity,
            serials=new.serials,
            shipped_on=on,
            carrier_reference=new.carrier_reference,
            certificate=kept[0] if kept else None,
        )
        draft.add(delivery, {kept[0].sha256: kept[1]} if kept else None)
        made[:] = [delivery]
        return f"{delivery.id}: {new.quantity} of {recorded.order.part} from {new.lot} for {new.order}"

    write(vault, Verb.SHIP, decide)
    return made[0]


def reasons_against_shipping(reader: Reader, recorded: OrderHistory, lot: LotHistory, new: NewDelivery) -> list[str]:
    """Return every reason why these pieces may not go to this order."""
    order = recorded.order
    history = reader.part(order.part)
    reasons = [words_of(finding) for finding in _findings(lot)]
    reasons += [f"{name} is on hold: {hold}" for name, hold in _holds(reader, lot, history)]
    reasons += [f"{found} is open on lot {lot.lot.id}" for found in _open_on(reader, lot)]
    if recorded.void is not None:
        reasons.append(f"order {order.id} was voided: {recorded.void.reason}")
    if lot.finish is None:
        reasons.append(f"lot {lot.lot.id} is not finished")
    elif new.quantity > lot.left:
        reasons.append(f"lot {lot.lot.id} has {lot.left} good pieces left, not {new.quantity}")
    if lot.lot.part != order.part:
        reasons.append(f"lot {lot.lot.id} is of {lot.lot.part}, the order is for {order.part}")
    elif lot.lot.revision != order.revision:
        made = history.label_of(lot.lot.revision)
        asked = history.label_of(order.revision) if order.revision else "none"
        reasons.append(f"lot {lot.lot.id} is rev {made}, the order is for rev {asked}: the wrong revision")
    reasons += _quantity_reasons(reader, order, new)
    return reasons


def _findings(lot: LotHistory) -> tuple[Finding, ...]:
    return balance_findings(lot)


def _holds(reader: Reader, lot: LotHistory, history: PartHistory) -> list[tuple[str, str]]:
    held: list[tuple[str, str]] = [
        (history.card.number, hold.reason) for hold in history.standing_holds(lot.lot.revision)
    ]
    for name in dict.fromkeys((lot.lot.id, *lot.lot.blends, *lot.lot.box_runs, *lot.loads)):
        held += [(name, hold.reason) for hold in reader.standing_holds_of(name)]
    return held


def _open_on(reader: Reader, lot: LotHistory) -> list[str]:
    found = reader.referring(Thing.LOT, lot.lot.id, Nonconformance)
    return [one.id for one in found if reader.nonconformance(one.id).is_open]


def _quantity_reasons(reader: Reader, order: Order, new: NewDelivery) -> list[str]:
    delivered = sum(delivery.quantity for delivery in reader.referring(Thing.ORDER, order.id, Delivery))
    allowed = order.quantity + order.over_allowed
    reasons = []
    if delivered + new.quantity > allowed:
        reasons.append(
            f"order {order.id} allows {allowed} pieces; {delivered} went already, {new.quantity} more are too many"
        )
    needs_serials = any(clause.about == "serials" for clause in order.clauses)
    if needs_serials and len(set(new.serials)) != new.quantity:
        reasons.append(f"order {order.id} asks for a serial on every piece, and {len(set(new.serials))} were given")
    return reasons


def take_back(
    vault: Vault, delivery_id: str, quantity: int, defect: str, arrived_on: date, pieces_came_back: bool
) -> Return:
    """Record a return or a complaint.

    Raises:
        NotFound: There is no such delivery.
        BadInput: More came back than was delivered.
    """
    made: list[Return] = []

    def decide(reader: Reader, draft: Draft) -> str:
        delivery = reader.delivery(delivery_id)
        before = sum(one.quantity for one in reader.referring(Thing.DELIVERY, delivery.id, Return))
        if before + quantity > delivery.quantity:
            raise BadInput(
                f"{delivery.id} was of {delivery.quantity} pieces, {before} are back; {quantity} more cannot be"
            )
        made[:] = [
            record_of(
                draft,
                Return,
                id=draft.allot(Thing.RETURN),
                delivery=delivery.id,
                quantity=quantity,
                defect=defect,
                arrived_on=arrived_on,
                pieces_came_back=pieces_came_back,
            )
        ]
        draft.add(made[0])
        return f"{made[0].id}: {quantity} of {delivery.id} came back: {defect}"

    write(vault, Verb.SHIP, decide)
    return made[0]
