"""May a lot start now: from this package, this powder and these boxes?"""

from collections.abc import Iterator
from dataclasses import dataclass

from vault import units
from vault.model.decisions import Hold
from vault.model.findings import Code, Finding
from vault.model.floor import Blend, BoxRun, BoxRunFinish
from vault.model.orders import Order
from vault.model.packaging import Package
from vault.model.settings import Settings
from vault.model.words import Role
from vault.rules.finding import caution, stop
from vault.rules.holds import hold_findings


@dataclass(frozen=True)
class LotFacts:
    """Everything that bears on starting a lot."""

    settings: Settings
    count: int
    serials: tuple[str, ...]
    blends: tuple[Blend, ...]
    runs: tuple[tuple[BoxRun, BoxRunFinish | None], ...]
    holds: tuple[tuple[str, Hold], ...]  # on the part, its powder and its box runs
    package: Package | None = None
    order: Order | None = None
    started_before: int = 0  # pieces of this package that other lots took


def lot_findings(facts: LotFacts) -> Iterator[Finding]:
    """Yield what stands against starting the lot, beside the standing of its package."""
    yield from hold_findings(facts.holds)
    yield from _powder_findings(facts)
    yield from _run_findings(facts)
    yield from _count_findings(facts)


def _powder_findings(facts: LotFacts) -> Iterator[Finding]:
    for blend in facts.blends:
        if blend.material != facts.settings.material:
            words = (
                f"{blend.id} is {blend.material}, settings {facts.settings.number} ask for {facts.settings.material}"
            )
            yield stop(Code.MATERIALS_MIXED, words, Role.ENGINEER)


def _run_findings(facts: LotFacts) -> Iterator[Finding]:
    known = {blend.id for blend in facts.blends}
    for run, finish in facts.runs:
        if run.blend not in known:
            yield stop(Code.LOTS_DIFFER, f"box run {run.id} was printed with {run.blend}, which the lot does not name")
        if run.machine != facts.settings.machine:
            wanted = f"settings {facts.settings.number} are for {facts.settings.machine}"
            words = f"box run {run.id} was on {run.machine}, {wanted}"
            yield stop(Code.NOT_AS_SETTINGS, words, Role.ENGINEER)
        if facts.package is not None and run.packages and facts.package.id not in run.packages:
            words = f"box run {run.id} was printed from {', '.join(run.packages)}, not from {facts.package.id}"
            yield stop(Code.PACKAGE_NOT_LIVE, words, Role.ENGINEER)
        if finish is None:
            yield caution(Code.STILL_RUNNING, f"box run {run.id} is not finished yet", Role.CLERK)
        elif not finish.went_well:
            yield caution(Code.RUN_WENT_BADLY, f"box run {run.id} did not go well", Role.QUALITY)


def _count_findings(facts: LotFacts) -> Iterator[Finding]:
    package, order = facts.package, facts.order
    if package is not None and facts.started_before + facts.count > package.quantity_to_start:
        words = (
            f"package {package.id} is for {units.pieces(package.quantity_to_start)}; {facts.started_before} "
            f"were started, {facts.count} more are asked for"
        )
        yield stop(Code.COUNTS_DO_NOT_BALANCE, words, Role.ENGINEER)
    if order is not None and not facts.serials and any(clause.about == "serials" for clause in order.clauses):
        yield stop(Code.SERIALS_MISSING, f"order {order.id} asks for serial numbers", Role.CLERK)
