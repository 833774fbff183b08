"""The shop releases a revision, the customer accepts it, and either is taken back."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from vault.actions.context import Vault
from vault.actions.deciding import agreed, write_result
from vault.actions.finding import resolve_part, resolve_revision
from vault.actions.reading import Reader
from vault.actions.writing import Draft, keep_file, record_of
from vault.errors import BadInput, Refused
from vault.model.decisions import Acceptance, Release, Withdrawal
from vault.model.design import Revision
from vault.model.findings import Code, Finding
from vault.model.words import AcceptanceBasis, FileRole, Role
from vault.rules.finding import stop
from vault.rules.history import PartHistory
from vault.rules.permissions import Verb
from vault.rules.two_persons import able_persons, two_persons_findings


def release(vault: Vault, part: str, label: str, note: str | None = None) -> Release:
    """Release a revision for making.

    Raises:
        NotFound: There is no such revision.
        Refused: It is released already, has no closed shape, or one person alone recorded, proved and would release it
            where two are asked for.
    """

    def decide(reader: Reader, draft: Draft) -> tuple[str, Release]:
        # gather
        history = reader.part(resolve_part(vault, reader, part))
        revision = resolve_revision(history, label)
        name = f"{history.card.number} rev {revision.label}"
        # decide
        if history.release_of(revision.id) is not None:
            raise Refused(f"{name} is released already")
        alone = _one_person(reader, history, revision, draft.by, vault.today)
        agreed(f"{name} is not released:", (*_shape_findings(history, revision), *alone))
        # write
        entry = record_of(
            draft, Release, id=draft.new_ulid(), part=history.card.number, revision=revision.id, note=note
        )
        draft.add(entry)
        return f"{name} released", entry

    return write_result(vault, Verb.RELEASE, decide)


def _shape_findings(history: PartHistory, revision: Revision) -> Iterator[Finding]:
    shape = history.measured.get(revision.id)
    if shape is None or not shape.is_solid:
        words = "the surface is not closed or inside out, so it cannot be printed; ask for another file"
        yield stop(Code.SHAPE_OPEN, words, Role.ENGINEER, Role.DESK)


def _one_person(reader: Reader, history: PartHistory, revision: Revision, me: str, today: date) -> Iterator[Finding]:
    """Yield a stop where the same person recorded the revision and proved settings on it, and nobody else did."""
    provers = {proof.by for proof in history.proofs if proof.revision == revision.id}
    able = able_persons(reader.people(), today)
    alone = me if provers == {me} else None
    yield from two_persons_findings(reader.policy(), history.stage, able, revision.by, me, alone)


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

    def decide(reader: Reader, draft: Draft) -> tuple[str, Acceptance]:
        history = reader.part(resolve_part(vault, reader, part))
        revision = resolve_revision(history, label)
        name = f"{history.card.number} rev {revision.label}"
        if history.release_of(revision.id) is None:
            command = f"partstead release {history.card.number}@{revision.label}"
            words = "it was never released by the shop; an engineer releases it first"
            agreed(f"{name} is not accepted:", [stop(Code.NOT_RELEASED, words, Role.ENGINEER, next_command=command)])
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
        return f"{name} accepted by {new.accepted_by}", entry

    return write_result(vault, Verb.ACCEPT, decide)


def withdraw(vault: Vault, part: str, label: str, reason: str, what: str = "release") -> Withdrawal:
    """Take back the standing release or acceptance of a revision. Raises Refused where there is none."""

    def decide(reader: Reader, draft: Draft) -> tuple[str, Withdrawal]:
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
        return f"{name}: {what} withdrawn: {reason}", entry

    return write_result(vault, Verb.WITHDRAW, decide)
