"""Starting and finishing box runs: one box printed on a date."""

from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from vault.actions.context import Vault
from vault.actions.deciding import Recorded, agreed, write_result
from vault.actions.packages_now import package_now
from vault.actions.reading import Reader
from vault.actions.upstream import holds_over_blends
from vault.actions.writing import Draft, keep_file, record_of
from vault.errors import BadInput, Refused
from vault.model.findings import Code, Finding
from vault.model.floor import BinderLot, BoxRun, BoxRunFinish
from vault.model.ids import Thing
from vault.model.words import FileRole, Role
from vault.records.codec import make
from vault.records.paths import folder_of_id
from vault.rules.box_runs import RunFacts, run_findings
from vault.rules.finding import caution
from vault.rules.history import in_order, of_kind
from vault.rules.permissions import Verb


@dataclass(frozen=True)
class NewRun:
    """What is typed when a box is started."""

    machine: str
    box: str
    blend: str
    binder_lot: str
    binder_expires: date | None = None
    packages: tuple[str, ...] = ()
    operator: str | None = None  # the person asking, where nobody is named
    file: Path | None = None  # what was sent to the printer


def start_run(vault: Vault, new: NewRun) -> Recorded[BoxRun]:
    """Record that a box run starts.

    Raises:
        NotFound: The printer, box, blend or a package is not recorded.
        Refused: Another material was printed last and no clean-out is recorded; binder expired; powder out of limits or
            on hold; the printer runs already; a package is not live any more.
    """
    binder = make(BinderLot, lot=new.binder_lot, expires=new.binder_expires)
    kept = keep_file(vault, new.file, FileRole.DOCUMENT) if new.file else None

    def decide(reader: Reader, draft: Draft) -> tuple[str, Recorded[BoxRun]]:
        # gather
        packages = [package_now(reader, package, vault.today) for package in new.packages]
        facts = _facts(reader, new, binder, vault.today)
        # decide
        against = (*run_findings(facts), *(finding for package in packages for finding in package.findings))
        findings = agreed(f"No box run on {new.machine}:", against)
        # write
        run = record_of(
            draft,
            BoxRun,
            id=draft.allot(Thing.BOX_RUN),
            machine=facts.machine.id,
            box=facts.box.id,
            material=facts.material.id,
            blend=facts.blend.id,
            binder=binder,
            started_at=draft.at,
            operator=new.operator or draft.by,
            packages=tuple(package.package.id for package in packages),
            file=kept[0] if kept else None,
        )
        draft.add(run, {kept[0].sha256: kept[1]} if kept else None)
        return f"Box run {run.id} started on {run.machine} with {run.blend}", Recorded(run, findings)

    return write_result(vault, Verb.FLOOR, decide)


def _facts(reader: Reader, new: NewRun, binder: BinderLot, today: date) -> RunFacts:
    blend = reader.blend(new.blend)
    last = _last_run(reader, new.machine)
    wanted = [reader.package(package).package for package in new.packages]
    return RunFacts(
        machine=reader.machine(new.machine),
        box=reader.box(new.box),
        material=reader.material(blend.material),
        blend=blend,
        binder=binder,
        today=today,
        last_run=last,
        last_finish=finish_of(reader, last.id) if last else None,
        events=tuple(event for event in reader.events() if event.machine == new.machine),
        holds=holds_over_blends(reader, (new.blend,)),
        settings=tuple(s for package in wanted for s in reader.part(package.part).settings if s.id == package.settings),
    )


def _last_run(reader: Reader, machine: str) -> BoxRun | None:
    runs = [run for run in reader.referring(Thing.MACHINE, machine, BoxRun) if run.machine == machine]
    return runs[-1] if runs else None


def finish_of(reader: Reader, run_id: str) -> BoxRunFinish | None:
    """Return how a box run ended, or None while it runs."""
    entries = of_kind(BoxRunFinish, in_order(reader.below(f"{folder_of_id(run_id)}/entries")))
    return entries[0] if entries else None


def finish_run(
    vault: Vault,
    run_id: str,
    went_well: bool,
    alarms: tuple[str, ...] = (),
    note: str | None = None,
    finished_at: datetime | None = None,
) -> Recorded[BoxRunFinish]:
    """Record how a box run ended.

    Raises:
        NotFound: There is no such run.
        Refused: It is finished already.
        BadInput: It would end before it began, or in the future.
    """

    def decide(reader: Reader, draft: Draft) -> tuple[str, Recorded[BoxRunFinish]]:
        run = reader.box_run(run_id)
        if finish_of(reader, run_id) is not None:
            raise Refused(f"box run {run_id} is finished already")
        moment = finished_at or draft.at
        if not run.started_at <= moment <= draft.at:
            raise BadInput(
                f"box run {run_id} began at {run.started_at:%Y-%m-%d %H:%M} and cannot end at {moment:%Y-%m-%d %H:%M}"
            )
        finish = record_of(
            draft,
            BoxRunFinish,
            id=draft.new_ulid(),
            box_run=run.id,
            finished_at=moment,
            went_well=went_well,
            alarms=alarms,
            note=note,
        )
        draft.add(finish)
        words = "well" if went_well else "badly"
        return f"Box run {run.id} went {words}", Recorded(finish, _afterwards(run, finish))

    return write_result(vault, Verb.FLOOR, decide)


def _afterwards(run: BoxRun, finish: BoxRunFinish) -> tuple[Finding, ...]:
    if finish.went_well and not finish.alarms:
        return ()
    what = "; ".join(finish.alarms) or finish.note or "it did not go well"
    words = f"{run.id}: {what}; decide whether its pieces may go on"
    command = f"partstead hold {run.id} --because REASON"
    return (caution(Code.RUN_WENT_BADLY, words[:500], Role.QUALITY, next_command=command),)
