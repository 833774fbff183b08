"""Counting lots through their operations, finishing them, and surplus."""

from dataclasses import replace
from datetime import date

import pytest

from tests.floor_builders import LOT, a_delivery, a_lot
from tests.given import a_path, given, given_lot, given_makeable, given_order, reader_of
from vault.actions.lot_counts import Counts, Done, NewSurplus, finish_lot, record_operation, record_surplus
from vault.actions.lot_family import split_lot
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
