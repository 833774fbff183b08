"""Nonconformances: finding pieces that are not as required sets the lot apart; deciding about them frees it again."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from vault import units
from vault.actions.context import Vault
from vault.actions.deciding import write_result
from vault.actions.reading import NonconformanceHistory, Reader
from vault.actions.upstream import lots_above
from vault.actions.writing import Draft, keep_file, record_of
from vault.errors import BadInput, NotFound, Refused
from vault.model.decisions import Concession, Hold, HoldTarget, Lift
from vault.model.evidence import DispositionEntry, EscapeNotice, Nonconformance
from vault.model.ids import Thing
from vault.model.words import Disposition, FileRole
from vault.records.codec import make
from vault.rules.lots import LotHistory
from vault.rules.permissions import Verb
from vault.rules.permits import concession_used, cover_reasons


@dataclass(frozen=True)
class NewNonconformance:
    """What is typed when pieces are found that are not as required."""

    lot: str
    count: int
    words: str
    found_at: str
    characteristic: str | None = None
    found_by: str | None = None  # the person asking, where nobody is named
    evidence: Path | None = None


def add_nonconformance(vault: Vault, new: NewNonconformance) -> Nonconformance:
    """Record a nonconformance and put its lot on hold, in one commit.

    Raises:
        NotFound: There is no such lot.
        BadInput: More pieces than the lot began with, or a characteristic that the drawing does not have.
        Refused: The pieces went on in other lots.
    """
    kept = keep_file(vault, new.evidence, FileRole.EVIDENCE) if new.evidence else None

    def decide(reader: Reader, draft: Draft) -> tuple[str, Nonconformance]:
        # gather and decide
        history = reader.lot(new.lot)
        lot = history.lot
        _refuse_ended(history)
        if new.count > lot.count:
            raise BadInput(f"lot {lot.id} began with {units.pieces(lot.count)}; {new.count} cannot be wrong")
        _refuse_unknown_characteristic(reader, lot.part, lot.revision, new.characteristic)
        # write
        found = record_of(
            draft,
            Nonconformance,
            id=draft.allot(Thing.NONCONFORMANCE),
            part=lot.part,
            lot=lot.id,
            count=new.count,
            characteristic=new.characteristic,
            found_at=new.found_at,
            found_by=new.found_by or draft.by,
            words=new.words,
            evidence=kept[0] if kept else None,
        )
        draft.add(found, {kept[0].sha256: kept[1]} if kept else None)
        target = make(HoldTarget, lot=lot.id)
        reason = f"{_hold_reason(found.id)}: {new.words}"[:4000]
        draft.add(record_of(draft, Hold, id=draft.new_ulid(), target=target, reason=reason))
        return f"{found.id}: {units.pieces(new.count)} of lot {lot.id}, {new.words}", found

    return write_result(vault, Verb.NONCONFORMANCE, decide)


def _refuse_ended(history: LotHistory) -> None:
    onward = history.split.children if history.split else (history.merge.into,) if history.merge else ()
    if onward:
        raise Refused(f"the pieces of lot {history.lot.id} went on in {', '.join(onward)}; name the one they are in")


def _hold_reason(found_id: str) -> str:
    return f"nonconformance {found_id}"


def _refuse_unknown_characteristic(reader: Reader, part: str, revision: str, number: str | None) -> None:
    requirements = reader.part(part).requirements.get(revision)
    known = {characteristic.number for characteristic in requirements.characteristics} if requirements else set()
    if number is not None and known and number not in known:
        raise BadInput(f"the drawing of {part} has no characteristic {number}; it has {', '.join(sorted(known))}")


@dataclass(frozen=True)
class Decision:
    """What is decided about some of the pieces."""

    decision: Disposition
    count: int
    concession: str | None = None  # the customer's reference, or the entry's ULID
    reinspected: bool = False
    made_unusable_by: str | None = None
    cause: str | None = None
    action: str | None = None


def decide_nonconformance(vault: Vault, found_id: str, new: Decision) -> NonconformanceHistory:
    """Record a decision about a nonconformance; when no piece is undecided any more, its hold on the lot is lifted.

    Raises:
        NotFound: There is no such nonconformance or concession.
        BadInput: More pieces than are undecided; rework without inspection; scrap that nobody made unusable; repair or
            use as is without the customer's concession.
        Refused: The concession does not cover these pieces.
    """

    def decide(reader: Reader, draft: Draft) -> tuple[str, NonconformanceHistory]:
        # gather
        history = reader.nonconformance(found_id)
        found = history.nonconformance
        concession = _concession(reader, found, new.concession) if new.concession else None
        # decide
        undecided = found.count - sum(entry.count for entry in history.decisions)
        if new.count > undecided:
            raise BadInput(f"{found_id}: {undecided} of {found.count} pieces undecided, not {new.count}")
        if concession is not None:
            _refuse_uncovered(reader, found, concession, new.count, vault.today)
        # write
        entry = record_of(
            draft,
            DispositionEntry,
            id=draft.new_ulid(),
            nonconformance=found.id,
            decision=new.decision,
            count=new.count,
            concession=concession.id if concession else None,
            reinspected=new.reinspected,
            made_unusable_by=new.made_unusable_by,
            cause=new.cause,
            action=new.action,
        )
        draft.add(entry)
        after = NonconformanceHistory(found, (*history.decisions, entry))
        if not after.is_open:
            _lift_holds(reader, draft, found)
        return f"{found_id}: {units.pieces(new.count)}, {new.decision}", after

    return write_result(vault, Verb.DISPOSE, decide)


def _concession(reader: Reader, found: Nonconformance, named: str) -> Concession:
    """Return the newest concession of the part with this reference or ULID."""
    concessions = reader.part(found.part).concessions
    fitting = [c for c in concessions if named in {c.id, c.permission.reference}]
    if not fitting:
        known = ", ".join(c.permission.reference for c in concessions) or "none"
        raise NotFound(f"{found.part} has no concession {named}; recorded are {known}")
    return fitting[-1]


def _refuse_uncovered(reader: Reader, found: Nonconformance, concession: Concession, count: int, today: date) -> None:
    family = lots_above(reader, found.lot)
    used = concession_used(concession, reader.referring(Thing.ENTRY, concession.id, DispositionEntry))
    reasons = tuple(cover_reasons(concession, family, found.characteristic, count, used, today))
    if reasons:
        raise Refused("\n".join((f"{found.id} is not covered:", *(f"  {reason}" for reason in reasons))))


def _lift_holds(reader: Reader, draft: Draft, found: Nonconformance) -> None:
    """Lift the hold that this nonconformance put on its lot, and no other."""
    own = _hold_reason(found.id)
    for hold in reader.standing_holds_of(found.lot):
        if hold.reason == own or hold.reason.startswith(f"{own}:"):
            reason = f"every piece of {found.id} is decided"
            draft.add(record_of(draft, Lift, id=draft.new_ulid(), target=hold.target, hold=hold.id, reason=reason))


def list_nonconformances(
    reader: Reader, part: str | None = None, lot: str | None = None, only_open: bool = False
) -> tuple[NonconformanceHistory, ...]:
    """Return nonconformances (of a part, of a lot, the open ones only), oldest first."""

    def wanted() -> Iterator[NonconformanceHistory]:
        for found in reader.all_of(Nonconformance, part):
            history = reader.nonconformance(found.id)
            if lot in {None, found.lot} and (history.is_open or not only_open):
                yield history

    return tuple(wanted())


@dataclass(frozen=True)
class NewEscape:
    """What is typed when something wrong was shipped, and the customer was told."""

    delivery: str
    count: int
    words: str
    told: str
    told_on: date
    evidence: Path | None = None


def record_escape(vault: Vault, new: NewEscape) -> EscapeNotice:
    """Record a notice of escape.

    Raises:
        NotFound: There is no such delivery.
        BadInput: More pieces than were delivered, or told on a day that has not come or was before the delivery.
    """
    kept = keep_file(vault, new.evidence, FileRole.EVIDENCE) if new.evidence else None

    def decide(reader: Reader, draft: Draft) -> tuple[str, EscapeNotice]:
        delivery = reader.delivery(new.delivery)
        if new.count > delivery.quantity:
            raise BadInput(
                f"{delivery.id} was {units.pieces(delivery.quantity)}; {new.count} cannot have escaped with it"
            )
        if not delivery.shipped_on <= new.told_on <= vault.today:
            raise BadInput(f"{delivery.id} was shipped on {delivery.shipped_on}; told on {new.told_on} cannot be")
        notice = record_of(
            draft,
            EscapeNotice,
            id=draft.allot(Thing.ESCAPE),
            delivery=delivery.id,
            count=new.count,
            words=new.words,
            told=new.told,
            told_on=new.told_on,
            evidence=kept[0] if kept else None,
        )
        draft.add(notice, {kept[0].sha256: kept[1]} if kept else None)
        return f"Notice of escape {notice.id} for {delivery.id}: {new.told} told", notice

    return write_result(vault, Verb.NONCONFORMANCE, decide)
