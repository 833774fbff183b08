"""Readiness, third question: do the settings still hold? Proof, lapse, equipment, orientation, compensation."""

from collections.abc import Iterator
from datetime import timedelta

from vault.model.design import Revision
from vault.model.evidence import Proof
from vault.model.findings import Code, Finding
from vault.model.settings import NearNet, Settings
from vault.model.words import Answer, ArticleState, CarryVerdict, Role, ServiceEffect, Stage
from vault.rules.facts import Facts
from vault.rules.finding import caution, note, stop
from vault.rules.gauges import study_findings
from vault.rules.proofs import Cover, cover_of
from vault.rules.readiness_design import material_findings


def making_findings(facts: Facts) -> Iterator[Finding]:
    """Yield what stands against making the revision asked for with the settings chosen."""
    yield from material_findings(facts)
    if facts.asked is None:
        return
    settings = facts.settings
    if settings is None:
        command = f"partstead settings add {facts.history.card.number}@{facts.asked.label} FILE.json"
        yield stop(
            Code.NO_SETTINGS, "there are no settings to make this part with", Role.ENGINEER, next_command=command
        )
        return
    yield from _box_findings(facts, settings, facts.asked)
    yield from _compensation_findings(facts, settings, facts.asked)
    yield from _equipment_findings(facts, settings)
    yield from _gauge_findings(facts, settings)
    cover = cover_of(facts.history, settings, facts.asked.id, facts.policy.carry)
    if cover is None:
        yield _unproven(facts, settings, facts.asked)
        yield from _other_orientation(facts, settings)
    else:
        yield from _cover_findings(facts, settings, cover, facts.asked)
        yield from _proof_findings(facts, settings, cover.proof)
    if settings.invented_for_demo:
        yield note(Code.DEMO_SETTINGS, "DEMO: invented settings, do not sinter")


def _prove_command(facts: Facts, settings: Settings, label: str) -> str:
    return f"partstead prove {facts.history.card.number}@{label} --settings {settings.number} --lot LOT"


def _unproven(facts: Facts, settings: Settings, asked: Revision) -> Finding:
    words = f"settings {settings.number} were never proven on a lot"
    command = _prove_command(facts, settings, asked.label)
    # First pieces are made to prove the settings; from ramp on there must be a proof.
    weigh = caution if facts.history.stage is Stage.PROTOTYPE else stop
    return weigh(Code.NEVER_PROVEN, words, Role.ENGINEER, Role.QUALITY, next_command=command)


def _other_orientation(facts: Facts, settings: Settings) -> Iterator[Finding]:
    """Scale is proven for a pair of orientations: how the part lies in the box, and how on the setter."""
    proven = {proof.settings for proof in facts.history.proofs}
    pairs = {s.number: _pair(s) for s in facts.history.settings if s.id in proven}
    if pairs and _pair(settings) not in pairs.values():
        known = "; ".join(f"{number}: {pair}" for number, pair in pairs.items())
        words = f"settings {settings.number} lay the part {_pair(settings)}, which is not proven (proven are {known})"
        yield stop(Code.ORIENTATION_NOT_PROVEN, words, Role.ENGINEER, Role.QUALITY)


def _pair(settings: Settings) -> str:
    lies = (settings.print_orientation, settings.sinter_orientation)
    printed, sintered = (turn.name or f"at an angle {turn.rows}" for turn in lies)
    return f"{printed} in the box and {sintered} on the setter"


def _cover_findings(facts: Facts, settings: Settings, cover: Cover, asked: Revision) -> Iterator[Finding]:
    if cover.proof.revision == asked.id:
        return
    proven = facts.history.label_of(cover.proof.revision)
    reasons = cover.decision.reason if cover.decision else "; ".join(cover.computed.reasons)
    words = (
        f"settings {settings.number} were proven on rev {proven}; for rev {asked.label}: {cover.verdict} ({reasons})"
    )
    command = _prove_command(facts, settings, asked.label)
    critical = facts.history.card.criticality.is_critical
    unsigned = critical and (cover.decision is None or cover.decision.signed_by_quality is None)
    if cover.verdict is CarryVerdict.CARRIES and not unsigned:
        yield caution(Code.PROOF_CARRIED, words, Role.ENGINEER)
        return
    if unsigned and cover.verdict is CarryVerdict.CARRIES:
        words += "; the part is safety-critical, so quality signs each one"
    weigh = caution if facts.history.stage is Stage.PROTOTYPE else stop
    yield weigh(Code.PROOF_OF_OTHER_REVISION, words, Role.ENGINEER, Role.QUALITY, next_command=command)


