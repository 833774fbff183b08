"""Moving a part to another stage: gather the evidence, ask the gate, record the move."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from vault.actions.context import Vault
from vault.actions.deciding import Recorded, agreed, write_result
from vault.actions.finding import resolve_part, resolve_revision
from vault.actions.reading import Reader
from vault.actions.settings import settings_called
from vault.actions.upstream import lots_above, open_nonconformances
from vault.actions.writing import Draft, keep_file, record_of
from vault.model.capability import Capability
from vault.model.cards import Gauge, Policy
from vault.model.decisions import StageMove
from vault.model.design import Characteristic, Revision
from vault.model.evidence import Measurement
from vault.model.floor import Lot
from vault.model.settings import Settings
from vault.model.words import FileRole, Stage
from vault.rules.gates import Gate, GateFacts, Measured, judge_gate
from vault.rules.history import PartHistory
from vault.rules.lots import LotHistory
from vault.rules.permissions import Verb
from vault.rules.proofs import choose_settings, cover_of
from vault.rules.proving import counted_readings
from vault.rules.two_persons import able_persons


@dataclass(frozen=True)
class NewStage:
    """Where the part moves to and why; `sampling_plan` is the customer's agreed plan, where that is the way."""

    to: Stage
    reason: str
    label: str | None = None  # the newest released and accepted revision, where nobody says
    settings_number: str | None = None  # those with the best proof, where nobody says
    sampling_plan: Path | None = None


def gate_so_far(vault: Vault, part: str, new: NewStage) -> Gate:
    """Ask the gate without moving. Raises NotFound."""
    return judge_gate(_facts(vault, Reader(vault.store.at(), vault.index), part, new, vault.today))


def stage(vault: Vault, part: str, new: NewStage) -> Recorded[StageMove]:
    """Move a part to another stage.

    Raises:
        NotFound: The part, revision or settings are not recorded.
        Refused: The gate is not passed; the message lists what was observed, the bound, and what is missing.
    """
    kept = keep_file(vault, new.sampling_plan, FileRole.EVIDENCE) if new.sampling_plan else None

    def decide(reader: Reader, draft: Draft) -> tuple[str, Recorded[StageMove]]:
        # gather
        facts = _facts(vault, reader, part, new, vault.today)
        number, now = facts.history.card.number, facts.history.stage
        # decide
        gate = judge_gate(facts)
        findings = agreed(f"{number} stays in {now}:", gate.findings)
        # write
        move = record_of(
            draft,
            StageMove,
            id=draft.new_ulid(),
            part=number,
            moved_from=now,
            moved_to=new.to,
            reason=new.reason,
            revision=facts.revision.id if facts.revision else None,
            proof=facts.cover.proof.id if facts.cover else None,
            way=gate.way,
            evidence=kept[0] if kept else None,
        )
        draft.add(move, {kept[0].sha256: kept[1]} if kept else None)
        return f"{number} moved from {now} to {new.to}: {new.reason}", Recorded(move, findings)

    return write_result(vault, Verb.STAGE, decide)


def _facts(vault: Vault, reader: Reader, part: str, new: NewStage, today: date) -> GateFacts:
    history = reader.part(resolve_part(vault, reader, part))
    policy = reader.policy()
    revision = resolve_revision(history, new.label) if new.label else history.printable or history.newest
    settings = _settings(history, policy, revision, new.settings_number)
    lots = lots_made(reader, history, revision, settings) if revision and settings else ()
    return GateFacts(
        history=history,
        policy=policy,
        today=today,
        to=new.to,
        revision=revision,
        settings=settings,
        cover=cover_of(history, settings, revision.id, policy.carry) if revision and settings else None,
        measured=_measured(history, policy, revision, _families(reader, lots)) if revision else Measured(),
        gauges=_gauges(reader, settings, lots),
        open_nonconformances=open_nonconformances(reader, [lot.lot.id for lot in lots]),
        able=able_persons(reader.people(), today),
        has_plan_evidence=new.sampling_plan is not None,
    )


def _settings(history: PartHistory, policy: Policy, revision: Revision | None, number: str | None) -> Settings | None:
    if number is not None:
        return settings_called(history, number)
    return choose_settings(history, revision.id, policy.carry) if revision else None


def _gauges(reader: Reader, settings: Settings | None, lots: Sequence[LotHistory]) -> dict[str, Gauge]:
    """Read the gauges of the inspection plan, and those that the lots were measured with."""
    named = [line.gauge for line in settings.inspection] if settings else []
    named += [measurement.gauge for lot in lots for measurement in lot.measurements]
    return {gauge: reader.gauge(gauge) for gauge in dict.fromkeys(named) if gauge is not None}


def lots_made(reader: Reader, history: PartHistory, revision: Revision, settings: Settings) -> tuple[LotHistory, ...]:
    """Return the lots of a revision and settings from production runs, oldest first."""
    lots = reader.all_of(Lot, history.card.number)
    fitting = [lot for lot in lots if (lot.revision, lot.settings) == (revision.id, settings.id)]
    return tuple(reader.lot(lot.id) for lot in fitting if lot.production_representative)


def _families(reader: Reader, lots: Sequence[LotHistory]) -> tuple[tuple[LotHistory, ...], ...]:
    """Group lots that were split from one lot: they share blend, box and loads, and count as one lot."""
    families: dict[tuple[str, ...], list[LotHistory]] = {}
    for lot in lots:
        roots = sorted(above.id for above in lots_above(reader, lot.lot.id) if not above.parents)
        families.setdefault(tuple(roots), []).append(lot)
    return tuple(tuple(family) for family in families.values())


def _measured(
    history: PartHistory, policy: Policy, revision: Revision, families: Sequence[Sequence[LotHistory]]
) -> Measured:
    requirements = history.requirements.get(revision.id)
    read = [family for family in families if any(m.readings for lot in family for m in lot.measurements)]
    pieces = {
        (lot.lot.id, reading.piece.casefold())
        for family in read
        for lot in family
        for measurement in lot.measurements
        for reading in measurement.readings
    }
    found: dict[str, Capability] = {}
    for characteristic in requirements.characteristics if requirements else ():
        capability = capability_of(characteristic, read, policy)
        if characteristic.key and capability is not None:
            found[characteristic.number] = capability
    loads = {load for family in read for lot in family for load in lot.loads}
    measurements = [measurement for family in read for lot in family for measurement in lot.measurements]
    return Measured(len(pieces), len(read), len(loads), found, {n: _measured_with(measurements, n) for n in found})


def _measured_with(measurements: Sequence[Measurement], number: str) -> tuple[str | None, ...]:
    """Return the gauges that a characteristic was read with; None among them where nobody named one."""
    read = [m.gauge for m in measurements if any(reading.characteristic == number for reading in m.readings)]
    return tuple(dict.fromkeys(read))


def capability_of(
    characteristic: Characteristic, families: Sequence[Sequence[LotHistory]], policy: Policy
) -> Capability | None:
    """Return the capability of a variable, one group of lots at a time; None where there are too few readings."""
    from vault.quality.capability import capability  # brings the statistics in only where they are asked for

    groups = [
        [
            reading.value
            for lot in family
            for reading in counted_readings(lot.measurements, characteristic)
            if reading.value is not None
        ]
        for family in families
    ]
    filled = [group for group in groups if group]
    values = {value for group in filled for value in group}
    if characteristic.form == "attribute" or len(values) < 2:
        return None
    minimum, confidence = policy.capability_minimum, policy.capability_confidence
    return capability(filled, characteristic.lower, characteristic.upper, minimum, confidence)
