"""Plays what happens in the office: orders, packages, stage moves, and everything that goes wrong."""

from demo_vault.papers import model_file
from demo_vault.player import CUSTOMER_OF, Stage
from demo_vault.scenario.campaigns import lot_called
from demo_vault.scenario.catalogue import part
from demo_vault.scenario.facts import OrderFact
from demo_vault.scenario.incidents import (
    HoldFact,
    NonconformanceFact,
    ReturnFact,
    SecondFileFact,
    SplitFact,
    SupersededPackageFact,
    WithdrawalFact,
)
from vault.actions.holding import hold
from vault.actions.lot_family import split_lot
from vault.actions.nonconforming import Decision, NewNonconformance, add_nonconformance, decide_nonconformance
from vault.actions.ordering import NewOrder, Review, record_order, void_order
from vault.actions.packaging import issue, paper_recovered, supersede
from vault.actions.permitting import NewPermission, add_concession
from vault.actions.receiving import receive
from vault.actions.releasing import withdraw
from vault.actions.shipping import take_back
from vault.actions.staging import NewStage
from vault.actions.staging import stage as move_stage
from vault.errors import Refused
from vault.model.ids import Handle
from vault.model.orders import CallOff, Clause
from vault.model.words import Disposition
from vault.model.words import Stage as PartStage


def take_order(stage: Stage, fact: OrderFact) -> None:
    """Record an order line with its contract review; where readiness stops, the order waits."""
    buyer = CUSTOMER_OF[part(fact.part).customer].somebody("buying").name
    po = stage.letter(f"{fact.po}-{fact.line}", buyer, f"PO {fact.po}, line {fact.line}: {fact.quantity} pieces.")
    new = NewOrder(
        fact.part,
        fact.po,
        fact.line,
        fact.revision_as_written,
        tuple(CallOff(due=due, quantity=count) for due, count in fact.schedule),
        amendment=fact.amendment,
        over_allowed=fact.over,
        under_allowed=fact.under,
        clauses=tuple(Clause.model_validate({"about": about, "words": words}) for about, words in fact.clauses),
        received_on=fact.received,
        document=po,
        note=fact.note,
    )
    review = Review() if fact.revision_as_written else None
    recorded = record_order(stage.hands("tove"), new, review, must_be_ready=False)
    stage.ids["order", fact.key] = recorded.order.id


def make_package(stage: Stage, order: str) -> None:
    """Make the reprint package of a recorded order."""
    issued = issue(stage.hands("tove"), stage.ids["order", order], stage.out)
    stage.ids["package", order] = issued.package.id


def make_package_if_ready(stage: Stage, order: str) -> None:
    """Make the package of an order that is open on the demo's day, unless something stops it: it waits then."""
    try:
        make_package(stage, order)
    except Refused:
        stage.ids["waiting", order] = stage.ids["order", order]


def move(stage: Stage, number: str, to: str, why: str) -> None:
    """Move a part to another stage through its gate."""
    move_stage(stage.hands("maren"), number, NewStage(PartStage(to), why))


def put_on_hold(stage: Stage, fact: HoldFact) -> None:
    """Put a part on hold."""
    hold(stage.hands(fact.by), fact.part, fact.reason)


def take_acceptance_back(stage: Stage, fact: WithdrawalFact) -> None:
    """Record that the customer withdrew an acceptance."""
    withdraw(stage.hands(fact.by), fact.part, fact.label, fact.reason, "acceptance")


def second_file(stage: Stage, fact: SecondFileFact) -> None:
    """Record the arrival of another file under a label that is taken."""
    of = part(fact.part)
    edited = of.design_with(fact.label, fact.edits)
    file = model_file(stage.scratch, of, f"{fact.label} once more", fact.file, edited)
    receive(stage.hands("pim"), fact.part, (file,), fact.sender, fact.on, fact.label, fact.covering_note)


def void_package(stage: Stage, fact: SupersededPackageFact) -> None:
    """Supersede a package, take its paper back and void its order line."""
    package = stage.ids["package", fact.order]
    supersede(stage.hands("ivo"), package, fact.reason)
    paper_recovered(stage.hands(fact.recovered_by), package, fact.copies_recovered)
    void_order(stage.hands("pim"), stage.ids["order", fact.order], fact.reason)


def find_nonconformance(stage: Stage, fact: NonconformanceFact) -> None:
    """Record a nonconformance, and its decision where it needs no concession."""
    new = NewNonconformance(stage.ids["lot", fact.lot], fact.count, fact.words, fact.found_at, fact.characteristic)
    found = add_nonconformance(stage.hands(fact.found_by), new)
    stage.ids["nonconformance", fact.lot] = found.id
    if fact.concession_reference is None:
        decide(stage, fact)


def grant_concession(stage: Stage, fact: NonconformanceFact) -> None:
    """Record the customer's concession and decide by it."""
    if not (fact.concession_reference and fact.granted_by and fact.granted_on):
        raise ValueError(f"nobody granted a concession for {fact.lot}")
    lot = lot_called(fact.lot)
    letter = stage.letter(fact.concession_reference, fact.granted_by, f"Granted: {fact.words}")
    new = NewPermission(
        fact.concession_reference,
        fact.granted_by,
        fact.granted_on,
        fact.words,
        letter,
        (fact.characteristic,),
        fact.granted_quantity,
    )
    add_concession(stage.hands("maren"), lot.part, lot.label, (stage.ids["lot", fact.lot],), new)
    decide(stage, fact)


def decide(stage: Stage, fact: NonconformanceFact) -> None:
    """Record what was decided about a nonconformance."""
    scrapped = Handle("maren") if fact.decision == "scrap" else None
    decision = Decision(
        Disposition(fact.decision),
        fact.count,
        fact.concession_reference,
        made_unusable_by=scrapped,
        cause=fact.cause,
        action=fact.action,
    )
    decide_nonconformance(stage.hands("maren"), stage.ids["nonconformance", fact.lot], decision)


def split(stage: Stage, fact: SplitFact, pieces: int) -> None:
    """Split a lot into two children."""
    counts = (fact.first_child, pieces - fact.first_child)
    children = split_lot(stage.hands("tove"), stage.ids["lot", fact.lot], counts, fact.reason)
    for place, child in enumerate(children, start=1):
        stage.ids["lot", f"{fact.lot}/{place}"] = child


def come_back(stage: Stage, fact: ReturnFact) -> None:
    """Record pieces that came back."""
    delivery = stage.ids["delivery", fact.lot]
    take_back(stage.hands("pim"), delivery, fact.quantity, fact.defect, fact.on, fact.pieces_came_back)