def _proof_findings(facts: Facts, settings: Settings, proof: Proof) -> Iterator[Finding]:
    prototype = facts.history.stage is Stage.PROTOTYPE
    weigh = caution if prototype else stop
    if proof.state is not ArticleState.COMPLETE:
        failing = ", ".join(judged.characteristic for judged in proof.judged if not judged.passes) or "see the proof"
        yield weigh(Code.PROOF_NOT_COMPLETE, f"the proof of {settings.number} is not complete: {failing}", Role.QUALITY)
    for judged in proof.judged:
        if judged.outside:
            count = f"{judged.outside} of {judged.readings} readings"
            words = f"characteristic {judged.characteristic}: {count} are outside the limits"
            yield weigh(Code.CHARACTERISTIC_FAILS, words, Role.QUALITY)
    if proof.density_passes is None:
        words = f"the density of the parts proven with {settings.number} was not measured"
        yield weigh(Code.DENSITY_NOT_MEASURED, words, Role.QUALITY)
    elif not proof.density_passes:
        yield weigh(
            Code.DENSITY_BELOW_GATE,
            f"the density proven with {settings.number} is below the material's gate",
            Role.QUALITY,
        )
    if not proof.production_representative and not prototype:
        words = f"the proof of {settings.number} comes from development pieces, not from a production run"
        yield stop(Code.NOT_PRODUCTION_RUN, words, Role.QUALITY)
    yield from _lapse_findings(facts, settings, proof)


def _lapse_findings(facts: Facts, settings: Settings, proof: Proof) -> Iterator[Finding]:
    last = max(filter(None, (proof.last_operation_on, facts.last_made_on)))
    allowed = timedelta(days=facts.policy.proof_lapses_after_days)
    who = (Role.QUALITY, Role.ENGINEER)
    if facts.today - last > allowed:
        words = f"last made on {last}, more than {allowed.days} days ago: the proof of {settings.number} has lapsed"
        yield stop(Code.PROOF_LAPSED, words, *who)
    for event in facts.events:
        touches = event.machine == settings.machine or event.furnace in {
            settings.debind.furnace,
            settings.sinter.furnace,
        }
        # On the same day nobody knows which came first, so what was measured that day does not speak for after it.
        if touches and event.effect is ServiceEffect.AFFECTS_QUALITY and event.happened_on >= proof.last_operation_on:
            named = ", ".join(event.characteristics) or "every characteristic"
            words = f"{event.machine or event.furnace}, {event.happened_on}: {event.what}; measure {named} again"
            yield stop(Code.EQUIPMENT_CHANGED, words, *who)
    machine = facts.machine
    if machine is None:
        return
    compared = (
        ("site", proof.site, machine.site),
        ("firmware", proof.machine_firmware, machine.firmware),
        ("print preparation", proof.print_preparation, machine.print_preparation),
    )
    for what, then, now in compared:
        if then != now:
            was, is_now = then or "not recorded", now or "not recorded"
            words = f"{what} of {machine.id} was {was} at the proof of {settings.number} and is {is_now} now"
            yield stop(Code.SPECIFICATION_CHANGED, words, *who)


def _box_findings(facts: Facts, settings: Settings, asked: Revision) -> Iterator[Finding]:
    shape = facts.history.measured.get(asked.id)
    if shape is None or not facts.boxes:
        return
    scale = (settings.scale.x, settings.scale.y, settings.scale.z)
    turned = settings.print_orientation.turned_size_mm(settings.shape_to_print(shape).size_mm)
    green = tuple(edge * factor for edge, factor in zip(turned, scale, strict=True))
    for box in facts.boxes:
        inside = tuple(edge - 2 * box.wall_margin_mm for edge in box.size_mm)
        # Half turns about z keep the box axes; a quarter turn would swap the scale of x and y.
        if all(edge <= room for edge, room in zip(green, inside, strict=True)):
            return
    size = " x ".join(f"{edge:.1f}" for edge in green)
    words = f"as printed the part is {size} mm, and no box of {settings.machine} holds that in the proven orientation"
    yield stop(Code.TOO_BIG_FOR_EVERY_BOX, words, Role.ENGINEER)


