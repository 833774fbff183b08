"""Recording a measurement: say what was understood of the table first, then record it."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from vault import units
from vault.actions.context import Vault
from vault.actions.measuring import HowMeasured, Measured, Weighing, inspection_template, measure, understand_table
from vault.errors import BadInput
from vault.model.words import MeasuredIn, SealState
from vault.rules.readings_table import Understood


@dataclass(frozen=True)
class Given:
    """What was typed for a measurement."""

    table: Path | None
    state: MeasuredIn
    gauge: str | None
    measured_on: date | None
    measured_by: str | None
    weighed: Sequence[tuple[str, float, float]]
    water_c: float | None
    pores: SealState
    scans: list[Path]


def template_of(vault: Vault, lot: str) -> str:
    """Return an empty inspection table. Raises NotFound."""
    return inspection_template(vault, lot).rstrip("\n")


def record_measured(vault: Vault, lot: str, given: Given, say: Callable[..., None]) -> Measured:
    """Record what was typed, after saying what the table was understood to hold. Raises as the action does."""
    weighings = [_weighing(given, *weighed) for weighed in given.weighed]
    understood = understand_table(vault, lot, given.table) if given.table else None
    if understood is not None:
        say(*_understood(understood))
    how = HowMeasured(given.state, given.gauge, given.measured_on, given.measured_by)
    return measure(vault, lot, understood, how, weighings, given.table, given.scans)


def _weighing(given: Given, piece: str, air_g: float, water_g: float) -> Weighing:
    if given.water_c is None:
        raise BadInput("the water's density depends on its temperature; type --water-c")
    return Weighing(piece, air_g, water_g, given.water_c, given.pores)


def _understood(understood: Understood) -> Iterator[str]:
    yield f"understood: {len(understood.readings)} readings on {units.pieces(len(understood.pieces))}"
    for seen in understood.seen:
        outside = f", {seen.outside} outside the limits" if seen.outside else ""
        yield f"  {seen.characteristic} {seen.name}: {seen.readings} readings{outside}"
    yield from (f"  note: {remark}" for remark in understood.remarks)
