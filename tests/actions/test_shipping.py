"""Deliveries and returns: the right revision, good pieces, balanced counts, and never more than ordered."""

from datetime import date

import pytest

from tests.builders import GAUGE, PART, a_gauge, a_move, a_revision, an_acceptance, made, ulid
from tests.floor_builders import (
    ORDER,
    a_blend,
    a_hold,
    a_lot,
    a_measurement,
    a_nonconformance,
    an_operation,
    from_blend,
)
from tests.given import given, given_lot, given_makeable, given_order, reader_of
from vault.actions.context import Vault
from vault.actions.shipping import NewDelivery, ship, take_back
from vault.errors import BadInput, Refused
from vault.model.decisions import HoldTarget, Withdrawal
from vault.model.evidence import DispositionEntry
from vault.model.floor import LotFinish, Scrapped
from vault.model.words import Disposition, Stage

LOT = "L-26A0001"


def finished(good: int = 30) -> LotFinish:
    return made(LotFinish, {}, id=ulid("finish"), lot=LOT, finished_on=date(2026, 3, 2), good=good)


@pytest.fixture
def shop(vault: Vault) -> Vault:
    """An order of some pieces, and a finished lot of 30."""
    given_makeable(vault)
    given_order(vault)
    given_lot(vault, LOT)
    given(vault, finished())
    return vault.as_person("cleo")


def a_decision(decision: Disposition, count: int, found: str = "N-26A0001") -> DispositionEntry:
    return made(
        DispositionEntry, {}, id=ulid(f"{decision} {count}"), nonconformance=found, decision=decision, count=count,
        concession=ulid("concession"), reinspected=True, made_unusable_by="cleo",
    )  # fmt: skip


def a_delivery(quantity: int = 10, **fields: object) -> NewDelivery:
    return NewDelivery(ORDER, LOT, quantity, **fields)  # type: ignore[arg-type]


def test_pieces_that_went_are_no_longer_there(shop: Vault) -> None:
    ship(shop, a_delivery(10))
    lot = reader_of(shop).lot(LOT)
    assert (lot.delivered, lot.left) == (10, 20)


def test_no_more_goes_than_is_good(shop: Vault) -> None:
    with pytest.raises(Refused, match="has 30 good pieces left, not 31"):
        ship(shop, a_delivery(31))


def test_no_more_goes_than_the_po_allows(shop: Vault) -> None:
    ordered = reader_of(shop).order(ORDER).order.quantity
    with pytest.raises(Refused, match=f"allows {ordered} pieces"):
        ship(shop, a_delivery(ordered + 1))


def test_the_wrong_revision_is_not_shipped(shop: Vault) -> None:
    given(shop, a_revision("D"))
    given_lot(shop, "L-26A0002", "F-26A0002", revision=ulid("rev D"))
    with pytest.raises(Refused, match="is rev D, the order is for rev C: the wrong revision"):
        ship(shop, NewDelivery(ORDER, "L-26A0002", 1))


@pytest.mark.parametrize("target", [{"lot": LOT}, {"blend": "M-26A0001"}, {"part": "BRK-204"}])
def test_a_hold_on_lot_powder_or_part_stops_the_delivery(shop: Vault, target: dict[str, str]) -> None:
    given(shop, a_hold(HoldTarget(**target)))  # type: ignore[arg-type]
    with pytest.raises(Refused, match="is on hold"):
        ship(shop, a_delivery())


def test_an_open_nonconformance_stops_the_delivery(shop: Vault) -> None:
    given(shop, a_nonconformance(lot=LOT))
    with pytest.raises(Refused, match="is open on lot"):
        ship(shop, a_delivery())


def test_counts_that_do_not_balance_stop_the_delivery(shop: Vault) -> None:
    short = an_operation(LOT, "Deburr", count_in=30, count_on=27, scrapped=(Scrapped(cause="burr", count=2),))
    given(shop, short.model_copy(update={"id": ulid("deburr")}))
    with pytest.raises(Refused, match="1 not accounted for"):
        ship(shop, a_delivery())


def test_nothing_ships_tomorrow(shop: Vault) -> None:
    with pytest.raises(BadInput, match="nothing can have been shipped"):
        ship(shop, a_delivery(shipped_on=date(2030, 1, 1)))


def test_no_more_comes_back_than_went(shop: Vault) -> None:
    went = ship(shop, a_delivery(10))
    take_back(shop, went.id, 8, "burrs in the bore", shop.today, pieces_came_back=True)
    with pytest.raises(BadInput, match="8 are back; 3 more cannot be"):
        take_back(shop, went.id, 3, "burrs in the bore", shop.today, pieces_came_back=True)


