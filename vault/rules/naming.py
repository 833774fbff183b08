"""What a record is called in the trade's words: one name and one line each, for lists, trees and sentences."""

from collections.abc import Mapping
from functools import singledispatch

from vault import units
from vault.model import cards, decisions, design, evidence, floor, orders, packaging
from vault.model.base import Card, Record
from vault.model.settings import Settings

Labels = Mapping[str, str]
"""ULID of a revision -> its label, and ULID of settings -> their number."""

_NOUNS = {
    "register": "the register's card", "writer": "writer code", "machine": "printer", "measured": "measured shape",
    "change": "measured change", "label-answer": "customer's answer on a label", "stage": "stage move",
    "carry-over": "carry-over decision", "box-run": "box run", "box-run-finish": "end of box run",
    "load": "furnace load", "load-finish": "end of furnace load", "lot-split": "split", "lot-merge": "merge",
    "lot-operation": "operation", "lot-finish": "finish", "equipment-event": "equipment event",
    "blend": "powder blend", "escape": "notice of escape", "review": "contract review", "order-void": "voiding",
    "order-amendment": "amendment",
    "package": "reprint package", "package-superseded": "superseding", "paper-recovered": "recovered paper",
    "export-log": "logged export",
}  # fmt: skip

_OWNERS = ("lot", "nonconformance", "order", "package", "box_run", "load", "delivery", "blend")


def noun_of(kind: str) -> str:
    """Return the trade's word for a kind of record: "box-run" is a box run."""
    return _NOUNS.get(kind, kind)


def name_of(record: Record, labels: Labels) -> str:
    """Return the short name: "lot L-26A0118", "BRK-204 rev C", "release of BRK-204 rev C"."""
    match record:
        case design.Revision():
            return f"{record.part} rev {record.label}"
        case Settings():
            return f"{record.part} settings {record.number}"
        case cards.RegisterCard():
            return noun_of(record.KIND)
        case cards.WriterCard() | cards.Customer():
            return f"{noun_of(record.KIND)} {record.code}"
        case cards.Part():
            return f"part {record.number}"
        case cards.Person():
            return f"person {record.handle}"
        case cards.Rates() | cards.Policy():
            return f"the shop's {record.KIND}"
        case _:
            return _entry_name(record, labels)


def _entry_name(record: Record, labels: Labels) -> str:
    named = str(getattr(record, "id", ""))
    if isinstance(record, Card) or "-" in named:
        return f"{noun_of(record.KIND)} {named}"
    return f"{noun_of(record.KIND)} of {_owner(record, labels)}"


def part_at(part: str, revision: str | None, labels: Labels) -> str:
    """Return a part with the label of its revision: "BRK-204 rev C"."""
    return f"{part} rev {labels.get(revision, revision)}" if revision is not None else part


def _owner(record: Record, labels: Labels) -> str:
    target = getattr(record, "target", record)
    part = getattr(target, "part", None)
    if part is not None:
        return part_at(part, getattr(target, "revision", None), labels)
    if isinstance(record, floor.EquipmentEvent):
        return str(record.machine or record.furnace or record.gauge)
    return next((str(owner) for field in _OWNERS if (owner := getattr(target, field, None))), "the register")


def line_of(record: Record, labels: Labels) -> str:
    """Return the name with what a person wants to know beside it, in one line."""
    detail = _detail(record, labels)
    return f"{name_of(record, labels)}: {detail}" if detail else name_of(record, labels)


@singledispatch
def _detail(record: Record, _labels: Labels) -> str:
    reason = getattr(record, "reason", None)
    return f"{record.at:%Y-%m-%d}" + (f", {reason}" if reason else "")


@_detail.register(cards.Machine)
@_detail.register(cards.Material)
@_detail.register(cards.Box)
@_detail.register(cards.Furnace)
@_detail.register(cards.Gauge)
@_detail.register(cards.Customer)
@_detail.register(cards.Person)
@_detail.register(cards.RegisterCard)
def _(record: cards.Machine, _labels: Labels) -> str:
    return record.name


