"""A customer sees the revisions they know, the dates of what happened, and what was shipped to them."""

from datetime import date, timedelta
from typing import Any

import pytest

from tests.builders import (
    a_change,
    a_customer,
    a_file,
    a_history,
    a_move,
    a_part,
    a_receipt,
    a_release,
    a_revision,
    an_acceptance,
    made,
    some_evidence,
    ulid,
)
from tests.fakes import MORNING
from tests.floor_builders import a_delivery, an_order
from vault.model.base import Record
from vault.model.cards import RegisterCard
from vault.model.customer_view import PartView, RevisionView
from vault.model.decisions import Concession, LabelAnswer, Permission, Withdrawal
from vault.model.design import ChangedRevision
from vault.model.words import Authority, Stage
from vault.rules.redaction import LEFT_OUT, Answering, Shipped, customer_view

LATER = {"at": MORNING + timedelta(days=9)}


def view_of(*records: Record, shipped: tuple[Shipped, ...] = (), **given: Any) -> PartView:
    register = made(RegisterCard, {}, format=1, id="01KJPT0000000000000000TEST", name="Shop of the tests")
    facts: dict[str, Any] = {
        "register": register, "customer": a_customer(), "parts": [a_history(*records)], "shipped": shipped,
        "others": [a_customer(code="BRIGHTWATER", name="Brightwater")], "head": "a" * 40, "generated_at": MORNING,
    }  # fmt: skip
    return customer_view(Answering(**{**facts, **given})).parts[0]


def labels(view: PartView) -> list[str]:
    return [revision.label for revision in view.revisions]


def only(view: PartView) -> RevisionView:
    [revision] = view.revisions
    return revision


def sent(revision: str = "C", **order: Any) -> Shipped:
    return Shipped(a_delivery(), an_order(**order), ulid(f"rev {revision}"))


def permission(**given: Any) -> Permission:
    usual: dict[str, Any] = {"reference": "NCR-1188", "granted_by": "T. Arkell", "granted_on": date(2026, 3, 4),
                             "words": "Flatness to 0.15 mm", "quantity": 40, "evidence": some_evidence()}  # fmt: skip
    return Permission(**{**usual, **given})


def a_concession(**given: Any) -> Concession:
    return made(
        Concession, given, id=ulid("concession"), part="BRK-204", revision=ulid("rev C"), lots=("L-26A0001",),
        permission=permission(),
    )  # fmt: skip


def test_a_revision_that_was_never_accepted_is_left_out() -> None:
    assert labels(view_of(a_revision("C"), an_acceptance("C"), a_revision("D", **LATER))) == ["C"]


def test_the_customers_card_may_ask_for_it_as_under_review() -> None:
    asks = a_customer(show_unaccepted_revisions=True)
    newest, older = view_of(a_revision("C"), an_acceptance("C"), a_revision("D", **LATER), customer=asks).revisions
    assert (newest.label, newest.under_review, newest.accepted_on) == ("D", True, None)
    assert (older.label, older.under_review, older.superseded_by) == ("C", False, None)


def test_a_file_that_the_customer_said_is_not_the_one_stays_out_even_then() -> None:
    other = a_revision("C", id=ulid("other C"), files=(a_file("other.stl"),))
    answer = made(LabelAnswer, LATER, id=ulid("answer"), part="BRK-204", label="C", revision=ulid("rev C"),
                  answered_by="P. Holm", answered_on=date(2026, 3, 4), evidence=some_evidence())  # fmt: skip
    asks = a_customer(show_unaccepted_revisions=True)
    view = view_of(a_revision("C"), other, answer, customer=asks)
    assert [revision.reason for revision in view.revisions] == ["The customer's new issue"]


def test_pieces_that_were_shipped_show_their_revision_whether_accepted_or_not() -> None:
    revision = only(view_of(a_revision("C"), a_revision("D", **LATER), shipped=(sent("C"),)))
    assert (revision.label, revision.under_review, revision.delivered) == ("C", True, 28)
    assert (revision.deliveries[0].order, revision.deliveries[0].po) == ("O-26A0001", "PO-9001")


def test_pieces_shipped_to_somebody_else_are_nobodys_business() -> None:
    view = view_of(a_revision("C"), an_acceptance("C"), shipped=(sent("C", customer="BRIGHTWATER"),))
    assert only(view).deliveries == ()
    assert view_of(a_revision("C"), shipped=(sent("C", customer="BRIGHTWATER"),)).revisions == ()