def _compensation_findings(facts: Facts, settings: Settings, asked: Revision) -> Iterator[Finding]:
    near_net = settings.near_net
    if near_net is None:
        return
    made_from = facts.history.revision(near_net.made_from)
    if near_net.made_from != asked.id or near_net.made_from_sha256 != asked.design.sha256:
        label = made_from.label if made_from else "?"
        words = (
            f"the near-net shape of {settings.number} was made from rev {label}, not from rev {asked.label} as recorded"
        )
        yield stop(Code.NEAR_NET_OF_OTHER_REVISION, words, Role.ENGINEER)
    if not near_net.measured.topology.closed or not near_net.measured.topology.winding_consistent:
        words = f"the near-net shape of {settings.number} is not closed: it has no inside, so it cannot be printed"
        yield stop(Code.SHAPE_OPEN, words, Role.ENGINEER)
    unsaid = [what for what, answer in _compensations(near_net) if answer is Answer.NOT_STATED]
    if unsaid:
        words = f"the near-net shape of {settings.number} does not say whether it holds {', '.join(unsaid)}"
        yield stop(Code.COMPENSATION_NOT_STATED, words, Role.ENGINEER)
    if near_net.holds_shrinkage_scale is Answer.YES and not settings.scale.is_one:
        words = f"the near-net shape of {settings.number} holds the scale already, and the settings scale it again"
        yield stop(Code.SCALED_TWICE, words, Role.ENGINEER)


def _compensations(near_net: NearNet) -> tuple[tuple[str, Answer], ...]:
    return (
        ("machining stock", near_net.holds_machining_stock),
        ("distortion", near_net.holds_distortion),
        ("the shrinkage scale", near_net.holds_shrinkage_scale),
    )


def _equipment_findings(facts: Facts, settings: Settings) -> Iterator[Finding]:
    if facts.machine is not None and facts.machine.retired:
        yield stop(
            Code.MACHINE_RETIRED, f"{facts.machine.id} is retired; settings {settings.number} need it", Role.ENGINEER
        )
    for name, hold in facts.upstream_holds:
        yield stop(Code.ON_HOLD, f"{name} is on hold since {hold.at:%Y-%m-%d}: {hold.reason}", Role.QUALITY)
    for found in facts.open_nonconformances:
        words = f"{found.id} on lot {found.lot} is open: {found.words}"
        decide = f"partstead nonconformance decide {found.id} --decision DECISION --count PIECES"
        yield caution(Code.NONCONFORMANCE_OPEN, words, Role.QUALITY, next_command=decide)


def _gauge_findings(facts: Facts, settings: Settings) -> Iterator[Finding]:
    requirements = facts.history.requirements.get(facts.asked.id) if facts.asked else None
    keys = {c.number for c in requirements.characteristics if c.key} if requirements else set()
    for line in settings.inspection:
        gauge = facts.gauges.get(line.gauge) if line.gauge else None
        if gauge is None:
            continue
        if facts.today > gauge.calibration_due:
            due = gauge.calibration_due
            words = f"gauge {gauge.id} was due for calibration on {due}; until then it proves and accepts nothing"
            yield caution(Code.GAUGE_OUT_OF_CALIBRATION, words, Role.QUALITY)
        needed = sorted(keys.intersection(line.characteristics))
        weigh = stop if facts.history.stage is Stage.PRODUCTION else caution
        for found in (finding for number in needed for finding in study_findings(gauge, number)):
            yield weigh(found.code, found.sentence, *found.who)
        if gauge.study is None and not needed:
            yield caution(Code.GAUGE_STUDY_MISSING, f"gauge {gauge.id} has no gauge study", Role.QUALITY)
