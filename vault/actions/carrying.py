"""Deciding whether a proof of an older revision covers a newer one."""

from vault.actions.context import Vault
from vault.actions.deciding import Recorded, agreed, write_result
from vault.actions.finding import resolve_part, resolve_revision
from vault.actions.reading import Reader
from vault.actions.settings import settings_called
from vault.actions.writing import Draft, record_of
from vault.errors import NotAllowed, NotFound, Refused
from vault.model.decisions import CarryOver
from vault.model.design import Revision
from vault.model.evidence import Measurement, Proof
from vault.model.ids import Handle
from vault.model.settings import Settings
from vault.model.words import CarryVerdict, Role
from vault.rules.carry_decision import DecisionFacts, decision_findings
from vault.rules.history import PartHistory
from vault.rules.permissions import Verb
from vault.rules.proofs import Cover, choose_settings, cover_of


def carry(
    vault: Vault,
    part: str,
    label: str,
    decided: CarryVerdict,
    reason: str,
    settings_number: str | None = None,
    as_quality: bool = False,
) -> Recorded[CarryOver]:
    """Record the decision whether the proof of these settings covers a revision; `as_quality` signs it for quality.

    Raises:
        NotFound: The revision, the settings or any proof of them is not recorded.
        NotAllowed: The person signs for quality and is not of quality.
        Refused: The revision was proven itself; the part is safety-critical and quality did not sign; the proof is not
            complete; or a limit of the new revision fails on the readings there are.
    """

    def decide(reader: Reader, draft: Draft) -> tuple[str, Recorded[CarryOver]]:
        # gather
        history = reader.part(resolve_part(vault, reader, part))
        revision = resolve_revision(history, label)
        settings = _settings(reader, history, revision, settings_number)
        cover = cover_to_decide(reader, history, settings, revision)
        signer = _signer(reader, draft.by) if as_quality else None
        # decide
        asked = history.requirements.get(revision.id)
        read = measurements_of(reader, cover.proof)
        facts = DecisionFacts(history.card, cover, decided, asked, read, signed_by_quality=signer is not None)
        name = f"{history.card.number} rev {revision.label}, settings {settings.number}"
        findings = agreed(f"{name}: not decided so:", decision_findings(facts))
        # write
        entry = _entry(draft, cover, revision, decided, reason, signer)
        draft.add(entry)
        return f"{name}: {decided}: {reason}", Recorded(entry, findings)

    return write_result(vault, Verb.CARRY, decide)


def _entry(
    draft: Draft, cover: Cover, revision: Revision, decided: CarryVerdict, reason: str, signer: Handle | None
) -> CarryOver:
    return record_of(
        draft,
        CarryOver,
        id=draft.new_ulid(),
        part=revision.part,
        proof=cover.proof.id,
        proven_revision=cover.proof.revision,
        revision=revision.id,
        computed=cover.computed.verdict,
        decided=decided,
        reason=reason,
        signed_by_quality=signer,
    )


def _settings(reader: Reader, history: PartHistory, revision: Revision, number: str | None) -> Settings:
    if number is not None:
        return settings_called(history, number)
    chosen = choose_settings(history, revision.id, reader.policy().carry)
    if chosen is None:
        raise NotFound(f"{history.card.number} has no settings yet")
    return chosen


def cover_to_decide(reader: Reader, history: PartHistory, settings: Settings, revision: Revision) -> Cover:
    """Return the proof of older revisions that a decision would be about, with what was computed.

    Raises:
        NotFound: The settings were never proven.
        Refused: They were proven on this very revision.
    """
    cover = cover_of(history, settings, revision.id, reader.policy().carry)
    if cover is None:
        raise NotFound(f"{history.card.number}: settings {settings.number} were never proven, so nothing carries over")
    if cover.proof.revision == revision.id:
        raise Refused(
            f"settings {settings.number} were proven on rev {revision.label} itself; nothing is to be decided"
        )
    return cover


def _signer(reader: Reader, handle: Handle) -> Handle:
    person = reader.person(handle)
    if person is None or Role.QUALITY not in person.roles:
        able = ", ".join(p.handle for p in reader.people() if Role.QUALITY in p.roles) or "nobody here"
        raise NotAllowed(f"{handle} may not sign for quality; who can: {able}")
    return handle


def measurements_of(reader: Reader, proof: Proof) -> tuple[Measurement, ...]:
    """Return the measurements that a proof rests on, oldest first."""
    wanted = set(proof.measurements)
    return tuple(entry for lot in proof.lots for entry in reader.lot(lot).measurements if entry.id in wanted)
