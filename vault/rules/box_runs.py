"""May this box be printed now, with this powder and this binder, on this printer?"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from vault.model.cards import Box, Machine, Material
from vault.model.decisions import Hold
from vault.model.findings import Code, Finding
from vault.model.floor import BinderLot, Blend, BoxRun, BoxRunFinish, EquipmentEvent
from vault.model.settings import Settings
from vault.model.words import Role, ServiceEffect
from vault.rules.finding import caution, stop
from vault.rules.genealogy import limit_findings
from vault.rules.holds import hold_findings
from vault.rules.readiness_design import powder_findings


@dataclass(frozen=True)
class RunFacts:
    """Everything that bears on starting a box run."""

    machine: Machine
    box: Box
    material: Material
    blend: Blend
    binder: BinderLot
    today: date
    last_run: BoxRun | None = None
    last_finish: BoxRunFinish | None = None
    events: tuple[EquipmentEvent, ...] = ()  # of this printer
    holds: tuple[tuple[str, Hold], ...] = ()  # on the powder and all that went into it
    settings: tuple[Settings, ...] = ()  # of the packages in the box


def run_findings(facts: RunFacts) -> Iterator[Finding]:
    """Yield what stands against the run."""
    yield from powder_findings(facts.material)
    yield from hold_findings(facts.holds)
    yield from limit_findings(facts.blend, facts.material)
    yield from _machine_findings(facts)
    yield from _clean_out_findings(facts)
    yield from _binder_findings(facts.binder, facts.today)
    for settings in facts.settings:
        yield from _settings_findings(facts, settings)


def _machine_findings(facts: RunFacts) -> Iterator[Finding]:
    machine = facts.machine
    if machine.retired:
        yield stop(Code.MACHINE_RETIRED, f"{machine.id} is retired", Role.ENGINEER)
    if machine.materials and facts.material.id not in machine.materials:
        words = f"{machine.id} prints {', '.join(machine.materials)}, not {facts.material.id}"
        yield stop(Code.MATERIALS_MIXED, words, Role.ENGINEER)
    if machine.boxes and facts.box.id not in machine.boxes:
        words = f"{machine.id} takes the boxes {', '.join(machine.boxes)}, not {facts.box.id}"
        yield stop(Code.NOT_AS_SETTINGS, words, Role.ENGINEER)
    if facts.last_run is not None and facts.last_finish is None:
        words = f"{machine.id} is still printing {facts.last_run.id}, as far as the register knows"
        command = f"partstead box-run finish {facts.last_run.id}"
        yield stop(Code.STILL_RUNNING, words, Role.CLERK, next_command=command)


def _clean_out_findings(facts: RunFacts) -> Iterator[Finding]:
    last = facts.last_run
    if last is None or last.material == facts.material.id:
        return
    for event in facts.events:
        cleaned = event.effect is ServiceEffect.CLEAN_OUT and event.new_material == facts.material.id
        if cleaned and event.at >= last.at and event.happened_on >= last.started_at.date():
            return
    words = (
        f"{facts.machine.id} printed {last.material} last ({last.id}); no clean-out for {facts.material.id} is recorded"
    )
    command = (
        f"partstead event add {facts.machine.id} --what WORDS --effect clean-out --new-material {facts.material.id}"
    )
    yield stop(Code.CLEAN_OUT_MISSING, words, Role.CLERK, Role.ENGINEER, next_command=command)


def _binder_findings(binder: BinderLot, today: date) -> Iterator[Finding]:
    if binder.expires is None:
        yield caution(Code.BINDER_EXPIRED, f"no expiry date is recorded for binder lot {binder.lot}", Role.CLERK)
    elif today > binder.expires:
        yield stop(Code.BINDER_EXPIRED, f"binder lot {binder.lot} expired on {binder.expires}", Role.ENGINEER)


def _settings_findings(facts: RunFacts, settings: Settings) -> Iterator[Finding]:
    name = f"settings {settings.number} of {settings.part}"
    if settings.material != facts.material.id:
        words = f"{name} are for {settings.material}, the blend {facts.blend.id} is {facts.material.id}"
        yield stop(Code.MATERIALS_MIXED, words, Role.ENGINEER)
    if settings.machine != facts.machine.id:
        words = f"{name} are for {settings.machine}, not {facts.machine.id}"
        yield stop(Code.NOT_AS_SETTINGS, words, Role.ENGINEER)
