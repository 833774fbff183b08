"""Counting a lot through its operations, finishing it, and deciding about good pieces above the order."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path
from typing import Literal

from vault import units
from vault.actions.context import Vault
from vault.actions.deciding import Recorded, write_result
from vault.actions.loads import load_finish_of
from vault.actions.reading import Reader
from vault.actions.upstream import lots_above
from vault.actions.writing import Draft, keep_file, record_of
from vault.errors import BadInput, Refused
from vault.model.findings import Code, Finding
from vault.model.floor import FurnaceLoad, LotFinish, LotOperation, Scrapped, Surplus
from vault.model.ids import AllottedId
from vault.model.words import FileRole, Role
from vault.records.codec import make
from vault.rules.finding import caution
from vault.rules.lots import LotHistory, balance_findings
from vault.rules.permissions import Verb


@dataclass(frozen=True)
class Counts:
    """Counts at one operation: in = on + scrapped by cause + to rework + held + destroyed in test + missing."""

    into: int
    on: int
    scrapped: Mapping[str, int] = field(default_factory=dict)
    to_rework: int = 0
    held: int = 0
    destroyed_in_test: int = 0
    missing: int = 0


@dataclass(frozen=True)
class Done:
    """By whom and where an operation was done."""

    done_on: date | None = None
    done_by: str | None = None
    supplier: str | None = None
    supplier_certificate: Path | None = None
    load: str | None = None


def record_operation(
    vault: Vault, lot_id: str, operation: str, counts: Counts, done: Done | None = None
) -> Recorded[LotOperation]:
    """Record the counts of a lot at one operation. Counts that do not balance are recorded, and block delivery.

    Raises:
        NotFound: The lot or the furnace load is not recorded.
        BadInput: The day is in the future, or the load does not hold this lot.
        Refused: The lot has ended.
    """
    done = done or Done()
    done_on = done.done_on or vault.today
    if done_on > vault.today:
        raise BadInput(f"lot {lot_id}: {done_on} has not come yet; today is {vault.today}")
    kept = keep_file(vault, done.supplier_certificate, FileRole.EVIDENCE) if done.supplier_certificate else None

    def decide(reader: Reader, draft: Draft) -> tuple[str, Recorded[LotOperation]]:
        history = _open_lot(reader, lot_id)
        load = _load_with(reader, done.load, lot_id) if done.load else None
        entry = record_of(
            draft,
            LotOperation,
            id=draft.new_ulid(),
            lot=history.lot.id,
            operation=operation,
            done_on=done_on,
            done_by=done.done_by or (None if done.supplier else draft.by),
            supplier=done.supplier,
            supplier_certificate=kept[0] if kept else None,
            load=load.id if load else None,
            count_in=counts.into,
            count_on=counts.on,
            scrapped=tuple(make(Scrapped, cause=cause, count=count) for cause, count in counts.scrapped.items()),
            to_rework=counts.to_rework,
            held=counts.held,
            destroyed_in_test=counts.destroyed_in_test,
            missing=counts.missing,
        )
        draft.add(entry, {kept[0].sha256: kept[1]} if kept else None)
        findings = (*_load_cautions(reader, load), *balance_findings(_with(history, entry)))
        return f"Lot {lot_id}, {operation}: {counts.into} in, {counts.on} on", Recorded(entry, findings)

    return write_result(vault, Verb.FLOOR, decide)


def _open_lot(reader: Reader, lot_id: str) -> LotHistory:
    history = reader.lot(lot_id)
    if history.has_ended or history.finish is not None:
        raise Refused(f"lot {lot_id} has ended; nothing is counted on it any more")
    return history


def _load_with(reader: Reader, load_id: str, lot_id: str) -> FurnaceLoad:
    load = reader.load(load_id)
    family = {lot.id for lot in lots_above(reader, lot_id)}
    if family.isdisjoint(placed.lot for placed in load.placed):
        raise BadInput(f"lot {lot_id} was not in furnace load {load_id}")
    return load


def _load_cautions(reader: Reader, load: FurnaceLoad | None) -> tuple[Finding, ...]:
    if load is None or load_finish_of(reader, load.id) is not None:
        return ()
    command = f"partstead load finish {load.id}"
    return (caution(Code.STILL_RUNNING, f"load {load.id} is not finished yet", Role.CLERK, next_command=command),)


def _with(history: LotHistory, entry: LotOperation) -> LotHistory:
    return replace(history, operations=(*history.operations, entry))


def finish_lot(
    vault: Vault, lot_id: str, good: int, finished_on: date | None = None, note: str | None = None
) -> Recorded[LotFinish]:
    """Record that a lot is finished, and how many good pieces came out.

    Raises:
        NotFound: There is no such lot.
        Refused: It has ended already.
        BadInput: More good pieces than the last operation passed on, fewer where nothing counted the others out, or a
            day that has not come.
    """
    day = finished_on or vault.today
    if day > vault.today:
        raise BadInput(f"lot {lot_id}: {day} has not come yet; today is {vault.today}")

    def decide(reader: Reader, draft: Draft) -> tuple[str, Recorded[LotFinish]]:
        history = _open_lot(reader, lot_id)
        _refuse_unexplained(history, good)
        entry = record_of(
            draft, LotFinish, id=draft.new_ulid(), lot=history.lot.id, finished_on=day, good=good, note=note
        )
        draft.add(entry)
        findings = balance_findings(replace(history, finish=entry))
        return f"Lot {lot_id} finished: {units.pieces(good)} good", Recorded(entry, findings)

    return write_result(vault, Verb.FLOOR, decide)


def _refuse_unexplained(history: LotHistory, good: int) -> None:
    lot_id, there, usable = history.lot.id, history.pieces_now, history.usable_now
    if good > there:
        raise BadInput(f"lot {lot_id} has {units.pieces(there)}; {good} good ones cannot be")
    if good < usable:
        raise BadInput(
            f"lot {lot_id} has {units.pieces(usable)}; count first where {usable - good} of them went: "
            f"`partstead lot operation {lot_id} OPERATION --in {there} --on {good} --scrap CAUSE={there - good}`"
        )


@dataclass(frozen=True)
class NewSurplus:
    """What is decided about good pieces above the order."""

    count: int
    decision: Literal["ship with the customer's consent", "keep", "scrap"]
    where: str | None = None
    until: date | None = None
    consent: Path | None = None


def record_surplus(vault: Vault, lot_id: str, new: NewSurplus) -> Surplus:
    """Record what happens to good pieces above the order.

    Raises:
        NotFound: There is no such lot.
        Refused: The lot is not finished.
        BadInput: More than are left; kept pieces without place and last day; shipping without the customer's consent.
    """
    if new.decision == "keep" and (new.where is None or new.until is None):
        raise BadInput(f"lot {lot_id}: kept pieces need a place and a last day")
    if new.decision == "ship with the customer's consent" and new.consent is None:
        raise BadInput(f"lot {lot_id}: the customer's consent is attached as a file")
    kept = keep_file(vault, new.consent, FileRole.EVIDENCE) if new.consent else None

    def decide(reader: Reader, draft: Draft) -> tuple[str, Surplus]:
        history = reader.lot(lot_id)
        if history.finish is None:
            raise Refused(f"lot {lot_id} is not finished; surplus is counted on good pieces")
        free = history.left - history.kept
        if new.count > free:
            on_shelf = f" ({history.kept} are kept already)" if history.kept else ""
            raise BadInput(f"lot {lot_id} has {units.pieces(max(0, free))} left, not {new.count}{on_shelf}")
        entry = record_of(
            draft,
            Surplus,
            id=draft.new_ulid(),
            lot=AllottedId(history.lot.id),
            count=new.count,
            decision=new.decision,
            where=new.where,
            until=new.until,
            consent=kept[0] if kept else None,
        )
        draft.add(entry, {kept[0].sha256: kept[1]} if kept else None)
        return f"Lot {lot_id}: {units.pieces(new.count)} surplus, {new.decision}", entry

    return write_result(vault, Verb.FLOOR, decide)