def test_the_dates_are_those_of_what_happened() -> None:
    revision = a_revision("C", receipt=ulid("receipt"))
    view = view_of(a_receipt(), revision, a_release("C", **LATER), an_acceptance("C", **LATER))
    shown = only(view)
    assert (shown.received_on, shown.released_on, shown.accepted_on) == (
        date(2026, 3, 1), date(2026, 3, 11), date(2026, 3, 2),
    )  # fmt: skip
    assert (shown.accepted_by, shown.accepted_basis, shown.withdrawn_on) == ("P. Holm", "drawing approval", None)


def test_a_withdrawn_acceptance_keeps_its_date_and_gets_the_other() -> None:
    gone = made(Withdrawal, LATER, id=ulid("gone"), part="BRK-204", revision=ulid("rev C"),
                withdraws=ulid("acceptance C"), what="acceptance", reason="Our own reasons")  # fmt: skip
    shown = only(view_of(a_revision("C"), an_acceptance("C"), gone))
    assert (shown.accepted_on, shown.withdrawn_on) == (date(2026, 3, 2), date(2026, 3, 11))


def test_the_next_accepted_revision_supersedes_and_a_hidden_one_does_not() -> None:
    steps = (a_revision("B"), an_acceptance("B"), a_revision("C", **LATER), a_revision("D", **LATER))
    assert [r.superseded_by for r in view_of(*steps).revisions] == [None]
    newest, oldest = view_of(*steps, an_acceptance("D", **LATER)).revisions
    assert (newest.label, oldest.superseded_by) == ("D", "D")


def step(since: str, to: str) -> ChangedRevision:
    return made(ChangedRevision, {}, part="BRK-204", revision=ulid(f"rev {to}"), since=ulid(f"rev {since}"),
                shape=a_change(0.3))  # fmt: skip


def test_the_measured_step_is_shown_between_two_revisions_that_are_shown() -> None:
    after = a_revision("C", follows=ulid("rev B"), **LATER)
    view = view_of(a_revision("B"), an_acceptance("B"), after, an_acceptance("C", **LATER), step("B", "C"))
    assert view.revisions[0].changes[0].startswith("Since rev B: Largest deviation 0.300 mm")
    assert view.revisions[1].changes == ("First issue here; there is nothing to compare with.",)


def test_the_size_of_a_step_from_a_hidden_revision_stays_hidden() -> None:
    hidden, after = a_revision("B", follows=ulid("rev A"), **LATER), a_revision("C", follows=ulid("rev B"), **LATER)
    accepted = (an_acceptance("A"), an_acceptance("C", **LATER))
    view = view_of(a_revision("A"), hidden, after, *accepted, step("A", "B"), step("B", "C"))
    assert labels(view) == ["C", "A"]
    assert view.revisions[0].changes == ("The change since rev A was not measured; drawing requirements not compared.",)
    assert only(view_of(hidden, after, *accepted[1:], step("B", "C"))).changes == ()


def test_a_concession_is_shown_with_the_customers_reference() -> None:
    view = view_of(a_revision("C"), a_concession())
    [granted] = view.concessions
    assert (granted.reference, granted.revision, granted.granted_by, granted.quantity) == (
        "NCR-1188", "C", "T. Arkell", 40,
    )  # fmt: skip
    assert labels(view) == ["C"]


def test_what_the_shop_granted_on_its_own_design_stays_inside() -> None:
    history = a_history(a_revision("C"), a_concession(), card=a_part(design_authority=Authority.SHOP))
    assert view_of(parts=[history]).concessions == ()


def test_the_stage_is_told_with_its_date() -> None:
    assert view_of().stage == "prototype"
    assert view_of(a_move(Stage.PRODUCTION)).stage == "production since 2026-03-02"


@pytest.mark.parametrize("text", ["As for Brightwater", "see brightwater's drawing", "BRIGHTWATER: same bore"])
def test_a_text_that_names_another_customer_is_left_out(text: str) -> None:
    assert only(view_of(a_revision("C", reason=text), an_acceptance("C"))).reason == LEFT_OUT


@pytest.mark.parametrize("text", ["Brightwaters", "for Northfell Pumps", "bright water"])
def test_a_text_that_names_nobody_else_stays(text: str) -> None:
    assert only(view_of(a_revision("C", reason=text), an_acceptance("C"))).reason == text


def test_another_customers_part_is_a_fault_of_the_program() -> None:
    with pytest.raises(ValueError, match="BRK-204 is no part of BRIGHTWATER"):
        view_of(customer=a_customer(code="BRIGHTWATER"))
