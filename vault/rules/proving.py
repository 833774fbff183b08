"""Do these lots prove these settings? Every characteristic is judged on its readings, and density against its gate."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from vault import units
from vault.model.cards import Gauge, Material
from vault.model.decisions import Hold
from vault.model.design import Characteristic, Requirements
from vault.model.evidence import FirstArticle, Judged, Measurement, Nonconformance, Proof, Reading
from vault.model.findings import Code, Finding, stops
from vault.model.floor import FurnaceLoad, LoadFinish
from vault.model.words import ArticleState, MeasuredIn, Role, SealState
from vault.rules.characteristics import is_outside, limits_in_words
from vault.rules.finding import caution, stop
from vault.rules.gauges import calibration_findings
from vault.rules.holds import hold_findings
from vault.rules.loads import witnessed
from vault.rules.lots import LotHistory

_DENSER_THAN_PORE_FREE = 1.02  # sources for pore-free densities differ by about 1 % (common practice)


@dataclass(frozen=True)
class ProofFacts:
    """Everything that a proof is judged on."""

    requirements: Requirements
    lots: tuple[LotHistory, ...]
    material: Material
    first_article: FirstArticle
    gauges: Mapping[str, Gauge]
    loads: tuple[tuple[FurnaceLoad, LoadFinish | None], ...] = ()
    holds: tuple[tuple[str, Hold], ...] = ()
    open_nonconformances: tuple[Nonconformance, ...] = ()
    baseline: tuple[tuple[Proof, Requirements], ...] = ()  # what a partial first article stands on, nearest first
    approval_missing: bool = False  # the customer asks to approve the first article, and no approval is attached

    @property
    def measurements(self) -> tuple[Measurement, ...]:
        """Every measurement of the lots, oldest first."""
        return tuple(measurement for lot in self.lots for measurement in lot.measurements)


@dataclass(frozen=True)
class Judgement:
    """What a proof would say."""

    judged: tuple[Judged, ...]
    relative_density: float | None  # the lowest reading
    density_passes: bool | None
    findings: tuple[Finding, ...]

    @property
    def state(self) -> ArticleState:
        """Complete where nothing stops."""
        return ArticleState.NOT_COMPLETE if stops(self.findings) else ArticleState.COMPLETE


def judge_proof(facts: ProofFacts) -> Judgement:
    """Judge the lots on everything that was measured on them."""
    judged = tuple(_judged(facts))
    relative, passes, density = _density(facts)
    findings = (
        *(finding for verdict in judged for finding in _characteristic_findings(verdict)),
        *density,
        *_measured_again(facts),
        *_gauge_findings(facts),
        *_load_findings(facts),
        *hold_findings(facts.holds),
        *_article_findings(facts),
    )
    return Judgement(judged, relative, passes, tuple(dict.fromkeys(findings)))


def counted_readings(measurements: Sequence[Measurement], characteristic: Characteristic) -> tuple[Reading, ...]:
    """Return the readings that count for a characteristic: in its state of the metal, the newest of each piece."""
    return tuple(readings[-1] for readings in _by_piece(measurements, characteristic).values())


def _by_piece(
    measurements: Sequence[Measurement], characteristic: Characteristic
) -> dict[tuple[str, str], list[Reading]]:
    found: dict[tuple[str, str], list[Reading]] = {}
    for measurement in measurements:
        if measurement.measured_in is not characteristic.measured_in:
            continue
        for reading in measurement.readings:
            if reading.characteristic == characteristic.number:
                found.setdefault((measurement.lot, reading.piece.casefold()), []).append(reading)
    return found


def judge_characteristic(characteristic: Characteristic, readings: Sequence[Reading]) -> Judged:
    """Judge one characteristic on the readings that count: none outside, and at least one taken."""
    values = [reading.value for reading in readings if reading.value is not None]
    outside = sum(is_outside(reading, characteristic) for reading in readings)
    why_not = None
    if not readings:
        why_not = f"not measured ({characteristic.measured_in})"
    elif outside:
        why_not = f"{outside} of {len(readings)} readings are outside {limits_in_words(characteristic)}"
    return Judged(
        characteristic=characteristic.number,
        key=characteristic.key,
        readings=len(readings),
        lowest=min(values, default=None),
        highest=max(values, default=None),
        mean=sum(values) / len(values) if values else None,
        outside=outside,
        passes=why_not is None,
        why_not=why_not[:200].strip() if why_not else None,
    )


def _judged(facts: ProofFacts) -> Iterator[Judged]:
    covered = covered_by_baseline(facts) if facts.first_article.extent == "partial" else frozenset()
    for characteristic in facts.requirements.characteristics:
        readings = counted_readings(facts.measurements, characteristic)
        if readings or characteristic.number not in covered:
            yield judge_characteristic(characteristic, readings)


def covered_by_baseline(facts: ProofFacts) -> frozenset[str]:
    """Return the characteristics that the baseline proved, unless affected now or changed on the drawing since."""
    now = {characteristic.number: characteristic for characteristic in facts.requirements.characteristics}
    covered: set[str] = set()
    failed: set[str] = set(facts.first_article.affected)
    for proof, requirements in facts.baseline:
        then = {characteristic.number: characteristic for characteristic in requirements.characteristics}
        for verdict in proof.judged:
            number = verdict.characteristic
            same = number in now and number in then and _asks_the_same(now[number], then[number])
            if verdict.passes and same and number not in failed:
                covered.add(number)
            elif number not in covered:
                failed.add(number)  # the nearest word on it counts, not an older and better one
    return frozenset(covered)


def _asks_the_same(now: Characteristic, then: Characteristic) -> bool:
    fields = ("form", "nominal", "lower", "upper", "unit", "requirement", "measured_in")
    return all(getattr(now, field) == getattr(then, field) for field in fields)


def _characteristic_findings(verdict: Judged) -> Iterator[Finding]:
    if verdict.passes:
        return
    code = Code.CHARACTERISTIC_FAILS if verdict.outside else Code.CHARACTERISTIC_NOT_MEASURED
    yield stop(code, f"characteristic {verdict.characteristic}: {verdict.why_not}", Role.QUALITY)


def _density(facts: ProofFacts) -> tuple[float | None, bool | None, tuple[Finding, ...]]:
    """Judge every density reading against the gate of the material; the lowest one is told."""
    material, reference = facts.material, facts.material.reference_density_g_cm3
    sintered = [m for m in facts.measurements if m.measured_in is not MeasuredIn.GREEN]
    read = [(f"lot {m.lot}, piece {d.piece}", d.density_g_cm3, d.pores) for m in sintered for d in m.densities]
    if not read:
        read = [
            (f"{load.id}, witness {piece.name}", piece.density_g_cm3, piece.pores or SealState.NEITHER)
            for load, finish in facts.loads
            if finish is not None
            for piece in finish.witnesses
            if piece.density_g_cm3 is not None
        ]
    if not read:
        return _density_of_baseline(facts)
    findings = []
    for name, density, pores in read:
        relative = density / reference
        words = f"{name}: density {units.percent(relative)} of pore-free"
        if not relative <= _DENSER_THAN_PORE_FREE:
            findings.append(stop(Code.READING_UNLIKELY, f"{words}; is the material right?", Role.QUALITY))
        if not relative >= material.density_gate_fraction:
            gate = f"the gate of {material.id} is {units.percent(material.density_gate_fraction)}"
            findings.append(stop(Code.DENSITY_BELOW_GATE, f"{words}, {gate}", Role.QUALITY))
        elif pores is SealState.NEITHER and not relative >= material.unsealed_reading_below_fraction:
            why = "nobody says that pores open to the surface were sealed, so the reading may be too high"
            findings.append(stop(Code.DENSITY_BELOW_GATE, f"{words}; {why}", Role.QUALITY))
    lowest = min(density for _, density, _ in read) / reference
    return lowest, not findings, tuple(findings)


def _density_of_baseline(facts: ProofFacts) -> tuple[float | None, bool | None, tuple[Finding, ...]]:
    if facts.first_article.extent == "partial" and facts.baseline:
        before = facts.baseline[0][0]
        if before.density_passes:
            return before.relative_density, True, ()
    words = "no density was measured on these lots or their witness pieces"
    return None, None, (stop(Code.DENSITY_NOT_MEASURED, words, Role.QUALITY),)


def _measured_again(facts: ProofFacts) -> Iterator[Finding]:
    for characteristic in facts.requirements.characteristics:
        for (lot, _), readings in _by_piece(facts.measurements, characteristic).items():
            if any(is_outside(older, characteristic) for older in readings[:-1]):
                words = f"characteristic {characteristic.number}, lot {lot}, piece {readings[-1].piece}: "
                words += "an earlier reading was outside; the newest counts, and a person explains it"
                yield caution(Code.MEASURED_AGAIN, words, Role.QUALITY)


def _gauge_findings(facts: ProofFacts) -> Iterator[Finding]:
    variables = {c.number for c in facts.requirements.characteristics if c.form == "variable"}
    for measurement in facts.measurements:
        if measurement.gauge is not None:
            yield from calibration_findings(facts.gauges[measurement.gauge], measurement.measured_on)
        elif variables.intersection(reading.characteristic for reading in measurement.readings):
            words = f"lot {measurement.lot}, {measurement.measured_on}: numbers were read with no gauge named"
            yield stop(Code.GAUGE_NOT_NAMED, words, Role.QUALITY)


def _load_findings(facts: ProofFacts) -> Iterator[Finding]:
    for lot in facts.lots:
        if not lot.loads:
            words = f"lot {lot.lot.id} names no furnace load that it went through"
            yield caution(Code.TOO_LITTLE_EVIDENCE, words, Role.QUALITY)
    for load, finish in facts.loads:
        if finish is None:
            yield stop(Code.STILL_RUNNING, f"furnace load {load.id} is not finished", Role.CLERK)
            continue
        if finish.deviations is not None:
            yield caution(Code.RUN_WENT_BADLY, f"furnace load {load.id}: {finish.deviations}"[:500], Role.QUALITY)
        missing = set(facts.material.witness_needed) - witnessed(finish) if "sinter" in load.heat else set()
        if missing:
            words = f"furnace load {load.id}: its witness pieces give no {', '.join(sorted(missing))}"
            yield stop(Code.WITNESS_MISSING, words, Role.QUALITY)


def _article_findings(facts: ProofFacts) -> Iterator[Finding]:
    for found in facts.open_nonconformances:
        words = f"{found.id} on lot {found.lot} is open: {found.words}"[:500]
        command = f"partstead nonconformance decide {found.id} --decision DECISION --count N"
        yield stop(Code.NONCONFORMANCE_OPEN, words, Role.QUALITY, next_command=command)
    trial = [lot.lot.id for lot in facts.lots if not lot.lot.production_representative]
    if trial:
        words = f"lot {', '.join(trial)}: development pieces, not a production run; enough for prototypes only"
        yield caution(Code.NOT_PRODUCTION_RUN, words, Role.QUALITY)
    if facts.approval_missing:
        words = "the customer asks to approve the first article, and no approval is attached"
        yield stop(Code.CUSTOMER_APPROVAL_MISSING, words, Role.DESK)
