"""Starting and finishing furnace loads: one load of one heat cycle."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from vault.actions.context import Vault
from vault.actions.deciding import Recorded, agreed, write_result
from vault.actions.reading import Reader
from vault.actions.upstream import holds_over_lot, lots_above
from vault.actions.writing import Draft, keep_file, record_of
from vault.errors import BadInput, NotAllowed, NotFound, Refused
from vault.interfaces import StoredFile
from vault.model.design import KeptFile
from vault.model.findings import Code, Finding
from vault.model.floor import FurnaceLoad, LoadFinish, Placed, Witness
from vault.model.ids import Thing
from vault.model.words import FileRole, Role
from vault.records.codec import make
from vault.records.paths import folder_of_id
from vault.rules.finding import caution
from vault.rules.history import in_order, of_kind
from vault.rules.loads import Heat, LoadFacts, PlacedLot, load_findings, witness_findings, witnessed
from vault.rules.permissions import Verb


@dataclass(frozen=True)
class Place:
    """A lot and where it stands; `count` pieces, all that the lot has where nobody says."""

    lot: str
    count: int | None = None
    tray: str | None = None


@dataclass(frozen=True)
class NewLoad:
    """What is typed when a furnace is loaded."""

    furnace: str
    heat: Heat
    cycle_name: str
    placed: tuple[Place, ...]
    metal_kg: float | None = None
    binder_kg: float | None = None
    paired: bool = False  # the engineer asking takes the pairing of alloys or cycles on
    operator: str | None = None


def start_load(vault: Vault, new: NewLoad) -> Recorded[FurnaceLoad]:
    """Record that a furnace load starts.

    Raises:
        NotFound: The furnace or a lot is not recorded.
        NotAllowed: A pairing was asked for by somebody who is no engineer.
        Refused: Alloys or cycles are mixed, a limit of the furnace is broken, a setter material is not allowed, a lot
            is on hold, has ended, is only partly placed, or went through this heat before.
    """
    if not new.placed:
        raise BadInput("an empty furnace is no load; name the lots in it")
    if len({place.lot for place in new.placed}) != len(new.placed):
        raise BadInput("a lot is named twice in the load")

    def decide(reader: Reader, draft: Draft) -> tuple[str, Recorded[FurnaceLoad]]:
        # gather
        if new.paired:
            _require_engineer(reader, draft.by)
        facts = _facts(reader, new)
        # decide
        findings = agreed(f"No {new.heat} load in {new.furnace}:", load_findings(facts))
        # write
        load = record_of(
            draft,
            FurnaceLoad,
            id=draft.allot(Thing.LOAD),
            furnace=facts.furnace.id,
            heat=new.heat,
            cycle_name=new.cycle_name,
            material=facts.material.id,
            started_at=draft.at,
            operator=new.operator or draft.by,
            placed=tuple(_placed(place, found) for place, found in zip(new.placed, facts.placed, strict=True)),
            metal_kg=new.metal_kg,
            binder_kg=new.binder_kg,
            pairing_by=draft.by if new.paired else None,
        )
        draft.add(load)
        return f"Furnace load {load.id}: {load.heat} in {load.furnace}", Recorded(load, findings)

    return write_result(vault, Verb.FLOOR, decide)


def _require_engineer(reader: Reader, handle: str) -> None:
    person = reader.person(handle)
    if person is None or Role.ENGINEER not in person.roles:
        able = ", ".join(p.handle for p in reader.people() if Role.ENGINEER in p.roles) or "nobody here"
        raise NotAllowed(f"{handle} may not pair alloys or cycles in one load; an engineer records it: {able}")


def _placed(place: Place, found: PlacedLot) -> Placed:
    return make(Placed, lot=found.lot.lot.id, count=found.count, tray=place.tray)


def _facts(reader: Reader, new: NewLoad) -> LoadFacts:
    placed = tuple(_placed_lot(reader, place, new.heat) for place in new.placed)
    return LoadFacts(
        furnace=reader.furnace(new.furnace),
        material=reader.material(placed[0].settings.material),
        heat=new.heat,
        cycle_name=new.cycle_name,
        placed=placed,
        metal_kg=new.metal_kg,
        binder_kg=new.binder_kg,
        trays=len({place.tray for place in new.placed if place.tray is not None}),
        paired_by_engineer=new.paired,
        still_running=_still_running(reader, new.furnace),
    )


def _placed_lot(reader: Reader, place: Place, heat: Heat) -> PlacedLot:
    lot = reader.lot(place.lot)
    settings = reader.part(lot.lot.part).settings_with(lot.lot.settings)
    if settings is None:
        raise NotFound(f"the settings of lot {place.lot} are not recorded; run `partstead check`")
    count = lot.pieces_now if place.count is None else place.count
    earlier = tuple(load.id for load in loads_of(reader, place.lot) if load.heat == heat)
    return PlacedLot(lot, settings, count, earlier, holds_over_lot(reader, place.lot))


def loads_of(reader: Reader, lot_id: str) -> tuple[FurnaceLoad, ...]:
    """Return every furnace load that names a lot, or a lot that it was split or merged from."""
    found = [load for lot in lots_above(reader, lot_id) for load in reader.referring(Thing.LOT, lot.id, FurnaceLoad)]
    return of_kind(FurnaceLoad, in_order(dict.fromkeys(found)))


def load_finish_of(reader: Reader, load_id: str) -> LoadFinish | None:
    """Return how a furnace load ended, or None while it runs."""
    entries = of_kind(LoadFinish, in_order(reader.below(f"{folder_of_id(load_id)}/entries")))
    return entries[0] if entries else None


def _still_running(reader: Reader, furnace: str) -> tuple[str, ...]:
    loads = [load for load in reader.referring(Thing.FURNACE, furnace, FurnaceLoad) if load.furnace == furnace]
    return tuple(load.id for load in loads if load_finish_of(reader, load.id) is None)


@dataclass(frozen=True)
class LoadEnd:
    """What is typed when a furnace is unloaded; `reports` holds laboratory reports by the name of the witness piece."""

    deviations: str | None = None
    chart: Path | None = None
    witnesses: tuple[Witness, ...] = ()
    reports: dict[str, Path] = field(default_factory=dict)
    finished_at: datetime | None = None


def finish_load(vault: Vault, load_id: str, end: LoadEnd) -> Recorded[LoadFinish]:
    """Record how a furnace load ended, with its chart and witness pieces.

    Raises:
        NotFound: There is no such load.
        Refused: It is finished already.
        BadInput: It would end before it began, or a report is of no witness piece.
    """
    strangers = set(end.reports) - {witness.name for witness in end.witnesses}
    if strangers:
        raise BadInput(f"a report is given for {min(strangers)}, which is no witness piece of this load")
    chart = keep_file(vault, end.chart, FileRole.EVIDENCE) if end.chart else None
    reports = {name: keep_file(vault, path, FileRole.EVIDENCE) for name, path in end.reports.items()}
    stored = {named.sha256: file for named, file in (*reports.values(), *([chart] if chart else []))}

    def decide(reader: Reader, draft: Draft) -> tuple[str, Recorded[LoadFinish]]:
        load = reader.load(load_id)
        if load_finish_of(reader, load_id) is not None:
            raise Refused(f"furnace load {load_id} is finished already")
        moment = end.finished_at or draft.at
        if not load.started_at <= moment <= draft.at:
            raise BadInput(
                f"load {load_id} began at {load.started_at:%Y-%m-%d %H:%M} and cannot end at {moment:%Y-%m-%d %H:%M}"
            )
        finish = record_of(
            draft,
            LoadFinish,
            id=draft.new_ulid(),
            load=load.id,
            finished_at=moment,
            as_run="deviations, see words" if end.deviations else "as the cycle",
            deviations=end.deviations,
            chart=chart[0] if chart else None,
            witnesses=tuple(_with_report(witness, reports) for witness in end.witnesses),
        )
        draft.add(finish, stored)
        return f"Furnace load {load.id} finished: {finish.as_run}", Recorded(finish, _afterwards(reader, load, finish))

    return write_result(vault, Verb.FLOOR, decide)


def _with_report(witness: Witness, reports: Mapping[str, tuple[KeptFile, StoredFile]]) -> Witness:
    if witness.name not in reports:
        return witness
    return witness.model_copy(update={"report": reports[witness.name][0]})


def _afterwards(reader: Reader, load: FurnaceLoad, finish: LoadFinish) -> tuple[Finding, ...]:
    material = reader.material(load.material)
    findings = list(witness_findings(material, load.id, witnessed(finish)) if "sinter" in load.heat else ())
    if finish.deviations is not None:
        words = f"{load.id}: {finish.deviations}; decide whether its pieces may go on"[:500]
        command = f"partstead hold {load.id} --because REASON"
        findings.append(caution(Code.RUN_WENT_BADLY, words, Role.QUALITY, next_command=command))
    return tuple(findings)
