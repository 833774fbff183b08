"""What is on record about each revision, as facts by date: received, released, accepted, superseded by, withdrawn."""

from dataclasses import dataclass
from datetime import date

from vault.model.design import KeptFile, Revision
from vault.model.shape import MeasuredShape
from vault.rules.change_words import change_sentences
from vault.rules.history import PartHistory


@dataclass(frozen=True)
class RevisionFacts:
    """One revision on one page. What did not happen has no date; `superseded_by` is a later accepted revision."""

    label: str
    id: str
    reason: str
    requested_by: str | None
    recorded_on: date
    recorded_by: str
    received_on: date | None
    released_on: date | None
    released_by: str | None
    accepted_on: date | None
    accepted_by: str | None
    superseded_by: str | None
    withdrawn_on: date | None
    withdrawn_what: str | None
    set_aside: bool
    files: tuple[KeptFile, ...]
    shape: MeasuredShape | None
    changes: tuple[str, ...]
    requirements: int | None  # how many characteristics are recorded; None where nobody recorded any yet
    settings: tuple[str, ...]  # numbers of the settings that were made for it


def revision_facts(history: PartHistory, revision: Revision) -> RevisionFacts:
    """Gather the facts about one revision of a part."""
    receipt = next((r for r in history.receipts if r.id == revision.receipt), None)
    release, acceptance = history.release_of(revision.id), history.acceptance_of(revision.id)
    withdrawal, required = history.withdrawal_of(revision.id), history.requirements.get(revision.id)
    since = history.changed_since.get(revision.id, revision.follows)
    change = history.changes.get(revision.id)
    return RevisionFacts(
        label=revision.label,
        id=revision.id,
        reason=revision.reason,
        requested_by=revision.requested_by,
        recorded_on=revision.at.date(),
        recorded_by=revision.by,
        received_on=receipt.arrived_on if receipt else None,
        released_on=release.at.date() if release else None,
        released_by=release.by if release else None,
        accepted_on=acceptance.accepted_on if acceptance else None,
        accepted_by=acceptance.accepted_by if acceptance else None,
        superseded_by=superseded_by(history, revision),
        withdrawn_on=withdrawal.at.date() if withdrawal else None,
        withdrawn_what=withdrawal.what if withdrawal else None,
        set_aside=history.is_set_aside(revision),
        files=revision.files,
        shape=history.measured.get(revision.id),
        changes=change_sentences(change, required, history.label_of(since) if since else None),
        requirements=len(required.characteristics) if required else None,
        settings=tuple(settings.number for settings in history.settings if settings.made_for == revision.id),
    )


def superseded_by(history: PartHistory, revision: Revision) -> str | None:
    """Return the label of the next revision after this one that stands accepted, or None."""
    later = history.revisions[history.revisions.index(revision) + 1 :]
    accepted = (r for r in later if history.acceptance_of(r.id) and not history.is_set_aside(r))
    return next((newer.label for newer in accepted), None)