@pytest.mark.parametrize("decision", [Disposition.SCRAP, Disposition.RETURN])
def test_pieces_that_were_scrapped_or_go_back_are_not_shipped(shop: Vault, decision: Disposition) -> None:
    given(shop, a_nonconformance(lot=LOT, count=20), a_decision(decision, 20))
    with pytest.raises(Refused, match="has 10 good pieces left, not 28"):
        ship(shop, a_delivery(28))
    ship(shop, a_delivery(10))


def test_pieces_that_may_be_used_after_all_are_shipped(shop: Vault) -> None:
    given(shop, a_nonconformance(lot=LOT, count=20), a_decision(Disposition.USE_AS_IS, 20))
    assert ship(shop, a_delivery(28)).quantity == 28


def a_child(shop: Vault) -> NewDelivery:
    """Write a finished child of the lot, which has no powder record of its own trouble."""
    child = f"{LOT}/1"
    finish = made(LotFinish, {}, id=ulid("child"), lot=child, finished_on=date(2026, 3, 2), good=10)
    given(shop, a_lot(child, count=10, parents=(LOT,)), finish)
    return NewDelivery(ORDER, child, 10)


def test_a_nonconformance_or_hold_on_the_parent_stops_the_child(shop: Vault) -> None:
    child = a_child(shop)
    given(shop, a_nonconformance(lot=LOT), a_hold(HoldTarget(lot=LOT)))
    with pytest.raises(Refused) as refusal:
        ship(shop, child)
    assert f"lot {LOT} is on hold" in str(refusal.value)
    assert f"N-26A0001 is open on lot {LOT}" in str(refusal.value)


def test_a_child_answers_for_what_was_scrapped_of_its_parent(shop: Vault) -> None:
    child = a_child(shop)
    given(shop, a_nonconformance(lot=LOT, count=4), a_decision(Disposition.SCRAP, 4))
    with pytest.raises(Refused, match="has 6 good pieces left, not 10"):
        ship(shop, child)


def test_a_hold_on_powder_that_went_into_the_powder_stops_the_delivery(shop: Vault) -> None:
    given(shop, a_blend("M-26A0002"), a_blend("M-26A0003", from_blend("M-26A0002", 10.0)))
    given_lot(shop, "L-26A0002", "F-26A0002", blends=("M-26A0003",))
    given(shop, made(LotFinish, {}, id=ulid("f2"), lot="L-26A0002", finished_on=date(2026, 3, 2), good=30))
    given(shop, a_hold(HoldTarget(blend="M-26A0002")))
    with pytest.raises(Refused, match="powder blend M-26A0002 is on hold"):
        ship(shop, NewDelivery(ORDER, "L-26A0002", 10))


@pytest.mark.parametrize(("what", "code"), [("release", "NOT_RELEASED"), ("acceptance", "NOT_ACCEPTED")])
def test_nothing_ships_after_a_release_or_acceptance_was_withdrawn(shop: Vault, what: str, code: str) -> None:
    withdrawn = {"id": ulid("w"), "part": PART, "revision": ulid("rev C"), "withdraws": ulid(f"{what} C")}
    given(shop, a_move(Stage.RAMP), made(Withdrawal, withdrawn, what=what, reason="cracks at the customer"))
    with pytest.raises(Refused) as refusal:
        ship(shop, a_delivery())
    assert "WITHDRAWN" in str(refusal.value)
    assert code in str(refusal.value)


def test_development_pieces_are_shipped_as_prototypes_only(shop: Vault) -> None:
    given_lot(shop, "L-26A0002", "F-26A0002", production_representative=False)
    given(shop, made(LotFinish, {}, id=ulid("f2"), lot="L-26A0002", finished_on=date(2026, 3, 2), good=30))
    assert ship(shop, NewDelivery(ORDER, "L-26A0002", 1)).quantity == 1
    given(shop, a_move(Stage.RAMP))
    with pytest.raises(Refused, match="NOT_PRODUCTION_RUN"):
        ship(shop, NewDelivery(ORDER, "L-26A0002", 1))


def test_pieces_measured_with_a_gauge_past_its_day_stay_here(shop: Vault) -> None:
    given(shop, a_measurement(LOT), a_gauge(calibration_due=date(2026, 3, 1)))
    with pytest.raises(Refused, match=f"GAUGE_OUT_OF_CALIBRATION.*{GAUGE}"):
        ship(shop, a_delivery())


def test_no_more_goes_than_the_acceptance_covers(shop: Vault) -> None:
    scope = an_acceptance(id=ulid("scope"), quantity=20)
    given(shop, scope.model_copy(update={"at": scope.at.replace(hour=23)}))
    with pytest.raises(Refused, match="ACCEPTANCE_USED_UP.*accepted for 20 pieces"):
        ship(shop, a_delivery(10))
