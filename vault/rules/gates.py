"""May the part move to another stage? What was observed, what bound it must reach, and what is missing.

The ways into production: a capability bound, 100 % inspection written in the inspection plan, or the customer's agreed
sampling plan. The defaults of the policy are common practice, without a source.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from vault.model.capability import Capability
from vault.model.cards import Gauge, Policy
from vault.model.design import Characteristic, Revision
from vault.model.evidence import Nonconformance
from vault.model.findings import Code, Finding, stops
from vault.model.settings import Inspect, Settings
from vault.model.words import ArticleState, Role, Stage
from vault.rules.finding import caution, note, stop
from vault.rules.gauges import calibration_findings, study_findings
from vault.rules.history import PartHistory
from vault.rules.holds import hold_findings, part_holds
from vault.rules.proofs import Cover
from vault.rules.two_persons import two_persons_findings

Way = Literal["capability bound", "100 % inspection", "customer's sampling plan", "not needed"]
_FORWARD = {Stage.PROTOTYPE: Stage.RAMP, Stage.RAMP: Stage.PRODUCTION}
_RANK = {Stage.PROTOTYPE: 0, Stage.RAMP: 1, Stage.PRODUCTION: 2}


@dataclass(frozen=True)
class Measured:
    """How much was measured in this revision with these settings."""

    pieces: int = 0
    lots: int = 0
    loads: int = 0
    capabilities: Mapping[str, Capability] = field(default_factory=dict)  # by number of the characteristic
    read_with: Mapping[str, tuple[str | None, ...]] = field(default_factory=dict)  # the gauges behind each of them


@dataclass(frozen=True)
class GateFacts:
    """Everything that a move is judged on."""

    history: PartHistory
    policy: Policy
    today: date
    to: Stage
    revision: Revision | None = None
    settings: Settings | None = None
    cover: Cover | None = None
    measured: Measured = Measured()
    gauges: Mapping[str, Gauge] = field(default_factory=dict)
    open_nonconformances: tuple[Nonconformance, ...] = ()
    able: tuple[str, ...] = ()  # engineers and quality people who are here
    has_plan_evidence: bool = False  # the customer's agreed sampling plan is attached


@dataclass(frozen=True)
class Gate:
    """What was found, and by which way the key characteristics pass."""

    findings: tuple[Finding, ...]
    way: Way = "not needed"

    @property
    def is_open(self) -> bool:
        """True where nothing stops the move."""
        return not stops(self.findings)


def judge_gate(facts: GateFacts) -> Gate:
    """Judge a move. Back, and into retirement, only needs a reason."""
    now, to = facts.history.stage, facts.to
    if now is to:
        return Gate((stop(Code.STAGE_DOES_NOT_FOLLOW, f"the part is in {now} already"),))
    if to is Stage.RETIRED or (now is Stage.RETIRED and to is Stage.PROTOTYPE):
        return Gate(())
    if now is Stage.RETIRED or (_RANK[to] > _RANK[now] and _FORWARD[now] is not to):
        through = _FORWARD.get(now, Stage.PROTOTYPE)
        return Gate((stop(Code.STAGE_DOES_NOT_FOLLOW, f"from {now} a part moves to {through} first, not to {to}"),))
    if _RANK[to] < _RANK[now]:
        return Gate(())
    base = (*_revision_findings(facts), *_proof_findings(facts))
    if to is Stage.RAMP:
        return Gate(base)
    ways = _ways(facts)
    findings = (*base, *_production_findings(facts), *(finding for _, found in ways for finding in found))
    return Gate(tuple(dict.fromkeys(findings)), _weakest([way for way, _ in ways]))


def _weakest(ways: list[Way]) -> Way:
    order: tuple[Way, ...] = ("customer's sampling plan", "100 % inspection", "capability bound")
    return next((way for way in order if way in ways), "not needed")


def _revision_findings(facts: GateFacts) -> Iterator[Finding]:
    history, revision = facts.history, facts.revision
    if revision is None:
        yield stop(Code.NO_REVISION, f"{history.card.number} has no revision", Role.ENGINEER)
        return
    if history.release_of(revision.id) is None:
        command = f"partstead release {history.card.number}@{revision.label}"
        yield stop(Code.NOT_RELEASED, f"rev {revision.label} is not released", Role.ENGINEER, next_command=command)
    yield from hold_findings(part_holds(history, revision.id))
    if facts.to is Stage.PRODUCTION and history.acceptance_of(revision.id) is None:
        words = f"rev {revision.label} was not accepted by the customer"
        yield stop(Code.NOT_ACCEPTED, words, Role.DESK)


def _proof_findings(facts: GateFacts) -> Iterator[Finding]:
    if facts.revision is None:
        return
    label = facts.revision.label
    if facts.settings is None:
        yield stop(Code.NO_SETTINGS, f"there are no settings for rev {label}", Role.ENGINEER)
        return
    cover = facts.cover
    if cover is None:
        words = f"settings {facts.settings.number} were never proven: a first article on one lot is needed"
        yield stop(Code.NEVER_PROVEN, words, Role.ENGINEER, Role.QUALITY)
        return
    if cover.proof.revision != facts.revision.id:
        proven = facts.history.label_of(cover.proof.revision)
        words = f"settings {facts.settings.number} were proven on rev {proven}, not on rev {label}"
        yield stop(Code.PROOF_OF_OTHER_REVISION, words, Role.QUALITY)
    if cover.proof.state is not ArticleState.COMPLETE:
        failing = ", ".join(verdict.characteristic for verdict in cover.proof.judged if not verdict.passes)
        words = f"the first article of {facts.settings.number} is not complete: {failing or 'see the proof'}"
        yield stop(Code.PROOF_NOT_COMPLETE, words[:500], Role.QUALITY)
    if not cover.proof.density_passes:
        code = Code.DENSITY_NOT_MEASURED if cover.proof.density_passes is None else Code.DENSITY_BELOW_GATE
        yield stop(code, f"the density of the first article of {facts.settings.number} does not pass", Role.QUALITY)


def _production_findings(facts: GateFacts) -> Iterator[Finding]:
    for found in facts.open_nonconformances:
        words = f"{found.id} on lot {found.lot} is open: {found.words}"[:500]
        yield stop(Code.NONCONFORMANCE_OPEN, words, Role.QUALITY)
    if facts.cover is not None and not facts.cover.proof.production_representative:
        words = "the first article comes from development pieces, not from a production run"
        yield stop(Code.NOT_PRODUCTION_RUN, words, Role.QUALITY)
    release = facts.history.release_of(facts.revision.id) if facts.revision else None
    if facts.revision is not None and facts.cover is not None:
        yield from two_persons_findings(
            facts.policy,
            Stage.PRODUCTION,
            facts.able,
            facts.revision.by,
            release.by if release else None,
            facts.cover.proof.by,
        )


def _count_findings(facts: GateFacts) -> Iterator[Finding]:
    policy, measured = facts.policy, facts.measured
    wanted = (
        ("measured pieces", measured.pieces, policy.production_measured_minimum),
        ("lots", measured.lots, policy.production_lots_minimum),
        ("furnace loads", measured.loads, policy.production_loads_minimum),
    )
    for what, have, need in wanted:
        if have < need:
            words = f"{have} of {need} {what} of this revision with these settings: {need - have} more"
            yield stop(Code.TOO_LITTLE_EVIDENCE, words, Role.QUALITY)


def _ways(facts: GateFacts) -> list[tuple[Way, tuple[Finding, ...]]]:
    """Return for each key characteristic the way by which it passes, or every reason why by none."""
    requirements = facts.history.requirements.get(facts.revision.id) if facts.revision else None
    if requirements is None:
        missing = stop(Code.REQUIREMENTS_MISSING, "the drawing's requirements are not recorded", Role.ENGINEER)
        return [("not needed", (missing,))]
    keys = [characteristic for characteristic in requirements.characteristics if characteristic.key]
    if not keys:
        words = "the drawing names no key characteristic; the counts and the first article decide alone"
        named = caution(Code.TOO_LITTLE_EVIDENCE, words, Role.QUALITY)
        return [("not needed", (named, *_count_findings(facts)))]
    return [_way_of(facts, characteristic) for characteristic in keys]


def _way_of(facts: GateFacts, characteristic: Characteristic) -> tuple[Way, tuple[Finding, ...]]:
    capable = (*_capability_findings(facts, characteristic), *_read_with_findings(facts, characteristic.number))
    if not stops(capable):
        return "capability bound", capable
    for way, line in _planned(facts, characteristic):
        gauge = tuple(_plan_gauge_findings(facts, characteristic, line))
        return way, (*(note(finding.code, finding.sentence) for finding in capable), *gauge)
    return "not needed", capable


def _capability_findings(facts: GateFacts, characteristic: Characteristic) -> Iterator[Finding]:
    number, minimum = characteristic.number, facts.policy.capability_minimum
    others = "100 % inspection in the inspection plan or the customer's sampling plan would do instead"
    if characteristic.form == "attribute":
        words = f"key characteristic {number} is go/no-go and has no capability; {others}"
        yield stop(Code.CAPABILITY_BELOW_GATE, words, Role.QUALITY)
        return
    yield from _count_findings(facts)
    found = facts.measured.capabilities.get(number)
    if found is None:
        yield stop(Code.CHARACTERISTIC_NOT_MEASURED, f"key characteristic {number} has too few readings", Role.QUALITY)
        return
    name = f"key characteristic {number}: Ppk {found.ppk:.2f} on {found.readings} pieces of {found.lots} lots"
    if found.looks_normal is False:
        words = f"{name}, and the readings are not normal, so Ppk does not speak for them; {others}"
        yield stop(Code.CAPABILITY_BELOW_GATE, words, Role.QUALITY)
    if found.drifts:
        yield stop(Code.CAPABILITY_BELOW_GATE, f"{name}, and the lots drift one way; find out why", Role.QUALITY)
    if found.lots < facts.policy.production_lots_minimum:
        words = f"{name}: lot-to-lot variation shows from {facts.policy.production_lots_minimum} lots on"
        yield stop(Code.TOO_LITTLE_EVIDENCE, words, Role.QUALITY)
    elif not found.bound >= minimum:
        more = f"{found.lots_needed} such lots would do" if found.lots_needed else "no number of such lots would do"
        words = f"{name}, lower {found.confidence:.0%} bound {found.bound:.2f} of {minimum:.2f}: {more}; {others}"
        yield stop(Code.CAPABILITY_BELOW_GATE, words, Role.QUALITY)


def _read_with_findings(facts: GateFacts, number: str) -> Iterator[Finding]:
    """Yield what stands against the gauges that a capability rests on."""
    if number not in facts.measured.capabilities:
        return
    for name in facts.measured.read_with.get(number, (None,)):
        if name is None:
            words = f"key characteristic {number} was read with no gauge named"
            yield stop(Code.GAUGE_NOT_NAMED, words, Role.QUALITY)
        else:
            yield from study_findings(facts.gauges[name], number)


def _planned(facts: GateFacts, characteristic: Characteristic) -> Iterator[tuple[Way, Inspect]]:
    """Yield the other ways that the inspection plan of the settings opens, the stronger one first."""
    plan = facts.settings.inspection if facts.settings else ()
    lines = [line for line in plan if characteristic.number in line.characteristics]
    yield from (("100 % inspection", line) for line in lines if line.how_many == "100 %")
    if facts.has_plan_evidence:
        yield from (("customer's sampling plan", line) for line in lines if line.how_many == "sample")


def _plan_gauge_findings(facts: GateFacts, characteristic: Characteristic, line: Inspect) -> Iterator[Finding]:
    gauge = facts.gauges.get(line.gauge) if line.gauge else None
    if gauge is None:
        words = f"the inspection plan names no gauge for key characteristic {characteristic.number}"
        yield stop(Code.GAUGE_NOT_NAMED, words, Role.QUALITY)
        return
    yield from calibration_findings(gauge, facts.today)
    yield from study_findings(gauge, characteristic.number)
