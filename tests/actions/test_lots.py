"""Starting lots from packages, and trial lots."""

from dataclasses import replace

import pytest

from tests.builders import PART, a_material, a_release, a_revision, an_acceptance, made, ulid
from tests.floor_builders import BLEND, BOX_RUN, ORDER, PACKAGE, a_blend, a_box_run, a_hold, a_lot
from tests.given import given, given_makeable, given_order, given_package, reader_of
from vault.actions.lots import Pieces, start_lot, start_trial_lot
from vault.errors import NotFound, Refused
from vault.model.decisions import HoldTarget, Withdrawal
from vault.model.findings import Code
from vault.model.floor import BoxRunFinish
from vault.model.orders import Clause, OrderVoid
from vault.model.packaging import PackageSuperseded

PIECES = Pieces(30, (BLEND,), (BOX_RUN,))


def a_finish(**given_fields):
    return made(
        BoxRunFinish,
        given_fields,
        id=ulid("finish"),
        box_run=BOX_RUN,
        finished_at=a_box_run().started_at,
        went_well=True,
    )


@pytest.fixture
def shop(vault):
    given_makeable(vault)
    given_order(vault)
    given_package(vault)
    given(vault, a_blend(), a_box_run(), a_finish())
    return vault.as_person("cleo")


def test_a_lot_takes_everything_from_its_package(shop):
    started = start_lot(shop, PACKAGE, PIECES)
    lot = started.entry
    assert (lot.id, lot.part, lot.order, lot.package, lot.production_representative) == (
        "L-26A0001",
        PART,
        ORDER,
        PACKAGE,
        True,
    )
    assert lot.revision == ulid("rev C")
    assert started.findings == ()


def test_a_superseded_package_starts_no_lot(shop):
    given(shop, made(PackageSuperseded, {}, id=ulid("s"), package=PACKAGE, reason="Rev D came", by="edda"))
    with pytest.raises(Refused, match="PACKAGE_NOT_LIVE.*Rev D came"):
        start_lot(shop, PACKAGE, PIECES)


def test_a_voided_order_starts_no_lot(shop):
    given(shop, made(OrderVoid, {}, id=ulid("void"), order=ORDER, reason="Cancelled"))
    with pytest.raises(Refused, match="ORDER_VOID"):
        start_lot(shop, PACKAGE, PIECES)


def test_a_package_past_its_day_starts_no_lot(shop, clock):
    clock.advance(days=30)
    assert start_lot(shop, PACKAGE, replace(PIECES, count=1)).entry.count == 1
    clock.advance(days=1)
    with pytest.raises(Refused, match="was valid until"):
        start_lot(shop, PACKAGE, replace(PIECES, count=1))


def test_a_revision_accepted_after_the_package_stops_the_old_one(shop, clock):
    clock.advance(hours=2)
    given(shop, a_revision("D", at=clock.now()), a_release("D"), an_acceptance("D", at=clock.now()))
    with pytest.raises(Refused, match="rev D was accepted on 2026-03-02, after package"):
        start_lot(shop, PACKAGE, PIECES)


def test_a_withdrawn_release_stops_the_package(shop):
    gone = made(
        Withdrawal, {}, id=ulid("w"), part=PART, revision=ulid("rev C"), withdraws=ulid("release C"), what="release",
        reason="Crack found",
    )  # fmt: skip
    given(shop, gone)
    with pytest.raises(Refused, match="NOT_RELEASED"):
        start_lot(shop, PACKAGE, PIECES)


@pytest.mark.parametrize("target", [HoldTarget(part=PART), HoldTarget(blend=BLEND), HoldTarget(box_run=BOX_RUN)])
def test_a_hold_on_part_powder_or_box_run_stops_the_lot(shop, target):
    given(shop, a_hold(target))
    with pytest.raises(Refused, match="ON_HOLD"):
        start_lot(shop, PACKAGE, PIECES)


def test_powder_of_another_grade_and_a_run_of_other_powder_are_both_named(shop):
    given(shop, a_material(id="316L"), a_blend("M-26A0002", material="316L"))
    with pytest.raises(Refused) as refusal:
        start_lot(shop, PACKAGE, replace(PIECES, blends=("M-26A0002",)))
    assert "MATERIALS_MIXED" in str(refusal.value)
    assert "LOTS_DIFFER" in str(refusal.value)


def test_no_more_pieces_are_started_than_the_package_is_for(shop):
    start_lot(shop, PACKAGE, replace(PIECES, count=20))
    with pytest.raises(Refused, match="20 were started, 11 more"):
        start_lot(shop, PACKAGE, replace(PIECES, count=11))
    assert start_lot(shop, PACKAGE, replace(PIECES, count=10)).entry.id == "L-26A0002"


def test_an_order_with_a_serials_clause_needs_serials(vault):
    given_makeable(vault)
    given_order(vault, clauses=(Clause(about="serials", words="Serialised"),))
    given_package(vault)
    given(vault, a_blend(), a_box_run(), a_finish())
    with pytest.raises(Refused, match="SERIALS_MISSING"):
        start_lot(vault, PACKAGE, replace(PIECES, count=2))
    assert start_lot(vault, PACKAGE, replace(PIECES, count=2, serials=("A1", "A2"))).entry.serials == ("A1", "A2")


def test_a_run_that_goes_on_or_went_badly_is_a_caution(vault):
    given_makeable(vault)
    given(vault, a_blend(), a_box_run(), a_box_run("K-26A0002"), a_finish(box_run="K-26A0002", went_well=False))
    pieces = Pieces(4, (BLEND,), (BOX_RUN, "K-26A0002"))
    started = start_trial_lot(vault, PART, "C", "S1", pieces)
    assert [finding.code for finding in started.findings] == [Code.STILL_RUNNING, Code.RUN_WENT_BADLY]


def test_a_trial_lot_has_no_order_and_never_counts_as_production(vault):
    given_makeable(vault)
    given(vault, a_blend())
    lot = start_trial_lot(vault, "brk 204", "c", "s1", Pieces(4, (BLEND,))).entry
    assert (lot.order, lot.package, lot.production_representative) == (None, None, False)
    assert reader_of(vault).lot(lot.id).pieces_now == 4


def test_the_lots_of_a_split_one_are_not_counted_again(shop):
    given(
        shop, a_lot(package=PACKAGE, count=20), a_lot("L-26A0001/1", package=PACKAGE, count=20, parents=("L-26A0001",))
    )
    assert start_lot(shop, PACKAGE, replace(PIECES, count=10)).entry.count == 10


def test_an_unknown_package_is_named(shop):
    with pytest.raises(NotFound, match="R-26A0099"):
        start_lot(shop, "R-26A0099", PIECES)


def test_no_lot_starts_beyond_what_the_customer_accepted(shop):
    scope = an_acceptance(id=ulid("scope"), quantity=20)
    given(shop, scope.model_copy(update={"at": scope.at.replace(hour=23)}))
    with pytest.raises(Refused, match="ACCEPTANCE_USED_UP"):
        start_lot(shop, PACKAGE, PIECES)
