"""Concessions and permits: the design authority's word that something may depart from a requirement, and how far."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from vault.actions.context import Vault
from vault.actions.deciding import Recorded, write_result
from vault.actions.finding import resolve_part, resolve_revision
from vault.actions.reading import Reader
from vault.actions.settings import settings_called
from vault.actions.upstream import lots_above
from vault.actions.writing import Draft, keep_file, record_of
from vault.errors import BadInput, Refused
from vault.model.decisions import Concession, Permission, Permit
from vault.model.design import KeptFile
from vault.model.floor import Lot
from vault.model.words import FileRole
from vault.records.codec import make
from vault.rules.history import PartHistory
from vault.rules.permissions import Verb
from vault.rules.permits import concession_reasons, granter_reasons, permit_reasons, running_lots_findings


@dataclass(frozen=True)
class NewPermission:
    """What the design authority granted, as it stands in what they wrote. It needs a quantity or a last day."""

    reference: str
    granted_by: str
    granted_on: date
    words: str
    evidence: Path
    characteristics: tuple[str, ...] = ()
    quantity: int | None = None
    until: date | None = None


def add_concession(vault: Vault, part: str, label: str, lots: tuple[str, ...], new: NewPermission) -> Concession:
    """Record a concession for lots that exist.

    Raises:
        NotFound: The revision or a lot is not recorded.
        BadInput: No quantity and no last day; a characteristic that the drawing does not have; a day that has not come.
        Refused: Somebody in the shop is named as granting it; a lot is of another revision, or was not made yet then.
    """
    kept = keep_file(vault, new.evidence, FileRole.EVIDENCE)

    def decide(reader: Reader, draft: Draft) -> tuple[str, Concession]:
        # gather
        history = reader.part(resolve_part(vault, reader, part))
        revision = resolve_revision(history, label)
        made = [reader.lot(lot_id).lot for lot_id in dict.fromkeys(lots)]
        # decide
        reasons = [*_reasons(vault, reader, history, new), *concession_reasons(new.granted_on, _days(reader, made))]
        strangers = [lot.id for lot in made if (lot.part, lot.revision) != (history.card.number, revision.id)]
        reasons += [f"lot {lot} is not of {history.card.number} rev {revision.label}" for lot in strangers]
        _refuse("This concession is not recorded:", reasons)
        permission = _permission(history, revision.id, new, kept[0])
        # write
        entry = record_of(
            draft,
            Concession,
            id=draft.new_ulid(),
            part=history.card.number,
            revision=revision.id,
            lots=tuple(lot.id for lot in made),
            permission=permission,
        )
        draft.add(entry, {kept[0].sha256: kept[1]})
        return f"{history.card.number}: concession {new.reference} of {new.granted_by} recorded", entry

    return write_result(vault, Verb.PERMISSION, decide)


def add_permit(
    vault: Vault,
    part: str,
    label: str,
    new: NewPermission,
    settings_number: str | None = None,
    lots: tuple[str, ...] = (),
) -> Recorded[Permit]:
    """Record a permit for pieces to come; `lots` names those it is meant for where they are started already.

    Raises:
        NotFound: The revision, the settings or a lot is not recorded.
        BadInput: As `add_concession`.
        Refused: Somebody in the shop is named as granting it, or a lot was started before it was granted.
    """
    kept = keep_file(vault, new.evidence, FileRole.EVIDENCE)

    def decide(reader: Reader, draft: Draft) -> tuple[str, Recorded[Permit]]:
        # gather
        history = reader.part(resolve_part(vault, reader, part))
        revision = resolve_revision(history, label)
        settings = settings_called(history, settings_number) if settings_number else None
        meant = [reader.lot(lot_id).lot for lot_id in dict.fromkeys(lots)]
        running = [lot for lot in _running(reader, history) if lot.revision == revision.id and lot not in meant]
        # decide
        reasons = [*_reasons(vault, reader, history, new), *permit_reasons(new.granted_on, _days(reader, meant))]
        _refuse("This permit is not recorded:", reasons)
        permission = _permission(history, revision.id, new, kept[0])
        # write
        entry = record_of(
            draft,
            Permit,
            id=draft.new_ulid(),
            part=history.card.number,
            revision=revision.id,
            settings=settings.id if settings else None,
            permission=permission,
        )
        draft.add(entry, {kept[0].sha256: kept[1]})
        message = f"{history.card.number}: permit {new.reference} of {new.granted_by} recorded"
        return message, Recorded(entry, tuple(running_lots_findings(new.granted_on, _days(reader, running))))

    return write_result(vault, Verb.PERMISSION, decide)


def _days(reader: Reader, lots: Iterable[Lot]) -> list[tuple[str, date]]:
    """Return each lot with the day on which its pieces were begun, however often the lot was split since."""
    return [(lot.id, min(above.at.date() for above in lots_above(reader, lot.id))) for lot in lots]


def _running(reader: Reader, history: PartHistory) -> list[Lot]:
    lots = [reader.lot(lot.id) for lot in reader.all_of(Lot, history.card.number)]
    return [lot.lot for lot in lots if lot.finish is None and not lot.has_ended]


def _reasons(vault: Vault, reader: Reader, history: PartHistory, new: NewPermission) -> list[str]:
    if new.granted_on > vault.today:
        raise BadInput(f"{new.reference}: nobody can have granted it on {new.granted_on}; today is {vault.today}")
    if new.until is not None and new.until < new.granted_on:
        raise BadInput(f"{new.reference}: granted on {new.granted_on} until {new.until}: that ended before it began")
    return list(granter_reasons(history.card, new.granted_by, reader.people()))


def _refuse(what: str, reasons: list[str]) -> None:
    if reasons:
        raise Refused("\n".join((what, *(f"  {reason}" for reason in reasons))))


def _permission(history: PartHistory, revision: str, new: NewPermission, evidence: KeptFile) -> Permission:
    requirements = history.requirements.get(revision)
    known = {characteristic.number for characteristic in requirements.characteristics} if requirements else None
    strangers = [number for number in new.characteristics if known is not None and number not in known]
    if strangers:
        raise BadInput(f"the drawing has no characteristic {', '.join(strangers)}")
    return make(
        Permission,
        reference=new.reference,
        granted_by=new.granted_by,
        granted_on=new.granted_on,
        characteristics=new.characteristics,
        words=new.words,
        quantity=new.quantity,
        until=new.until,
        evidence=evidence,
    )


@dataclass(frozen=True)
class Permissions:
    """What the design authority granted on a part."""

    concessions: tuple[Concession, ...]
    permits: tuple[Permit, ...]


def list_permissions(vault: Vault, reader: Reader, part: str) -> Permissions:
    """Return the concessions and permits of a part, oldest first. Raises NotFound."""
    history = reader.part(resolve_part(vault, reader, part))
    return Permissions(history.concessions, history.permits)
