"""Readiness, plans and repeat orders on a terminal. A verdict never stands without the records that it rests on."""

from collections.abc import Iterator
from pathlib import Path

from vault import units
from vault.actions.ordering import Reordered
from vault.actions.planning import Planned
from vault.actions.readying import Answered, Question
from vault.actions.refusing import refuse_on_stops, words_of
from vault.cli.parts import part_at
from vault.cli.show import Shown, facts
from vault.model.design import Revision
from vault.model.findings import Finding
from vault.model.words import Severity
from vault.rules.facts import PoFacts
from vault.rules.history import PartHistory
from vault.rules.labels import read_po_label


def po_facts(po_rev: str | None, confirm_first_issue: bool, older_revision: Path | None) -> PoFacts | None:
    """Return what was typed about a PO; None where nothing is said of its revision."""
    return PoFacts(read_po_label(po_rev), confirm_first_issue, older_revision is not None) if po_rev else None


def question(typed: str, quantity: int | None, settings: str | None, po: PoFacts | None) -> Question:
    """Return the question that was typed. Raises BadInput."""
    part, label = part_at(typed)
    return Question(part, label, quantity, settings, po)


def ready_shown(answered: Answered) -> Shown:
    """Return a verdict with its findings, gravest first, and the records that it rests on."""
    words = [words_of(finding) for finding in answered.readiness.findings]
    return Shown(_data(answered), (*facts(_asked(answered)), "", *words, *([""] if words else []), answered.basis))


def _data(answered: Answered) -> dict[str, object]:
    found = answered.facts
    return {
        "verdict": answered.readiness.verdict,
        "basis": answered.basis,
        "commit": answered.commit,
        "on": answered.on,
        "part": found.history.card.number,
        "revision": found.asked.label if found.asked else None,
        "settings": found.settings.number if found.settings else None,
        "quantity": found.quantity,
        "stage": found.history.stage,
        "findings": answered.readiness.findings,
    }


def _asked(answered: Answered) -> Iterator[tuple[str, str]]:
    found = answered.facts
    card = found.history.card
    yield "part", f"{card.number}  {card.description} ({card.customer} {card.customer_number})"
    yield "revision", revision_words(found.history, found.asked) if found.asked else "none"
    yield "settings", found.settings.number if found.settings else "none"
    yield "quantity", units.pieces(found.quantity) if found.quantity else ""
    yield "stage", found.history.stage


def revision_words(history: PartHistory, revision: Revision) -> str:
    """Return a revision's label with what was said to it, by date."""
    release, acceptance = history.release_of(revision.id), history.acceptance_of(revision.id)
    said = [f"recorded {revision.at:%Y-%m-%d}"]
    said += [f"released {release.at:%Y-%m-%d}"] if release else ["not released"]
    said += [f"accepted {acceptance.accepted_on}"] if acceptance else ["not accepted"]
    return f"{revision.label}  {', '.join(said)}"


def judged(answered: Answered) -> list[str]:
    """Return what a person should know before saying yes to an order. Raises Refused with every stop there is."""
    findings = answered.readiness.findings
    refuse_on_stops(f"nothing was recorded for {answered.facts.history.card.number}:", findings)
    return [*facts(_asked(answered)), *(words_of(finding) for finding in _milder(findings)), answered.basis]


def _milder(findings: tuple[Finding, ...]) -> list[Finding]:
    return [finding for finding in findings if finding.severity is not Severity.STOP]


def plan_shown(planned: Planned) -> Shown:
    """Return how many boxes a quantity takes."""
    plan, answered = planned.plan, planned.answered
    data = {
        "part": answered.facts.history.card.number,
        "quantity": planned.quantity,
        "quantity_to_start": planned.to_start,
        "printing_min": planned.printing_min,
        "plan": plan,
        "verdict": answered.readiness.verdict,
        "basis": answered.basis,
        "findings": answered.readiness.findings,
    }
    size = " x ".join(units.mm(edge, 2) for edge in plan.green_size_mm)
    pairs = (
        *_asked(answered),
        ("to start", units.pieces(planned.to_start)),
        ("boxes", f"{plan.boxes} of {plan.box}, {units.pieces(plan.per_box)} in each ({plan.method})"),
        ("grid", " x ".join(map(str, plan.grid))),
        ("green size", size),
        ("layers", str(plan.layers)),
        ("printing", f"{units.minutes(plan.box_min)} a box, {units.minutes(planned.printing_min)} in all"),
    )
    words = [words_of(finding) for finding in answered.readiness.findings]
    return Shown(data, (*facts(pairs), "", *words, *([""] if words else []), answered.basis))


def reordered_shown(done: Reordered) -> Shown:
    """Return the order that was recorded and its package."""
    order, issued = done.order, done.issued
    label = done.answered.facts.asked.label if done.answered.facts.asked else "none"
    what = f"{units.pieces(order.quantity)} of {order.part} rev {label}"
    lines = [f"order {order.id}: {what}, PO {order.po} line {order.po_line}"]
    if issued is not None:
        package = issued.package
        lines += [
            f"package {package.id}: start {units.pieces(package.quantity_to_start)} in "
            f"{package.plan.boxes} x {package.plan.box}, void after {package.valid_until}",
            str(issued.file),
        ]
    return Shown({"order": order, "package": issued.package if issued else None}, tuple(lines))
