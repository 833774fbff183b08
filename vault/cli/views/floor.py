"""What happens on the floor, on a terminal: blends, runs, loads, lots, and pieces that do not conform."""

from collections.abc import Sequence
from typing import Literal

from vault import units
from vault.actions.blending import BlendNow
from vault.actions.box_runs import finish_of
from vault.actions.context import Vault
from vault.actions.finding import resolve_part
from vault.actions.loads import load_finish_of
from vault.actions.nonconforming import list_nonconformances
from vault.actions.permitting import list_permissions
from vault.actions.reading import Reader
from vault.actions.refusing import words_of
from vault.cli.recorded import labels_of
from vault.cli.session import reader_of
from vault.cli.show import Shown, indented, table
from vault.cli.views.records import with_entries
from vault.model.floor import BoxRun, BoxRunFinish, FurnaceLoad, Lot
from vault.rules.lots import LotHistory, balance_findings


def blends_shown(blends: Sequence[BlendNow]) -> Shown:
    """Return powder blends, one in a line, with what stands against using each below it."""
    rows = [
        (
            now.blend.id,
            now.blend.material,
            units.grams(now.blend.made_kg * 1000),
            units.percent(now.blend.virgin_fraction, 0),
            str(now.blend.reuse_count),
            "" if now.may_be_used else "must not be used",
        )
        for now in blends
    ]
    heading = ("BLEND", "MATERIAL", "MADE", "VIRGIN", "REUSED", "")
    against = [f"{now.blend.id}: {words_of(finding)}" for now in blends for finding in now.findings]
    data = [{"blend": now.blend, "may_be_used": now.may_be_used, "findings": now.findings} for now in blends]
    return Shown(data, (*table(heading, rows, right=frozenset({2, 3, 4})), *against))


def runs_shown(reader: Reader) -> Shown:
    """Return the box runs, oldest first."""
    runs = [(run, finish_of(reader, run.id)) for run in reader.all_of(BoxRun)]
    rows = [
        (run.id, run.machine, run.box, run.blend, f"{run.started_at:%Y-%m-%d %H:%M}", _ended(end)) for run, end in runs
    ]
    data = [{"run": run, "finish": end} for run, end in runs]
    return Shown(data, tuple(table(("RUN", "PRINTER", "BOX", "BLEND", "STARTED", "ENDED"), rows)))


def _ended(end: BoxRunFinish | None) -> str:
    if end is None:
        return "running"
    return "well" if end.went_well else "badly"


def loads_shown(reader: Reader) -> Shown:
    """Return the furnace loads, oldest first."""
    loads = [(load, load_finish_of(reader, load.id)) for load in reader.all_of(FurnaceLoad)]
    rows = [
        (
            load.id,
            load.furnace,
            load.heat,
            ", ".join(placed.lot for placed in load.placed),
            f"{load.started_at:%Y-%m-%d %H:%M}",
            end.as_run if end else "running",
        )
        for load, end in loads
    ]
    data = [{"load": load, "finish": end} for load, end in loads]
    return Shown(data, tuple(table(("LOAD", "FURNACE", "HEAT", "LOTS", "STARTED", "ENDED"), rows)))


def lots_shown(vault: Vault, reader: Reader, part: str | None) -> Shown:
    """Return lots, one in a line, with their counts. Raises NotFound."""
    lots = reader.all_of(Lot, resolve_part(vault, reader, part) if part else None)
    histories = [reader.lot(lot.id) for lot in lots]
    labels = labels_of(reader, [lot.part for lot in lots])
    rows = [_lot_row(history, labels) for history in histories]
    heading = ("LOT", "PART", "SETTINGS", "BEGAN", "NOW", "GOOD", "LEFT", "")
    data = [{**history.lot.model_dump(mode="json"), **_counts(history)} for history in histories]
    return Shown(data, tuple(table(heading, rows, right=frozenset({3, 4, 5, 6}))))


def _lot_row(history: LotHistory, labels: dict[str, str]) -> tuple[str, ...]:
    lot = history.lot
    good = str(history.finish.good) if history.finish else ""
    left = str(history.left) if history.finish else ""
    part = f"{lot.part} rev {labels.get(lot.revision, '?')}"
    settings = labels.get(lot.settings, "?")
    return (lot.id, part, settings, str(lot.count), str(history.pieces_now), good, left, _lot_state(history))


def _lot_state(history: LotHistory) -> str:
    said = ["on hold"] if history.standing_holds else []
    said += ["split"] if history.split else ["merged"] if history.merge else []
    return ", ".join(said)


def _counts(history: LotHistory) -> dict[str, object]:
    return {
        "pieces_now": history.pieces_now,
        "good": history.finish.good if history.finish else None,
        "left": history.left if history.finish else None,
        "delivered": history.delivered,
        "on_hold": bool(history.standing_holds),
    }


def lot_shown(reader: Reader, lot_id: str) -> Shown:
    """Return a lot with everything recorded under it. Raises NotFound, BadInput."""
    history = reader.lot(lot_id)
    ends = [entry for entry in (history.finish, history.split, history.merge) if entry is not None]
    entries = (*history.operations, *history.measurements, *history.holds, *history.lifts, *ends, *history.surpluses)
    shown = with_entries(reader, history.lot, (*sorted(entries, key=lambda entry: entry.at), *history.deliveries))
    state = ", ".join(
        f"{name.replace('_', ' ')}: {value}" for name, value in _counts(history).items() if value is not None
    )
    unbalanced = indented(words_of(finding) for finding in balance_findings(history))
    assert isinstance(shown.data, dict)  # a record field by field
    return Shown({**shown.data, **_counts(history)}, (*shown.lines, "", state, *unbalanced))


def nonconformances_shown(vault: Vault, part: str | None, lot: str | None, only_open: bool) -> Shown:
    """Return nonconformances, one in a line. Raises NotFound."""
    reader = reader_of(vault)
    number = resolve_part(vault, reader, part) if part else None
    found = list_nonconformances(reader, number, lot, only_open)
    rows = [
        (
            each.nonconformance.id,
            each.nonconformance.lot,
            str(each.nonconformance.count),
            "open" if each.is_open else ", ".join(decided.decision for decided in each.decisions),
            each.nonconformance.words,
        )
        for each in found
    ]
    data = [
        {"nonconformance": each.nonconformance, "decisions": each.decisions, "open": each.is_open} for each in found
    ]
    return Shown(data, tuple(table(("NUMBER", "LOT", "PIECES", "DECIDED", "WHAT"), rows, right=frozenset({2}))))


def permissions_shown(vault: Vault, part: str, which: Literal["concessions", "permits"]) -> Shown:
    """Return the concessions or the permits of a part. Raises NotFound."""
    found = list_permissions(vault, reader_of(vault), part)
    entries = found.concessions if which == "concessions" else found.permits
    rows = [
        (
            entry.permission.reference,
            entry.permission.granted_by,
            str(entry.permission.granted_on),
            str(entry.permission.quantity or ""),
            str(entry.permission.until or ""),
            entry.permission.words,
        )
        for entry in entries
    ]
    heading = ("REFERENCE", "GRANTED BY", "ON", "PIECES", "UNTIL", "WORDS")
    return Shown(entries, tuple(table(heading, rows, right=frozenset({3}))))
