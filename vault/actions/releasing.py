"""The shop releases a revision, the customer accepts it, and either is taken back."""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from vault.actions.context import Vault
from vault.actions.finding import resolve_part, resolve_revision
from vault.actions.reading import Reader
from vault.actions.writing import Draft, keep_file, record_of, write
from vault.errors import BadInput, Refused
from vault.model.decisions import Acceptance, Release, Withdrawal
from vault.model.words import AcceptanceBasis, FileRole, Role, Stage
from vault.rules.history import PartHistory
from vault.rules.permissions import Verb


def release(vault: Vault, part: str, label: str, note: str | None = None) -> Release:
    """Release a revision for making.

    Raises:
        NotFound: There is no such revision.
        Refused: It is released already, has no closed shape, or the same person recorded it where two are asked for.
    """
    made: list[Release] = []

    def decide(reader: Reader, draft: Draft) -> str:
        history = reader.part(resolve_part(vault, reader, part))
        revision = resolve_revision(history, label)
        name = f"{history.card.number} rev {revision.label}"
        if history.release_of(revision.id) is not None:
            raise Refused(f"{name} is released already")
        shape = history.measured.get(revision.id)
        if shape is None or not shape.topology.closed:
            raise Refused(
                f"SHAPE_OPEN {name}: the surface is not closed, so it cannot be printed; ask for a closed file"
            )
        _refuse_one_person(reader, history, revision.by, vault.me, name)
        made[:] = [
            record_of(draft, Release, id=draft.new_ulid(), part=history.card.number, revision=revision.id, note=note)
        ]
        draft.add(made[0])
        return f"{name} released"

    write(vault, Verb.RELEASE, decide)
    return made[0]


def _refuse_one_person(reader: Reader, history: PartHistory, recorded_by: str, me: str, name: str) -> None:
    if history.stage is not Stage.PRODUCTION or not reader.policy().two_persons_from_production or recorded_by != me:
        return
    able = [p for p in reader.people() if {Role.ENGINEER, Role.QUALITY}.intersection(p.roles) and p.left_on is None]
    if len(able) > 1:
        others = ", ".join(person.handle for person in able if person.handle != me)
        raise Refused(f"TWO_PERSONS {name}: {me} recorded it, so another person releases it: {others}")


@dataclass(frozen=True)
class NewAcceptance:
    """What is typed when a customer accepted a revision."""

    basis: AcceptanceBasis
    accepted_by: str
    accepted_on: date
    evidence: Path
    reference: str | None = None
    conditions: str | None = None
    quantity: int | None = None
    lots: int | None = None
    until: date | None = None


def accept(vault: Vault, part: str, label: str, new: NewAcceptance) -> Acceptance:
    """Record that the customer accepted a revision, with the evidence.

    Raises:
        NotFound: There is no such revision.
        Refused: The shop never released it.
        BadInput: No evidence, or a date that cannot be.
    """
    if new.accepted_on > vault.today:
        raise BadInput(f"nobody can have accepted on {new.accepted_on}; today is {vault.today}")
    if new.until is not None and new.until < new.accepted_on:
        raise BadInput(f"accepted on {new.accepted_on} until {new.until}: that ended before it began")
    kept, stored = keep_file(vault, new.evidence, FileRole.EVIDENCE)
    made: list[Acceptance] = []

    def decide(reader: Reader, draft: Draft) -> str:
        history = reader.part(resolve_part(vault, reader, part))
        revision = resolve_revision(history, label)
        name = f"{history.card.number} rev {revision.label}"
        if history.release_of(revision.id) is None:
            raise Refused(f"NOT_RELEASED {name} was never released by the shop; an engineer releases it first")
        fields = {name: getattr(new, name) for name in NewAcceptance.__dataclass_fields__ if name != "evidence"}
        entry = record_of(
            draft,
            Acceptance,
            id=draft.new_ulid(),
            part=history.card.number,
            revision=revision.id,
            evidence=kept,
            **fields,
        )
        draft.add(entry, {kept.sha256: stored})
        made[:] = [entry]
        return f"{name} accepted by {new.accepted_by}"

    write(vault, Verb.ACCEPT, decide)
    return made[0]


def withdraw(vault: Vault, part: str, label: str, reason: str, what: str = "release") -> Withdrawal:
    """Take back the standing release or acceptance of a revision. Raises Refused where there is none."""
    made: list[Withdrawal] = []

    def decide(reader: Reader, draft: Draft) -> str:
        history = reader.part(resolve_part(vault, reader, part))
        revision = resolve_revision(history, label)
        name = f"{history.card.number} rev {revision.label}"
        standing = history.release_of(revision.id) if what == "release" else history.acceptance_of(revision.id)
        if standing is None:
            raise Refused(f"{name} has no standing {what} to withdraw")
        entry = record_of(
            draft,
            Withdrawal,
            id=draft.new_ulid(),
            part=history.card.number,
            revision=revision.id,
            withdraws=standing.id,
            what=what,
            reason=reason,
        )
        draft.add(entry)
        made[:] = [entry]
        return f"{name}: {what} withdrawn: {reason}"

    write(vault, Verb.WITHDRAW, decide)
    return made[0]
