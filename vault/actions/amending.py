"""Amending a recorded order line: what the customer changed or made clear about its revision."""

from dataclasses import dataclass
from pathlib import Path

from vault.actions.context import Vault
from vault.actions.deciding import Recorded, write_result
from vault.actions.reading import OrderHistory, Reader
from vault.actions.readying import answer, question_of
from vault.actions.writing import Draft, keep_file, record_of
from vault.errors import Refused
from vault.model.design import KeptFile
from vault.model.ids import Thing
from vault.model.orders import Order, OrderAmendment
from vault.model.packaging import Package
from vault.model.words import FileRole
from vault.rules.history import PartHistory
from vault.rules.labels import read_po_label
from vault.rules.permissions import Verb


@dataclass(frozen=True)
class NewAmendment:
    """What is new about an order line; what is None stays as it is."""

    reason: str
    po_revision: str | None = None
    amendment: str | None = None
    confirm_first_issue: bool = False
    older_revision: Path | None = None


def amend_order(vault: Vault, order_id: str, new: NewAmendment) -> Recorded[OrderAmendment]:
    """Record an amendment of an order line, and what still stands against making it.

    The revision is looked up anew: an order that came before its revision was recorded names it from here on.

    Raises:
        NotFound: There is no such order.
        Refused: The order was voided or has a live package, or nothing would change.
    """
    kept = keep_file(vault, new.older_revision, FileRole.EVIDENCE) if new.older_revision else None

    def decide(reader: Reader, draft: Draft) -> tuple[str, OrderAmendment]:
        recorded = reader.order(order_id)
        _refuse_late(reader, recorded)
        history = reader.part(recorded.order.part)
        amendment = _amendment(draft, history, recorded.order, new, kept[0] if kept else None)
        if amendment.applied_to(recorded.order) == recorded.order:
            raise Refused(f"{order_id} stands so already; nothing was recorded")
        draft.add(amendment, {kept[0].sha256: kept[1]} if kept else None)
        return f"{order_id} amended: {new.reason}", amendment

    amendment = write_result(vault, Verb.ORDER, decide)
    reader = Reader(vault.store.at(), vault.index)
    order = reader.order(order_id).order
    judged = answer(vault, reader, question_of(order, reader.part(order.part)))
    return Recorded(amendment, judged.readiness.findings)


def _refuse_late(reader: Reader, recorded: OrderHistory) -> None:
    order_id = recorded.order.id
    if recorded.void is not None:
        raise Refused(f"{order_id} was voided: {recorded.void.reason}")
    for package in reader.referring(Thing.ORDER, order_id, Package):
        if reader.package(package.id).is_live:
            command = f"`partstead package supersede {package.id} --because REASON`"
            raise Refused(f"{order_id} has the package {package.id}, made as it stands now; first {command}")


def _amendment(
    draft: Draft, history: PartHistory, order: Order, new: NewAmendment, document: KeptFile | None
) -> OrderAmendment:
    written = order.revision_as_written if new.po_revision is None else new.po_revision or None
    label = read_po_label(written).label
    meant = history.meant_by(label) if label is not None else None
    # What somebody said about one revision says nothing about another.
    same = meant is not None and meant.id == order.revision
    return record_of(
        draft,
        OrderAmendment,
        id=draft.new_ulid(),
        order=order.id,
        revision=meant.id if meant else None,
        amendment=new.amendment or order.amendment,
        revision_as_written=written,
        dash_confirmed_by=draft.by if new.confirm_first_issue else order.dash_confirmed_by if same else None,
        older_revision_document=document or (order.older_revision_document if same else None),
        reason=new.reason,
    )