@_detail.register
def _(record: cards.Part, _labels: Labels) -> str:
    return f"{record.description}, {record.customer} {record.customer_number}, {record.material}"


@_detail.register
def _(record: Settings, labels: Labels) -> str:
    return f"for rev {labels.get(record.made_for, record.made_for)} on {record.machine}, {record.material}"


@_detail.register
def _(record: orders.Order, labels: Labels) -> str:
    what = part_at(record.part, record.revision, labels)
    return f"{units.pieces(record.quantity)} of {what}, PO {record.po} line {record.po_line}, due {record.first_due}"


@_detail.register
def _(record: floor.Lot, labels: Labels) -> str:
    return f"{units.pieces(record.count)} of {part_at(record.part, record.revision, labels)}"


@_detail.register
def _(record: orders.Delivery, _labels: Labels) -> str:
    return f"{units.pieces(record.quantity)} of lot {record.lot} for order {record.order}, {record.shipped_on}"


@_detail.register
def _(record: orders.Return, _labels: Labels) -> str:
    return f"{units.pieces(record.quantity)} of delivery {record.delivery}, {record.arrived_on}: {record.defect}"


@_detail.register
def _(record: evidence.EscapeNotice, _labels: Labels) -> str:
    return f"{units.pieces(record.count)} of delivery {record.delivery}, told {record.told} on {record.told_on}"


@_detail.register
def _(record: floor.Blend, _labels: Labels) -> str:
    return f"{units.grams(record.made_kg * 1000)} of {record.material}, reused {record.reuse_count} times"


@_detail.register
def _(record: floor.BoxRun, _labels: Labels) -> str:
    return f"{record.box} on {record.machine}, {record.started_at:%Y-%m-%d}"


@_detail.register
def _(record: floor.FurnaceLoad, _labels: Labels) -> str:
    return f"{record.heat} in {record.furnace}, cycle {record.cycle_name}, {record.started_at:%Y-%m-%d}"


@_detail.register
def _(record: floor.LotOperation, _labels: Labels) -> str:
    return f"{record.operation}, {record.done_on}: {record.count_in} in, {record.count_on} on"


@_detail.register
def _(record: floor.LotFinish, _labels: Labels) -> str:
    return f"{record.finished_on}, {units.pieces(record.good)} good"


@_detail.register
def _(record: floor.EquipmentEvent, _labels: Labels) -> str:
    return f"{record.happened_on}, {record.what} ({record.effect})"


@_detail.register
def _(record: packaging.Package, labels: Labels) -> str:
    what = part_at(record.part, record.revision, labels)
    return f"{units.pieces(record.quantity_to_deliver)} of {what} for order {record.order}"


@_detail.register
def _(record: evidence.Measurement, _labels: Labels) -> str:
    return f"{record.measured_on}, {record.measured_in}, gauge {record.gauge or 'not stated'}"


@_detail.register
def _(record: evidence.Proof, labels: Labels) -> str:
    return f"settings {labels.get(record.settings, record.settings)} on {', '.join(record.lots)}, {record.state}"


@_detail.register
def _(record: evidence.Nonconformance, _labels: Labels) -> str:
    return f"{units.pieces(record.count)} of lot {record.lot}, found at {record.found_at}: {record.words}"


@_detail.register
def _(record: evidence.DispositionEntry, _labels: Labels) -> str:
    return f"{record.at:%Y-%m-%d}, {record.decision} {units.pieces(record.count)}"


@_detail.register(decisions.Concession)
@_detail.register(decisions.Permit)
def _(record: decisions.Permit, _labels: Labels) -> str:
    granted = record.permission
    return f"{granted.reference}, granted by {granted.granted_by} on {granted.granted_on}: {granted.words}"


@_detail.register
def _(record: decisions.Acceptance, _labels: Labels) -> str:
    return f"by {record.accepted_by} on {record.accepted_on}, {record.basis}"


@_detail.register
def _(record: decisions.StageMove, _labels: Labels) -> str:
    return f"{record.at:%Y-%m-%d}, {record.moved_from} to {record.moved_to}: {record.reason}"
