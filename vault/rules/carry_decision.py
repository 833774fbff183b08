"""May a person decide so about a proof of an older revision? The computed verdict is advice; some things stand firm."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from vault.model.cards import Part
from vault.model.design import Requirements
from vault.model.evidence import Measurement
from vault.model.findings import Code, Finding
from vault.model.words import ArticleState, CarryVerdict, Role
from vault.rules.carry_over import is_milder
from vault.rules.finding import caution, stop
from vault.rules.proofs import Cover
from vault.rules.proving import counted_readings, judge_characteristic


@dataclass(frozen=True)
class DecisionFacts:
    """Everything that the decision is judged on."""

    card: Part
    cover: Cover
    decided: CarryVerdict
    requirements: Requirements | None  # of the revision that the proof shall cover
    measurements: Sequence[Measurement]  # that the proof rests on
    signed_by_quality: bool


def decision_findings(facts: DecisionFacts) -> Iterator[Finding]:
    """Yield what stands against the decision."""
    computed = facts.cover.computed
    if is_milder(facts.decided, computed.verdict):
        words = f"computed: {computed.verdict} ({'; '.join(computed.reasons)}); decided: {facts.decided}"
        yield caution(Code.PROOF_CARRIED, words[:500], Role.ENGINEER)
    if facts.decided is not CarryVerdict.CARRIES:
        return
    if not facts.signed_by_quality:
        yield from _signature_findings(facts)
    if facts.cover.proof.state is not ArticleState.COMPLETE:
        yield stop(Code.PROOF_NOT_COMPLETE, "a proof that is not complete cannot carry over", Role.QUALITY)
    yield from _limit_findings(facts)


def _signature_findings(facts: DecisionFacts) -> Iterator[Finding]:
    """What quality signs: every proof of a safety-critical part, and to carry what asks for a proof all over again."""
    if facts.card.criticality.is_critical:
        words = f"{facts.card.number} is {facts.card.criticality}: quality signs each proof that carries over"
        yield stop(Code.QUALITY_SIGNS, words, Role.QUALITY)
    elif facts.cover.computed.verdict is CarryVerdict.PROVE_AGAIN:
        words = f"computed: {CarryVerdict.PROVE_AGAIN}; quality signs where a proof carries over all the same"
        yield stop(Code.QUALITY_SIGNS, words, Role.QUALITY)


def _limit_findings(facts: DecisionFacts) -> Iterator[Finding]:
    """Judge the new limits on the readings there are: a tightened limit is never carried in silence."""
    if facts.requirements is None:
        words = "the requirements of this revision are not recorded, so its limits were not held against the readings"
        yield stop(Code.REQUIREMENTS_MISSING, words, Role.ENGINEER)
        return
    if not facts.requirements.drawing_compared:
        words = "nobody compared the drawing with the one of the proven revision, so a changed limit would not be seen"
        yield stop(Code.REQUIREMENTS_MISSING, words, Role.ENGINEER)
    for characteristic in facts.requirements.characteristics:
        verdict = judge_characteristic(characteristic, counted_readings(facts.measurements, characteristic))
        if verdict.passes:
            continue
        code = Code.CHARACTERISTIC_FAILS if verdict.outside else Code.CHARACTERISTIC_NOT_MEASURED
        words = f"characteristic {characteristic.number}, on the readings of the proof: {verdict.why_not}"
        yield stop(code, words, Role.QUALITY)
