"""Readiness, first question: is it the right revision? Unknown, unreleased, not accepted, or not what the PO says."""

from collections.abc import Iterator

from vault import units
from vault.model.decisions import Acceptance
from vault.model.design import Revision
from vault.model.findings import Code, Finding
from vault.model.words import Authority, Role, Stage
from vault.rules.facts import Facts, PoFacts
from vault.rules.finding import caution, note, stop
from vault.rules.history import PartHistory
from vault.rules.labels import PoLabel, same_label, warning


def revision_findings(facts: Facts) -> Iterator[Finding]:
    """Yield what is wrong with the revision asked for."""
    part = facts.history.card.number
    if facts.po is not None:
        yield from _po_findings(facts, facts.po)
    for label in facts.history.unsettled_labels():
        yield stop(
            Code.SAME_LABEL_OTHER_FILE,
            f"rev {label.upper()} arrived with more than one design; nothing is made until the customer's written "
            "answer which one it is has been recorded",
            Role.ENGINEER,
            next_command=f"partstead settle {part}@{label.upper()} --which SHA --answered-by NAME --evidence FILE",
        )
    if facts.asked is None:
        yield _nothing_asked(facts)
        return
    yield from _standing(facts, facts.asked)
    yield from _newer(facts, facts.asked)
    yield from _label_in_order(facts, facts.asked)


def _nothing_asked(facts: Facts) -> Finding:
    part = facts.history.card.number
    if not facts.history.revisions:
        command = f"partstead revise {part} FILE --label LABEL --because REASON"
        return stop(Code.NO_REVISION, f"{part} has no revision yet", Role.ENGINEER, next_command=command)
    known = ", ".join(revision.label for revision in facts.history.revisions)
    asked = f"rev {facts.asked_label}" if facts.asked_label else "the revision"
    return stop(Code.REVISION_UNKNOWN, f"{part} has no {asked}; recorded are {known}", Role.ENGINEER)


def _standing(facts: Facts, asked: Revision) -> Iterator[Finding]:
    history, label, part = facts.history, asked.label, facts.history.card.number
    if history.is_set_aside(asked):
        words = f"rev {label}: by the customer's answer another file is rev {label}; this one was set aside"
        yield stop(Code.SAME_LABEL_OTHER_FILE, words, Role.ENGINEER)
    withdrawal = history.withdrawal_of(asked.id)
    if withdrawal is not None:
        words = f"rev {label}: its {withdrawal.what} was withdrawn on {withdrawal.at:%Y-%m-%d}: {withdrawal.reason}"
        yield stop(Code.WITHDRAWN, words, Role.ENGINEER, Role.DESK)
    if history.release_of(asked.id) is None:
        command = f"partstead release {part}@{label}"
        yield stop(
            Code.NOT_RELEASED, f"rev {label} was never released by the shop", Role.ENGINEER, next_command=command
        )
    acceptance = history.acceptance_of(asked.id)
    if acceptance is None:
        yield _not_accepted(facts, label)
    else:
        yield from _acceptance_scope(facts, label, acceptance)


def _not_accepted(facts: Facts, label: str) -> Finding:
    command = f"partstead accept {facts.history.card.number}@{label} --evidence FILE --basis BASIS --accepted-by NAME"
    words = f"rev {label} was not accepted by the customer"
    if facts.history.stage is Stage.PROTOTYPE:
        # Prototypes are made so that the customer can accept them.
        return caution(Code.NOT_ACCEPTED, words, Role.DESK, Role.ENGINEER, next_command=command)
    return stop(Code.NOT_ACCEPTED, words, Role.DESK, Role.ENGINEER, next_command=command)


def _acceptance_scope(facts: Facts, label: str, acceptance: Acceptance) -> Iterator[Finding]:
    asked = facts.quantity or 0
    who = (Role.DESK, Role.ENGINEER)
    if acceptance.until is not None and facts.today > acceptance.until:
        yield stop(Code.ACCEPTANCE_USED_UP, f"rev {label} was accepted until {acceptance.until} only", *who)
    if acceptance.quantity is not None and facts.acceptance_used + asked > acceptance.quantity:
        room = f"rev {label} was accepted for {units.pieces(acceptance.quantity)}"
        words = f"{room}; {facts.acceptance_used} are used, {asked} more are asked for"
        yield stop(Code.ACCEPTANCE_USED_UP, words, *who)
    if acceptance.lots is not None and facts.acceptance_lots >= acceptance.lots:
        words = f"rev {label} was accepted for {acceptance.lots} lots, and {facts.acceptance_lots} are used"
        yield stop(Code.ACCEPTANCE_USED_UP, words, *who)
    if acceptance.conditions is not None:
        yield caution(
            Code.ACCEPTANCE_CONDITIONS, f"rev {label} was accepted with conditions: {acceptance.conditions}", *who
        )


