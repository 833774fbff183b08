"""Reading upwards from blends, box runs and lots: everything that a piece is made of, and the holds on any of it."""

from collections.abc import Iterable

from vault.actions.reading import Reader
from vault.model.decisions import Hold
from vault.model.evidence import Nonconformance
from vault.model.floor import Blend, Lot
from vault.model.ids import Thing
from vault.records.paths import record_of_id
from vault.rules.genealogy import lineage
from vault.rules.holds import part_holds

NamedHold = tuple[str, Hold]
"""What is held, in words such as "powder blend M-26A0001", and the hold."""


def blends_above(reader: Reader, blend_ids: Iterable[str]) -> dict[str, Blend]:
    """Read these blends and every blend that went into them. Raises NotFound."""
    found: dict[str, Blend] = {}
    waiting = list(blend_ids)
    while waiting:
        here = waiting.pop()
        if here not in found:
            found[here] = reader.blend(here)
            waiting += [parent.blend for parent in found[here].parents if parent.blend is not None]
    return found


def lots_above(reader: Reader, lot_id: str) -> tuple[Lot, ...]:
    """Read a lot and every lot that it was split or merged from. Raises NotFound."""
    found: dict[str, Lot] = {}
    waiting = [lot_id]
    while waiting:
        here = waiting.pop()
        if here not in found:
            found[here] = reader.record(record_of_id(here), Lot, here)
            waiting += found[here].parents
    return tuple(found.values())


def open_nonconformances(reader: Reader, lot_ids: Iterable[str]) -> tuple[Nonconformance, ...]:
    """Return the nonconformances of these lots, and of the lots above them, on which some pieces are undecided."""
    family = dict.fromkeys(above.id for lot_id in lot_ids for above in lots_above(reader, lot_id))
    found = [entry for lot in family for entry in reader.referring(Thing.LOT, lot, Nonconformance)]
    return tuple(entry for entry in dict.fromkeys(found) if reader.nonconformance(entry.id).is_open)


def holds_over_blends(reader: Reader, blend_ids: Iterable[str]) -> tuple[NamedHold, ...]:
    """Return the standing holds on these blends and on all that went into them: a hold on a parent holds each blend."""
    wanted = tuple(blend_ids)
    order = lineage(wanted, blends_above(reader, wanted))
    return _named(reader, "powder blend", order)


def holds_over_run(reader: Reader, run_id: str) -> tuple[NamedHold, ...]:
    """Return the standing holds on a box run and its powder."""
    run = reader.box_run(run_id)
    return (*_named(reader, "box run", (run_id,)), *holds_over_blends(reader, (run.blend,)))


def holds_over_lot(reader: Reader, lot_id: str) -> tuple[NamedHold, ...]:
    """Return the standing holds that reach a lot: its own and those of its parents, powder, box runs and loads."""
    family = lots_above(reader, lot_id)
    runs = tuple(dict.fromkeys(run for lot in family for run in lot.box_runs))
    powder = [blend for lot in family for blend in lot.blends] + [reader.box_run(run).blend for run in runs]
    found = (
        *_named(reader, "lot", [lot.id for lot in family]),
        *holds_over_blends(reader, dict.fromkeys(powder)),
        *_named(reader, "box run", runs),
        *_named(reader, "furnace load", reader.lot(lot_id).loads),
    )
    return tuple(dict.fromkeys(found))


def holds_over_part(reader: Reader, part: str, revision: str | None) -> tuple[NamedHold, ...]:
    """Return the standing holds on a part, and on this revision of it."""
    return part_holds(reader.part(part), revision)


def _named(reader: Reader, what: str, ids: Iterable[str]) -> tuple[NamedHold, ...]:
    return tuple((f"{what} {each}", hold) for each in ids for hold in reader.standing_holds_of(each))
