"""Pulling a repeat order: the PO governs, one line is ordered once, and a stop writes nothing."""

from dataclasses import replace
from datetime import timedelta

import pytest

from tests.builders import PART, a_file, a_move, a_release, a_revision, a_shape, an_acceptance, made, ulid
from tests.given import a_path, given, given_lot, given_makeable, reader_of
from vault.actions.context import Vault
from vault.actions.ordering import NewOrder, Review, ask_about, record_order, review_order, void_order
from vault.errors import BadInput, NotAllowed, NotFound, Refused
from vault.model.design import MeasuredRevision
from vault.model.findings import Code
from vault.model.orders import CallOff, Clause
from vault.model.words import Severity, Stage


@pytest.fixture
def shop(vault: Vault) -> Vault:
    """A prototype: proven settings are not asked of it yet."""
    given_makeable(vault)
    return vault.as_person("cleo")


def a_po(vault: Vault, quantity: int = 200, **fields: object) -> NewOrder:
    due = vault.today + timedelta(days=30)
    usual = {"part": "BRK-204", "po": "4500-81", "po_line": "10", "po_revision": "C"}
    return NewOrder(**{**usual, "schedule": (CallOff(due=due, quantity=quantity),), **fields})  # type: ignore[arg-type]


def test_an_order_line_is_recorded_with_its_review(shop: Vault) -> None:
    done = record_order(shop, a_po(shop), Review())
    recorded = reader_of(shop).order(done.order.id)
    assert done.order.id == "O-26A0001"
    assert recorded.review is not None
    assert recorded.review.is_clear


def test_the_next_order_gets_the_next_number(shop: Vault) -> None:
    numbers = [record_order(shop, a_po(shop, po_line=str(line)), None).order.id for line in range(1, 13)]
    assert numbers == [f"O-26A{number:04d}" for number in range(1, 13)]


@pytest.mark.parametrize("written", [None, "", "latest"])
def test_a_po_without_a_revision_stops(shop: Vault, written: str | None) -> None:
    head = shop.store.head()
    with pytest.raises(Refused, match="PO_NAMES_NO_REVISION"):
        record_order(shop, a_po(shop, po_revision=written), Review())
    assert shop.store.head() == head


def test_such_an_order_may_wait_without_naming_a_revision(shop: Vault) -> None:
    done = record_order(shop, a_po(shop, po_revision="latest"), None, must_be_ready=False)
    assert done.order.revision is None


def test_a_revision_that_nobody_recorded_stops(shop: Vault) -> None:
    with pytest.raises(Refused, match="REVISION_UNKNOWN"):
        record_order(shop, a_po(shop, po_revision="D"), Review())


def test_a_po_and_a_clerk_who_differ_stop(shop: Vault) -> None:
    given(shop, a_revision("B", at=a_revision().at - timedelta(days=1)))
    with pytest.raises(Refused, match="PO_REVISION_DIFFERS.*orders rev C, asked for is rev B"):
        record_order(shop, a_po(shop, part="BRK-204@B"), Review())


def test_an_older_revision_needs_the_customers_document(shop: Vault) -> None:
    early = a_revision().at - timedelta(days=1)
    older = (a_revision("B", at=early), a_release("B", at=early), an_acceptance("B", at=early))
    shape = made(MeasuredRevision, {}, part=PART, revision=ulid("rev B"), shape=a_shape())
    given(shop, *older, shape)
    asked = a_po(shop, po_revision="B")
    with pytest.raises(Refused, match="PO_OLDER_REVISION"):
        record_order(shop, asked, Review())
    with_document = replace(asked, older_revision=a_path(shop, "mail.eml"))
    findings = {finding.code: finding for finding in ask_about(shop, with_document).readiness.findings}
    assert findings[Code.PO_OLDER_REVISION].severity is Severity.CAUTION


def test_what_is_ordered_already_uses_up_an_acceptance_for_so_many_pieces(shop: Vault) -> None:
    given(shop, an_acceptance("C", id=ulid("limited"), quantity=300))
    first = record_order(shop, a_po(shop), Review()).order.id
    with pytest.raises(Refused, match="accepted for 300 pieces; 200 are used, 200 more are asked for"):
        record_order(shop, a_po(shop, po_line="20"), Review())
    assert record_order(shop, a_po(shop, 100, po_line="30"), Review()).answered.facts.acceptance_used == 200
    void_order(shop, first, "cancelled")
    assert ask_about(shop, a_po(shop, po_line="40")).facts.acceptance_used == 100


def test_of_an_order_what_was_started_counts_where_it_is_more(shop: Vault) -> None:
    given(shop, an_acceptance("C", id=ulid("limited"), quantity=300))
    order = record_order(shop, a_po(shop, 20), Review()).order.id
    given_lot(shop, order=order, at=shop.clock.now())
    used = ask_about(shop, a_po(shop, po_line="20")).facts
    assert (used.acceptance_used, used.acceptance_lots) == (30, 1)


def test_one_po_line_is_ordered_once(shop: Vault) -> None:
    first = record_order(shop, a_po(shop), None).order.id
    with pytest.raises(Refused, match=f"recorded already as {first}"):
        record_order(shop, a_po(shop), None)
    void_order(shop, first, "typed twice")
    assert record_order(shop, a_po(shop), None).order.id != first


def test_a_first_issue_word_is_confirmed_by_a_person_and_kept_on_the_order(shop: Vault) -> None:
    early = a_revision().at - timedelta(days=3)
    given(shop, a_revision("-", files=(a_file("first.stl"),), at=early), a_release("-"), an_acceptance("-"))
    with pytest.raises(Refused, match="PO_DASH_NOT_CONFIRMED"):
        record_order(shop, a_po(shop, po_revision="N/C"), Review())


def test_a_review_with_open_points_is_not_clear(shop: Vault) -> None:
    order = record_order(shop, a_po(shop), None).order.id
    assert not review_order(shop, order, Review(open_points=("the price",))).is_clear
    assert review_order(shop, order, Review()).is_clear


def test_a_voided_order_is_not_reviewed(shop: Vault) -> None:
    order = record_order(shop, a_po(shop), None).order.id
    void_order(shop, order, "cancelled")
    with pytest.raises(Refused, match="was voided: cancelled"):
        review_order(shop, order, Review())


def test_quality_clauses_are_accounted_for_in_the_review(shop: Vault) -> None:
    clause = Clause(about="certificate", words="with certificate of conformity")
    done = record_order(shop, a_po(shop, clauses=(clause,)), Review())
    review = reader_of(shop).order(done.order.id).review
    assert review is not None
    assert review.clauses_accounted_for == (clause.words,)


def test_an_order_without_a_date_is_bad_input(shop: Vault) -> None:
    with pytest.raises(BadInput, match="at least one date"):
        record_order(shop, a_po(shop, schedule=()), Review())


def test_an_unknown_part_and_an_unknown_person_are_said_plainly(shop: Vault) -> None:
    with pytest.raises(NotFound, match="NOPE-1"):
        record_order(shop, a_po(shop, part="NOPE-1"), Review())
    with pytest.raises(NotAllowed, match="rolf may not record an order"):
        record_order(shop.as_person("rolf"), a_po(shop), Review())  # type: ignore[arg-type]


def test_in_ramp_unproven_settings_stop_an_order(shop: Vault) -> None:
    given(shop, a_move(Stage.RAMP))
    with pytest.raises(Refused, match="NEVER_PROVEN"):
        record_order(shop, a_po(shop), Review())
