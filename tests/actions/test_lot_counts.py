"""Counting lots through their operations, finishing them, and surplus."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from tests.builders import PART, a_release, a_revision, an_acceptance
from tests.floor_builders import LOT, a_delivery, a_lot, a_nonconformance
from tests.given import a_path, given, given_lot, given_makeable, given_order, reader_of
from vault.actions.lot_counts import Counts, Done, NewSurplus, finish_lot, record_operation, record_surplus
from vault.actions.lot_family import split_lot
from vault.actions.readying import Question, ready
from vault.errors import BadInput, Refused
from vault.model.findings import Code
from vault.rules.lots import balance_findings


@pytest.fixture
def shop(vault):
    given_makeable(vault)
    given_lot(vault)
    return vault.as_person("cleo")


def test_counts_balance_where_every_piece_is_accounted_for(shop):
    counts = Counts(30, 24, {"crack": 2, "dropped": 1}, to_rework=1, held=1, destroyed_in_test=1)
    recorded = record_operation(shop, LOT, "machining", counts)
    assert recorded.entry.unaccounted == 0
    assert recorded.findings == ()
    assert (recorded.entry.done_by, recorded.entry.done_on) == ("cleo", date(2026, 3, 2))


def test_counts_that_do_not_balance_are_recorded_and_block(shop):
    recorded = record_operation(shop, LOT, "machining", Counts(30, 28, {"crack": 1}))
    assert [finding.code for finding in recorded.findings] == [Code.COUNTS_DO_NOT_BALANCE]
    assert balance_findings(reader_of(shop).lot(LOT)) == recorded.findings


def test_more_pieces_than_came_from_the_step_before_do_not_balance(shop):
    record_operation(shop, LOT, "machining", Counts(30, 28, {"crack": 2}))
    again = record_operation(shop, LOT, "inspection", Counts(29, 29))
    assert "only 28 came from the step before" in again.findings[0].sentence


def test_pieces_that_vanish_between_two_operations_do_not_balance(shop):
    record_operation(shop, LOT, "machining", Counts(30, 30))
    again = record_operation(shop, LOT, "inspection", Counts(25, 25))
    assert "25 pieces, but 30 came from the step before: 5 gone" in again.findings[0].sentence


def test_pieces_at_rework_may_come_back_later_or_stay_away(shop):
    record_operation(shop, LOT, "machining", Counts(30, 26, to_rework=4))
    assert record_operation(shop, LOT, "inspection", Counts(26, 26)).findings == ()
    assert record_operation(shop, LOT, "packing", Counts(29, 29)).findings == ()
    assert "only 30 came" in record_operation(shop, LOT, "again", Counts(31, 31)).findings[0].sentence


def test_pieces_found_nonconforming_may_miss_from_the_next_count(shop):
    given(shop, a_nonconformance(count=5))
    assert record_operation(shop, LOT, "inspection", Counts(25, 25)).findings == ()
    finish_lot(shop, LOT, 25)
    assert reader_of(shop).lot(LOT).left == 25


def test_held_pieces_are_counted_out_once(shop):
    record_operation(shop, LOT, "inspection", Counts(30, 27, held=3))
    given(shop, a_nonconformance(count=3))
    finish_lot(shop, LOT, 27)
    assert reader_of(shop).lot(LOT).left == 27


def test_good_pieces_do_not_vanish_at_the_finish(shop):
    with pytest.raises(BadInput, match="count first where 2 of them went"):
        finish_lot(shop, LOT, 28)


def test_work_outside_is_recorded_with_the_suppliers_certificate(shop):
    done = Done(supplier="Aldermoor Heat Treatment", supplier_certificate=a_path(shop, "hip.pdf"))
    entry = record_operation(shop, LOT, "HIP", Counts(30, 30), done).entry
    assert (entry.supplier, entry.done_by) == ("Aldermoor Heat Treatment", None)
    assert entry.supplier_certificate.name == "hip.pdf"


def test_a_load_that_did_not_hold_the_lot_is_refused(shop):
    given_lot(shop, "L-26A0005", load_id="F-26A0002")
    with pytest.raises(BadInput, match="was not in furnace load F-26A0002"):
        record_operation(shop, LOT, "sinter", Counts(30, 30), Done(load="F-26A0002"))


def test_a_load_that_is_not_finished_is_told(shop):
    recorded = record_operation(shop, LOT, "sinter", Counts(30, 30), Done(load="F-26A0001"))
    assert [finding.code for finding in recorded.findings] == [Code.STILL_RUNNING]


def test_nothing_is_counted_on_a_lot_that_has_ended(shop):
    split_lot(shop, LOT, (20, 10), "Shared out")
    with pytest.raises(Refused, match="has ended"):
        record_operation(shop, LOT, "machining", Counts(30, 30))


def test_no_more_good_pieces_come_out_than_the_last_step_passed_on(shop):
    record_operation(shop, LOT, "machining", Counts(30, 28, {"crack": 2}))
    with pytest.raises(BadInput, match="29 good ones cannot be"):
        finish_lot(shop, LOT, 29)
    assert finish_lot(shop, LOT, 28).entry.good == 28
    with pytest.raises(Refused, match="has ended"):
        finish_lot(shop, LOT, 28)


def test_a_day_that_has_not_come_is_refused(shop):
    with pytest.raises(BadInput, match="has not come yet"):
        finish_lot(shop, LOT, 28, date(2026, 3, 3))
    with pytest.raises(BadInput, match="has not come yet"):
        record_operation(shop, LOT, "machining", Counts(30, 30), Done(date(2026, 3, 3)))


KEEP = NewSurplus(2, "keep", "Shelf 4", date(2027, 3, 1))


def test_surplus_is_what_was_not_delivered(shop):
    given_order(shop)
    finish_lot(shop, LOT, 30)
    given(shop, a_delivery())
    with pytest.raises(BadInput, match="has 2 pieces left, not 3"):
        record_surplus(shop, LOT, replace(KEEP, count=3))
    assert record_surplus(shop, LOT, KEEP).where == "Shelf 4"


def test_kept_pieces_need_a_place_and_a_day_and_shipping_needs_consent(shop):
    finish_lot(shop, LOT, 30)
    for incomplete in (
        replace(KEEP, where=None),
        replace(KEEP, until=None),
        NewSurplus(2, "ship with the customer's consent"),
    ):
        with pytest.raises(BadInput):
            record_surplus(shop, LOT, incomplete)
    consent = NewSurplus(2, "ship with the customer's consent", consent=a_path(shop, "mail.eml"))
    assert record_surplus(shop, LOT, consent).consent.name == "mail.eml"


def test_surplus_is_counted_on_finished_lots_only(shop):
    given(shop, a_lot("L-26A0005"))
    with pytest.raises(Refused, match="is not finished"):
        record_surplus(shop, "L-26A0005", KEEP)


def test_pieces_are_kept_once(shop):
    finish_lot(shop, LOT, 30)
    record_surplus(shop, LOT, replace(KEEP, count=30))
    with pytest.raises(BadInput, match=r"has 0 pieces left, not 1 \(30 are kept already\)"):
        record_surplus(shop, LOT, replace(KEEP, count=1))


def kept_now(vault):
    return [pieces.count for pieces in ready(vault, Question(PART)).facts.kept]


def test_kept_pieces_are_offered_while_they_are_there_and_their_day_has_not_passed(shop, clock):
    given_order(shop)
    finish_lot(shop, LOT, 30)
    record_surplus(shop, LOT, replace(KEEP, count=5))
    assert kept_now(shop) == [5]
    given(shop, a_delivery(quantity=27))
    assert kept_now(shop) == [3]
    clock.advance(days=365)
    assert kept_now(shop) == []


def test_kept_pieces_of_a_superseded_revision_are_not_offered(shop):
    finish_lot(shop, LOT, 30)
    record_surplus(shop, LOT, KEEP)
    later = shop.clock.now() + timedelta(hours=1)
    given(shop, a_revision("D", at=later), a_release("D"), an_acceptance("D"))
    assert kept_now(shop) == []