def _newer(facts: Facts, asked: Revision) -> Iterator[Finding]:
    history = facts.history
    places = [revision.id for revision in history.revisions]
    after = history.revisions[places.index(asked.id) + 1 :]
    for newer in after:
        if not history.is_set_aside(newer):
            words = f"{_how_far(history, newer)}; ask whether rev {asked.label} is still wanted"
            code = Code.NEWER_REVISION if history.release_of(newer.id) else Code.NEWER_NOT_RELEASED
            yield caution(code, words, Role.ENGINEER, Role.DESK)


def _how_far(history: PartHistory, newer: Revision) -> str:
    """Return how far a newer revision has come, by its dates."""
    recorded = f"rev {newer.label} is recorded since {newer.at:%Y-%m-%d}"
    release, acceptance = history.release_of(newer.id), history.acceptance_of(newer.id)
    if release is None:
        return f"{recorded} and not released"
    accepted = f"accepted on {acceptance.accepted_on}" if acceptance else "not accepted yet"
    return f"{recorded}, released on {release.at:%Y-%m-%d} and {accepted}"


def _label_in_order(facts: Facts, asked: Revision) -> Iterator[Finding]:
    before = facts.history.revision(asked.follows) if asked.follows else None
    words = warning(asked.label, before.label if before else None, facts.history.card.label_scheme)
    if words is not None:
        yield note(Code.LABEL_OUT_OF_SCHEME, words)
    held = asked.drawing_revision
    if (
        held is not None
        and not same_label(held, asked.label)
        and facts.history.card.design_authority is Authority.CUSTOMER
    ):
        words = f"rev {asked.label} is recorded, the drawing says {held}"
        yield stop(Code.MODEL_AND_DRAWING_DISAGREE, words, Role.ENGINEER)
    held = asked.model_part_revision
    if held is not None and not same_label(held, asked.label):
        words = f"rev {asked.label} is recorded, the model says {held}"
        yield stop(Code.MODEL_AND_DRAWING_DISAGREE, words, Role.ENGINEER)


def _po_findings(facts: Facts, po: PoFacts) -> Iterator[Finding]:
    history, written = facts.history, po.written
    if written.reads_as is PoLabel.NAMES_NONE or written.label is None:
        words = f'the PO names no revision ("{written.text}")' if written.text else "the PO names no revision"
        order = facts.order.order_id if facts.order else None
        command = f"partstead order amend {order} --po-rev REV --because REASON" if order else None
        words += "; ask the customer for an amended PO"
        yield stop(Code.PO_NAMES_NO_REVISION, words, Role.DESK, Role.CLERK, next_command=command)
        return
    if written.reads_as is PoLabel.MAY_BE_FIRST_ISSUE and not po.dash_confirmed:
        words = f'the PO says "{written.text}", which may mean the first issue "-"; a person confirms that'
        yield stop(
            Code.PO_DASH_NOT_CONFIRMED,
            words,
            Role.CLERK,
            Role.DESK,
            next_command=_said_with(facts, "--confirm-first-issue"),
        )
    ordered = history.settled(written.label)
    if ordered is None and not history.called(written.label):
        yield stop(Code.REVISION_UNKNOWN, f"the PO orders rev {written.label}, which was never recorded", Role.ENGINEER)
    if facts.asked is not None and ordered is not None and ordered.id != facts.asked.id:
        words = f"the PO orders rev {ordered.label}, asked for is rev {facts.asked.label}"
        yield stop(Code.PO_REVISION_DIFFERS, words, Role.DESK, Role.CLERK)
    yield from _older_ordered(facts, po, ordered)


def _said_with(facts: Facts, option: str) -> str:
    """Return how a person says more about a PO: with the question, or as an amendment where the order is recorded."""
    if facts.order is None:
        return f"the same command with {option}"
    return f"partstead order amend {facts.order.order_id} {option} --because REASON"


def _older_ordered(facts: Facts, po: PoFacts, ordered: Revision | None) -> Iterator[Finding]:
    current = facts.history.printable
    if ordered is None or current is None or current.id == ordered.id:
        return
    places = [revision.id for revision in facts.history.revisions]
    if places.index(ordered.id) > places.index(current.id):
        return  # a newer one is ordered: not released or not accepted says so already
    acceptance = facts.history.acceptance_of(current.id)
    since = f"{acceptance.accepted_on}" if acceptance else "now"
    words = f"rev {ordered.label} ordered, {current.label} is accepted since {since}"
    if po.older_revision_document and facts.history.acceptance_of(ordered.id) is not None:
        yield caution(Code.PO_OLDER_REVISION, f"{words}; the customer's document for this order is attached", Role.DESK)
    else:
        yield stop(
            Code.PO_OLDER_REVISION,
            f"{words}; a document from the customer for this order must be attached",
            Role.DESK,
            Role.CLERK,
            next_command=_said_with(facts, "--older-revision FILE"),
        )
