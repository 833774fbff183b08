"""One question answers a bad blend, load or gauge: which pieces, where are they now, and who has them?"""

import json
from dataclasses import asdict

import pytest

from tests.builders import made, ulid
from tests.floor_builders import (
    a_blend,
    a_delivery,
    a_hold,
    a_lot,
    a_measurement,
    a_nonconformance,
    an_operation,
    from_blend,
    from_supplier,
)
from tests.given import given, given_lot, given_makeable, given_order, given_package
from vault.actions.context import Vault
from vault.actions.tracing import TraceTree, trace
from vault.errors import NotFound
from vault.model.decisions import HoldTarget
from vault.model.floor import LotFinish, LotSplit
from vault.model.orders import Return


@pytest.fixture
def shop(vault: Vault) -> Vault:
    """One order printed in one box, sintered in one load: 28 of 30 pieces shipped, 2 kept."""
    given_makeable(vault)
    given_order(vault)
    given_package(vault)
    given_lot(vault, order="O-26A0001", package="R-26A0001")
    finish = made(LotFinish, {}, id=ulid("finish"), lot="L-26A0001", finished_on=vault.today, good=30)
    given(vault, a_measurement(), finish, a_delivery())
    return vault


def ids(tree: TraceTree) -> set[str]:
    return {tree.id}.union(*(ids(child) for child in tree.children))


@pytest.mark.parametrize(
    "what",
    ["M-26A0001", "m-26a0001", "K-26A0001", "F-26A0001", "L-26A0001", "PRN-1", "FUR-1", "CAL-3", "SL-5501", "sl-5501",
     "BL-77", "O-26A0001", "R-26A0001", "BRK-204", "BRK-204@C", "17-4PH", "NORTHFELL"],
)  # fmt: skip
def test_everything_on_the_floor_leads_to_the_lot_the_delivery_and_the_customer(shop: Vault, what: str) -> None:
    found = trace(shop, what)
    assert found.lots == ("L-26A0001",)
    assert found.deliveries == ("D-26A0001",)
    assert found.customers == ("NORTHFELL",)
    assert [(left.lot, left.pieces) for left in found.not_shipped] == [("L-26A0001", 2)]
    assert found.not_shipped[0].words == "2 pieces of lot L-26A0001 good, not shipped"


def test_a_delivery_leads_back_to_powder_furnace_machine_and_supplier(shop: Vault) -> None:
    found = trace(shop, "D-26A0001")
    assert {"L-26A0001", "O-26A0001", "K-26A0001", "F-26A0001", "M-26A0001", "FUR-1", "PRN-1", "SL-5501", "BL-77"} <= (
        ids(found.back)
    )
    assert found.back.words == "delivery D-26A0001: 28 pieces of lot L-26A0001 for order O-26A0001, 2026-03-20"
    assert ids(found.onward) == {"D-26A0001", "NORTHFELL"}


def test_the_words_name_part_and_revision(shop: Vault) -> None:
    tree = trace(shop, "K-26A0001").onward
    assert tree.words == "box run K-26A0001: BOX-S on PRN-1, 2026-03-02"
    assert [child.words for child in tree.children] == ["lot L-26A0001: 30 pieces of BRK-204 rev C"]


def test_powder_is_followed_through_every_blend_it_went_into(shop: Vault) -> None:
    again = a_blend("M-26A0002", from_blend("M-26A0001", 20.0), from_supplier(20.0, "SL-6000"), reuse_count=1)
    given(shop, again, a_lot("L-26A0002", blends=("M-26A0002",), box_runs=()))
    assert set(trace(shop, "SL-5501").lots) == {"L-26A0001", "L-26A0002"}
    assert trace(shop, "SL-6000").lots == ("L-26A0002",)
    assert {"M-26A0002", "M-26A0001", "SL-5501", "SL-6000"} <= ids(trace(shop, "L-26A0002").back)


def test_pieces_of_a_split_lot_are_counted_once(shop: Vault) -> None:
    first, second = (a_lot(f"L-26A0003/{piece}", parents=("L-26A0003",), count=15) for piece in (1, 2))
    split = made(LotSplit, {}, id=ulid("split"), lot="L-26A0003", children=(first.id, second.id), reason="Two coatings")
    given(shop, a_lot("L-26A0003"), split, first, second)
    found = trace(shop, "L-26A0003")
    assert {left.lot: left.pieces for left in found.not_shipped} == {first.id: 15, second.id: 15}
    assert found.not_shipped[0].words == "15 pieces of lot L-26A0003/1 not finished"
    assert "L-26A0003" in ids(trace(shop, "L-26A0003/2").back)


def test_a_lot_on_hold_says_so_and_its_nonconformance_hangs_on_it(shop: Vault) -> None:
    given(shop, a_hold(HoldTarget(lot="L-26A0001")), a_nonconformance())
    found = trace(shop, "F-26A0001")
    assert found.not_shipped[0].words.endswith("; on hold")
    assert "N-26A0001" in ids(found.onward)


def test_an_outside_supplier_leads_to_the_lots_that_were_there(shop: Vault) -> None:
    given(shop, an_operation(operation="HIP", supplier="Deepwell Pressing"))
    assert trace(shop, "deepwell pressing").lots == ("L-26A0001",)
    assert "Deepwell Pressing" in ids(trace(shop, "L-26A0001").back)


def test_what_came_back_hangs_on_its_delivery(shop: Vault) -> None:
    came_back = made(
        Return, {}, id="T-26A0001", delivery="D-26A0001", quantity=3, defect="Bore too small", arrived_on=shop.today,
        pieces_came_back=True,
    )  # fmt: skip
    given(shop, came_back)
    assert "T-26A0001" in ids(trace(shop, "M-26A0001").onward)
    assert "SL-5501" in ids(trace(shop, "T-26A0001").back)


def test_a_circle_of_blends_ends(shop: Vault) -> None:
    one = a_blend("M-26A0010", from_blend("M-26A0011", 50.0))
    other = a_blend("M-26A0011", from_blend("M-26A0010", 50.0))
    given(shop, one, other)
    tree = trace(shop, "M-26A0010").onward
    assert [child.id for child in tree.children] == ["M-26A0011"]
    assert [(again.id, again.again) for again in tree.children[0].children] == [("M-26A0010", True)]


def test_a_trace_is_plain_data(shop: Vault) -> None:
    assert json.loads(json.dumps(asdict(trace(shop, "M-26A0001"))))["onward"]["id"] == "M-26A0001"


@pytest.mark.parametrize("what", ["M-26A0099", "NOBODY", "L-26A0001/7"])
def test_what_is_not_recorded_cannot_be_traced(shop: Vault, what: str) -> None:
    with pytest.raises(NotFound):
        trace(shop, what)
