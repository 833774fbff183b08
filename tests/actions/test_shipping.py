"""Deliveries and returns: the right revision, good pieces, balanced counts, and never more than ordered."""

from datetime import date

import pytest

from tests.builders import a_revision, made, ulid
from tests.floor_builders import ORDER, a_hold, a_nonconformance, an_operation
from tests.given import given, given_lot, given_makeable, given_order, reader_of
from vault.actions.context import Vault
from vault.actions.shipping import NewDelivery, ship, take_back
from vault.errors import BadInput, Refused
from vault.model.decisions import HoldTarget
from vault.model.floor import LotFinish, Scrapped

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
