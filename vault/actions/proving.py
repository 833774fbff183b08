"""Proving settings on lots: gather everything that was measured, judge it, record what it proves."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Literal

from vault.actions.context import Vault
from vault.actions.deciding import Recorded, agreed, write_result
from vault.actions.finding import resolve_part, resolve_revision
from vault.actions.loads import load_finish_of
from vault.actions.reading import Reader
from vault.actions.settings import settings_called
from vault.actions.upstream import holds_over_lot, open_nonconformances
from vault.actions.writing import Draft, keep_file, record_of
from vault.errors import BadInput, NotFound, Refused
from vault.model.cards import Gauge
from vault.model.design import Requirements, Revision
from vault.model.evidence import FirstArticle, Proof
from vault.model.findings import Code, Finding, stops
from vault.model.ids import Thing
from vault.model.settings import Settings
from vault.model.words import Answer, FileRole, Stage
from vault.records.codec import make
from vault.rules.history import PartHistory
from vault.rules.lots import LotHistory
from vault.rules.permissions import Verb
from vault.rules.proving import Judgement, ProofFacts, judge_proof
from vault.rules.two_persons import able_persons, two_persons_findings


@dataclass(frozen=True)
class NewProof:
    """What is typed for a proof. A partial first article names its baseline, the reason and what is affected."""

    lots: tuple[str, ...]
    extent: Literal["full", "partial"] = "full"
    baseline: str | None = None
    reason: str | None = None
    affected: tuple[str, ...] = ()
    customer_approval: Path | None = None


@dataclass(frozen=True)
class _Case:
    """The things that a proof is about, and what it was judged on."""

    history: PartHistory
    revision: Revision
    settings: Settings
    facts: ProofFacts


def judged_so_far(vault: Vault, part: str, label: str, settings_number: str, new: NewProof) -> Judgement:
    """Judge a proof without recording it. Raises as `prove`, but for who may record it."""
    return judge_proof(_case(vault, Reader(vault.store.at(), vault.index), part, label, settings_number, new).facts)


def prove(vault: Vault, part: str, label: str, settings_number: str, new: NewProof) -> Recorded[Proof]:
    """Record what the lots prove about the settings; a proof that is not complete is recorded too, with every reason.

    Raises:
        NotFound: The part, revision, settings, requirements, a lot or the baseline is not recorded.
        Refused: A lot is of another part, revision or settings; nothing was measured; a gauge was out of calibration;
            or one person alone recorded, released and proved where two are asked for.
    """
    kept = keep_file(vault, new.customer_approval, FileRole.EVIDENCE) if new.customer_approval else None

    def decide(reader: Reader, draft: Draft) -> tuple[str, Recorded[Proof]]:
        # gather
        case = _case(vault, reader, part, label, settings_number, new)
        # decide
        judgement = judge_proof(case.facts)
        name = f"{case.history.card.number} rev {case.revision.label} with {case.settings.number}"
        _refuse_unusable(reader, case, judgement, draft.by, vault.today, name)
        # write
        proof = _proof(draft, reader, case, judgement)
        if kept is not None:
            proof = proof.model_copy(update={"customer_approval": kept[0]})
        draft.add(proof, {kept[0].sha256: kept[1]} if kept else None)
        lots = ", ".join(proof.lots)
        return f"{name} proved on {lots}: {proof.state}", Recorded(proof, judgement.findings)

    return write_result(vault, Verb.PROVE, decide)


def _case(vault: Vault, reader: Reader, part: str, label: str, settings_number: str, new: NewProof) -> _Case:
    history = reader.part(resolve_part(vault, reader, part))
    revision = resolve_revision(history, label)
    settings = settings_called(history, settings_number)
    requirements = history.requirements.get(revision.id)
    if requirements is None:
        raise NotFound(f"the requirements of {history.card.number} rev {revision.label} are not recorded")
    if not new.lots:
        raise BadInput("a proof names the lots that it rests on")
    lots = tuple(reader.lot(lot_id) for lot_id in dict.fromkeys(new.lots))
    _refuse_strangers(history, revision, settings, lots)
    used = [m.gauge for lot in lots for m in lot.measurements if m.gauge is not None]
    gauges: dict[str, Gauge] = {gauge: reader.gauge(gauge) for gauge in dict.fromkeys(used)}
    loads = tuple(dict.fromkeys(load for lot in lots for load in lot.loads))
    facts = ProofFacts(
        requirements=requirements,
        lots=lots,
        material=reader.material(settings.material),
        first_article=_first_article(new, requirements),
        gauges=gauges,
        loads=tuple((reader.load(load), load_finish_of(reader, load)) for load in loads),
        holds=tuple(dict.fromkeys(held for lot in lots for held in holds_over_lot(reader, lot.lot.id))),
        open_nonconformances=open_nonconformances(reader, [lot.lot.id for lot in lots]),
        baseline=_baseline(reader, history, new.baseline),
        approval_missing=new.customer_approval is None and _approval_asked(reader, history, lots),
    )
    return _Case(history, revision, settings, facts)


def _refuse_strangers(history: PartHistory, revision: Revision, settings: Settings, lots: Sequence[LotHistory]) -> None:
    reasons = []
    for lot in (history_of.lot for history_of in lots):
        if lot.part != history.card.number:
            reasons.append(f"lot {lot.id} is of part {lot.part}")
        elif lot.revision != revision.id:
            reasons.append(f"lot {lot.id} is of rev {history.label_of(lot.revision)}, not of rev {revision.label}")
        elif lot.settings != settings.id:
            reasons.append(f"lot {lot.id} was not made with settings {settings.number}")
    if reasons:
        raise Refused("\n".join(("these lots prove nothing here:", *(f"  {reason}" for reason in reasons))))


def _first_article(new: NewProof, requirements: Requirements) -> FirstArticle:
    known = {characteristic.number for characteristic in requirements.characteristics}
    strangers = [number for number in new.affected if number not in known]
    if strangers:
        raise BadInput(f"the drawing has no characteristic {', '.join(strangers)}")
    return make(FirstArticle, extent=new.extent, baseline=new.baseline, reason=new.reason, affected=tuple(new.affected))


def _baseline(reader: Reader, history: PartHistory, ulid: str | None) -> tuple[tuple[Proof, Requirements], ...]:
    """Return the chain of proofs below a partial first article, nearest first, each with what it was judged against."""
    chain: list[tuple[Proof, Requirements]] = []
    while ulid is not None:
        proof = next((proof for proof in history.proofs if proof.id == ulid), None)
        if proof is None:
            raise NotFound(f"{history.card.number} has no proof {ulid}")
        asked = reader.located(Thing.ENTRY, proof.requirements)
        if not isinstance(asked, Requirements):
            raise NotFound(f"the requirements of proof {ulid} are not recorded; run `partstead check`")
        chain.append((proof, asked))
        ulid = proof.first_article.baseline
    return tuple(chain)


def _approval_asked(reader: Reader, history: PartHistory, lots: Sequence[LotHistory]) -> bool:
    if reader.customer(history.card.customer).first_article_approval is Answer.YES:
        return True
    orders = dict.fromkeys(lot.lot.order for lot in lots if lot.lot.order is not None)
    clauses = [clause.about for order in orders for clause in reader.order(order).order.clauses]
    return "first-article approval" in clauses


def _refuse_unusable(reader: Reader, case: _Case, judgement: Judgement, prover: str, today: date, name: str) -> None:
    if not case.facts.measurements:
        raise Refused(f"{name}: nothing was measured on these lots; measure them with `partstead measure LOT FILE.csv`")
    release = case.history.release_of(case.revision.id)
    stage: Stage = case.history.stage
    alone = two_persons_findings(
        reader.policy(),
        stage,
        able_persons(reader.people(), today),
        case.revision.by,
        release.by if release else None,
        prover,
    )
    gauges: list[Finding] = [f for f in stops(judgement.findings) if f.code is Code.GAUGE_OUT_OF_CALIBRATION]
    agreed(f"{name} is not proved:", (*gauges, *alone))


def _proof(draft: Draft, reader: Reader, case: _Case, judgement: Judgement) -> Proof:
    machine = reader.machine(case.settings.machine)
    facts = case.facts
    return record_of(
        draft,
        Proof,
        id=draft.new_ulid(),
        part=case.history.card.number,
        revision=case.revision.id,
        settings=case.settings.id,
        requirements=facts.requirements.id,
        lots=tuple(lot.lot.id for lot in facts.lots),
        loads=tuple(load.id for load, _ in facts.loads),
        measurements=tuple(measurement.id for measurement in facts.measurements),
        first_article=facts.first_article,
        production_representative=all(lot.lot.production_representative for lot in facts.lots),
        judged=judgement.judged,
        relative_density=judgement.relative_density,
        density_passes=judgement.density_passes,
        open_nonconformances=tuple(found.id for found in facts.open_nonconformances),
        state=judgement.state,
        site=machine.site,
        machine_firmware=machine.firmware,
        print_preparation=machine.print_preparation,
        last_operation_on=_last_operation(facts.lots),
    )


def _last_operation(lots: Sequence[LotHistory]) -> date:
    """Return the day of the last production operation; measuring is none, but is better than no day."""
    done = [operation.done_on for lot in lots for operation in lot.operations]
    done += [lot.finish.finished_on for lot in lots if lot.finish is not None]
    return max(done or [lot.lot.at.date() for lot in lots])
