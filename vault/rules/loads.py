"""May these lots go into this furnace together, for this heat?"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from vault import units
from vault.model.cards import Furnace, Material
from vault.model.decisions import Hold
from vault.model.findings import Code, Finding
from vault.model.floor import LoadFinish
from vault.model.settings import Cycle, Settings
from vault.model.words import Role
from vault.rules.finding import caution, stop
from vault.rules.holds import hold_findings
from vault.rules.lots import LotHistory

Heat = Literal["debind", "sinter", "debind and sinter", "HIP", "heat treatment"]

_WITNESSED = {
    "density": "density_g_cm3",
    "carbon": "carbon_percent",
    "oxygen": "oxygen_ppm",
    "nitrogen": "nitrogen_ppm",
    "hardness": "hardness",
    "tensile": "report",
}


@dataclass(frozen=True)
class PlacedLot:
    """A lot on its way into the furnace."""

    lot: LotHistory
    settings: Settings
    count: int
    earlier_loads: tuple[str, ...] = ()  # furnace loads of the same heat that these pieces went through
    holds: tuple[tuple[str, Hold], ...] = ()


@dataclass(frozen=True)
class LoadFacts:
    """Everything that bears on starting a furnace load."""

    furnace: Furnace
    material: Material
    heat: Heat
    cycle_name: str
    placed: tuple[PlacedLot, ...]
    metal_kg: float | None
    binder_kg: float | None
    trays: int
    paired_by_engineer: bool = False
    still_running: tuple[str, ...] = ()  # loads of this furnace that were never finished


def load_findings(facts: LoadFacts) -> Iterator[Finding]:
    """Yield what stands against the load."""
    for placed in facts.placed:
        yield from hold_findings(placed.holds)
        yield from _lot_findings(facts, placed)
        yield from _settings_findings(facts, placed)
    yield from _mixing_findings(facts)
    yield from _furnace_findings(facts)
    yield from _setter_findings(facts)


def needed_cycles(settings: Settings, heat: Heat) -> tuple[Cycle, ...]:
    """Return the furnace cycles that the settings ask for in a heat; none for HIP and heat treatment."""
    match heat:
        case "debind":
            return (settings.debind,)
        case "sinter":
            return (settings.sinter,)
        case "debind and sinter":
            return (settings.debind, settings.sinter)
        case "HIP" | "heat treatment":
            return ()


def _lot_findings(facts: LoadFacts, placed: PlacedLot) -> Iterator[Finding]:
    lot = placed.lot
    if lot.has_ended or lot.finish is not None:
        yield stop(Code.LOT_HAS_ENDED, f"lot {lot.lot.id} has ended; its pieces are elsewhere")
        return
    if placed.count > lot.pieces_now:
        words = f"lot {lot.lot.id} has {units.pieces(lot.pieces_now)}, {placed.count} are placed"
        yield stop(Code.COUNTS_DO_NOT_BALANCE, words)
    elif placed.count < lot.pieces_now:
        part = f"{placed.count} of {lot.pieces_now} pieces of lot {lot.lot.id}"
        words = f"{part} are placed: the pieces of a lot share one load of each heat"
        command = f"partstead lot split {lot.lot.id} {placed.count} {lot.pieces_now - placed.count} --because REASON"
        yield stop(Code.LOTS_DIFFER, words, next_command=command)
    allowed = sum(
        operation.times_allowed for operation in placed.settings.operations
        if operation.is_rework and facts.heat.casefold() in operation.name.casefold()
    )  # fmt: skip
    if len(placed.earlier_loads) > allowed:
        words = (
            f"lot {lot.lot.id} went through {facts.heat} in {', '.join(placed.earlier_loads)} already; settings "
            f"{placed.settings.number} allow it to be done again {allowed} times"
        )
        yield stop(Code.REWORK_NOT_ALLOWED, words, Role.ENGINEER)


def _settings_findings(facts: LoadFacts, placed: PlacedLot) -> Iterator[Finding]:
    name = f"settings {placed.settings.number} of lot {placed.lot.lot.id}"
    cycles = needed_cycles(placed.settings, facts.heat)
    if cycles and facts.cycle_name not in {cycle.name for cycle in cycles}:
        wanted = " and ".join(cycle.name for cycle in cycles)
        words = f"{name} ask for the cycle {wanted}, not {facts.cycle_name}"
        yield stop(Code.NOT_AS_SETTINGS, words, Role.ENGINEER)
    for cycle in cycles:
        if cycle.furnace != facts.furnace.id:
            words = f"{name}: {cycle.name} was made for {cycle.furnace}, not for {facts.furnace.id}"
            yield stop(Code.NOT_AS_SETTINGS, words, Role.ENGINEER)
        hottest = max(segment.target_c for segment in cycle.segments)
        if not hottest <= facts.furnace.max_c:
            reach = f"{facts.furnace.id} reaches {units.celsius(facts.furnace.max_c)}"
            words = f"{name}: {cycle.name} asks for {units.celsius(hottest)}, {reach}"
            yield stop(Code.FURNACE_LIMIT, words, Role.ENGINEER)


def _mixing_findings(facts: LoadFacts) -> Iterator[Finding]:
    materials = sorted({placed.settings.material for placed in facts.placed})
    cycles = {tuple(c.segments for c in needed_cycles(placed.settings, facts.heat)) for placed in facts.placed}
    reasons = []
    if len(materials) > 1:
        reasons.append(f"the alloys {', '.join(materials)} share one load")
    if len(cycles) > 1:
        reasons.append("the settings of the lots ask for different cycles")
    for words in reasons:
        if facts.paired_by_engineer:
            yield caution(Code.LOAD_MIXED, f"{words}, paired by an engineer", Role.ENGINEER)
        else:
            words = f"{words}: a load holds one alloy and one cycle, unless an engineer records the pairing"
            yield stop(Code.LOAD_MIXED, words, Role.ENGINEER)


def _furnace_findings(facts: LoadFacts) -> Iterator[Finding]:
    furnace = facts.furnace
    if furnace.retired:
        yield stop(Code.MACHINE_RETIRED, f"{furnace.id} is retired", Role.ENGINEER)
    for load in facts.still_running:
        words = f"{furnace.id} is still running {load}, as far as the register knows"
        yield stop(Code.STILL_RUNNING, words, Role.CLERK, next_command=f"partstead load finish {load}")
    yield from _mass_findings(f"{furnace.id}: metal", facts.metal_kg, furnace.metal_limit_kg)
    if facts.heat in {"debind", "debind and sinter"}:
        yield from _mass_findings(f"{furnace.id}: binder", facts.binder_kg, furnace.binder_limit_kg)
    if facts.trays > furnace.trays:
        yield stop(Code.FURNACE_LIMIT, f"{facts.trays} trays are named, {furnace.id} has {furnace.trays}")


def _mass_findings(what: str, kg: float | None, limit_kg: float) -> Iterator[Finding]:
    if kg is None:
        yield stop(Code.FURNACE_LIMIT, f"{what} in the load is not stated; the limit is {limit_kg:g} kg")
    elif not kg <= limit_kg:
        yield stop(Code.FURNACE_LIMIT, f"{what} {kg:g} kg is above the limit of {limit_kg:g} kg", Role.ENGINEER)


def _setter_findings(facts: LoadFacts) -> Iterator[Finding]:
    allowed = facts.material.setter_materials
    if facts.heat in {"HIP", "heat treatment"}:
        return
    if not allowed:
        words = f"the card of {facts.material.id} does not say which setter materials it may stand on"
        yield caution(Code.SETTER_NOT_ALLOWED, words, Role.ENGINEER)
        return
    for setter in sorted({placed.settings.setter.material for placed in facts.placed} - set(allowed)):
        words = f"{facts.material.id} may stand on {', '.join(allowed)}, not on {setter}"
        yield stop(Code.SETTER_NOT_ALLOWED, words, Role.ENGINEER)


def witnessed(finish: LoadFinish) -> frozenset[str]:
    """Return which results the witness pieces of a load give, in the words of the material card."""
    return frozenset(
        what for what, name in _WITNESSED.items() if any(getattr(piece, name) is not None for piece in finish.witnesses)
    )


def witness_findings(material: Material, load_id: str, results: frozenset[str]) -> Iterator[Finding]:
    """Yield a caution for each result that the material wants from witness pieces and this load lacks."""
    missing = [wanted for wanted in material.witness_needed if wanted not in results]
    if missing:
        words = f"load {load_id}: the witness pieces give no {', '.join(missing)}, {material.id} asks for it"
        yield caution(Code.WITNESS_MISSING, words, Role.QUALITY)
