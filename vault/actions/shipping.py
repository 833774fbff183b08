"""What goes to the customer and what comes back."""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from vault.actions.acceptance_now import acceptance_scope
from vault.actions.context import Vault
from vault.actions.deciding import agreed, write_result
from vault.actions.reading import OrderHistory, Reader
from vault.actions.upstream import holds_over_lot, holds_over_part, lots_above, open_nonconformances
from vault.actions.writing import Draft, keep_file, record_of
from vault.errors import BadInput
from vault.model.ids import Thing
from vault.model.orders import Delivery, Return
from vault.model.words import FileRole
from vault.rules.permissions import Verb
from vault.rules.shipping import ShipFacts, shipping_findings


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
        BadInput: It would have left on a day that has not come.
        Refused: A hold or an open nonconformance on the lot or on anything it is made of; counts that do not balance;
            not so many good pieces; another revision than ordered, or one that is not released or not accepted;
            a gauge that was out of calibration; or more than the PO or the acceptance allows.
    """
    on = new.shipped_on or vault.today
    if on > vault.today:
        raise BadInput(f"nothing can have been shipped on {on}; today is {vault.today}")
    kept = keep_file(vault, new.certificate, FileRole.EVIDENCE) if new.certificate else None

    def decide(reader: Reader, draft: Draft) -> tuple[str, Delivery]:
        # gather
        recorded = reader.order(new.order)
        facts = _facts(vault, reader, recorded, new)
        # decide
        agreed(f"nothing is shipped from {new.lot}:", shipping_findings(facts))
        # write
        delivery = record_of(
            draft,
            Delivery,
            id=draft.allot(Thing.DELIVERY),
            order=recorded.order.id,
            lot=facts.lot.lot.id,
            quantity=new.quantity,
            serials=new.serials,
            shipped_on=on,
            carrier_reference=new.carrier_reference,
            certificate=kept[0] if kept else None,
        )
        draft.add(delivery, {kept[0].sha256: kept[1]} if kept else None)
        return f"{delivery.id}: {new.quantity} of {recorded.order.part} from {new.lot} for {new.order}", delivery

    return write_result(vault, Verb.SHIP, decide)


def _facts(vault: Vault, reader: Reader, recorded: OrderHistory, new: NewDelivery) -> ShipFacts:
    order, lot = recorded.order, reader.lot(new.lot)
    holds = (*holds_over_part(reader, lot.lot.part, lot.lot.revision), *holds_over_lot(reader, lot.lot.id))
    family = [reader.lot(above.id) for above in lots_above(reader, lot.lot.id)]
    measurements = tuple(measurement for above in family for measurement in above.measurements)
    used = dict.fromkeys(measurement.gauge for measurement in measurements)
    return ShipFacts(
        order=order,
        lot=lot,
        history=reader.part(order.part),
        quantity=new.quantity,
        serials=new.serials,
        delivered_before=sum(each.quantity for each in reader.referring(Thing.ORDER, order.id, Delivery)),
        void_because=recorded.void.reason if recorded.void else None,
        holds=holds,
        open_nonconformances=open_nonconformances(reader, [lot.lot.id]),
        measurements=measurements,
        gauges={gauge: reader.gauge(gauge) for gauge in used if gauge is not None},
        acceptance_scope=acceptance_scope(vault, reader, order),
    )


def take_back(
    vault: Vault, delivery_id: str, quantity: int, defect: str, arrived_on: date, pieces_came_back: bool
) -> Return:
    """Record a return or a complaint.

    Raises:
        NotFound: There is no such delivery.
        BadInput: More came back than was delivered.
    """

    def decide(reader: Reader, draft: Draft) -> tuple[str, Return]:
        delivery = reader.delivery(delivery_id)
        before = sum(one.quantity for one in reader.referring(Thing.DELIVERY, delivery.id, Return))
        if before + quantity > delivery.quantity:
            raise BadInput(
                f"{delivery.id} was of {delivery.quantity} pieces, {before} are back; {quantity} more cannot be"
            )
        returned = record_of(
            draft,
            Return,
            id=draft.allot(Thing.RETURN),
            delivery=delivery.id,
            quantity=quantity,
            defect=defect,
            arrived_on=arrived_on,
            pieces_came_back=pieces_came_back,
        )
        draft.add(returned)
        return f"{returned.id}: {quantity} of {delivery.id} came back: {defect}", returned

    return write_result(vault, Verb.SHIP, decide)
