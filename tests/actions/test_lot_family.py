"""Splitting and merging lots."""

import pytest

from tests.builders import ulid
from tests.floor_builders import LOT, a_blend, a_hold, a_lot, a_nonconformance, an_operation
from tests.given import given, given_lot, given_makeable, reader_of
from vault.actions.lot_family import merge_lots, split_lot
from vault.actions.nonconforming import (
    Decision,
    NewNonconformance,
    add_nonconformance,
    decide_nonconformance,
)
from vault.actions.upstream import holds_over_lot
from vault.errors import BadInput, NotFound, Refused
from vault.model.decisions import HoldTarget
from vault.model.words import Disposition


@pytest.fixture
def shop(vault):
    given_makeable(vault)
    given_lot(vault)
    return vault.as_person("cleo")


def test_children_have_the_parents_name_with_a_number_and_all_its_pieces(shop):
    children = split_lot(shop, LOT, (20, 10), "Ten pieces go to the second customer site")
    assert children == ("L-26A0001/1", "L-26A0001/2")
    histories = [reader_of(shop).lot(child) for child in children]
    assert [history.lot.count for history in histories] == [20, 10]
    assert all(history.lot.parents == (LOT,) for history in histories)
    assert reader_of(shop).lot(LOT).has_ended


def test_children_remember_the_furnace_loads_of_their_parents(shop):
    child, _ = split_lot(shop, LOT, (20, 10), "Shared out")
    grandchild, _ = split_lot(shop, child, (15, 5), "Shared out again")
    assert grandchild == "L-26A0001/1/1"
    assert reader_of(shop).lot(grandchild).loads == ("F-26A0001",)


@pytest.mark.parametrize("counts", [(20, 9), (20, 11), (30,)])
def test_the_counts_of_the_children_must_add_up(shop, counts):
    with pytest.raises(BadInput):
        split_lot(shop, LOT, counts, "Shared out")
    assert not reader_of(shop).lot(LOT).has_ended


def test_pieces_lost_before_the_split_are_not_shared_out(shop):
    given(shop, an_operation(operation="depowder", count_in=30, count_on=28))
    with pytest.raises(BadInput, match="has 28 pieces"):
        split_lot(shop, LOT, (20, 10), "Shared out")


def test_a_lot_is_split_once(shop):
    split_lot(shop, LOT, (20, 10), "Shared out")
    with pytest.raises(Refused, match="was split"):
        split_lot(shop, LOT, (20, 10), "Shared out")


def test_a_hold_on_the_parent_holds_its_children(shop):
    given(shop, a_hold(HoldTarget(lot=LOT)))
    child, _ = split_lot(shop, LOT, (20, 10), "Set apart")
    assert [name for name, _ in holds_over_lot(reader_of(shop), child)] == [f"lot {LOT}"]


def test_serials_are_shared_out_with_the_pieces(vault):
    given_makeable(vault)
    given(vault, a_lot("L-26A0007", count=3, serials=("A1", "A2", "A3")))
    for serials in ((), (("A1",), ("A2", "A4")), (("A1", "A2"), ("A3",))):
        with pytest.raises(BadInput):
            split_lot(vault, "L-26A0007", (1, 2), "Shared out", serials)
    child, _ = split_lot(vault, "L-26A0007", (1, 2), "Shared out", (("A2",), ("A1", "A3")))
    assert reader_of(vault).lot(child).lot.serials == ("A2",)


def test_lots_that_share_everything_become_one(shop):
    one, two = split_lot(shop, LOT, (20, 10), "Shared out")
    merged = merge_lots(shop, (one, two), "Together again")
    history = reader_of(shop).lot(merged)
    assert (merged, history.lot.count, history.lot.parents) == ("L-26A0002", 30, (one, two))
    assert history.loads == ("F-26A0001",)
    assert reader_of(shop).lot(one).has_ended


@pytest.mark.parametrize(
    ("difference", "reason"),
    [
        ({"revision": ulid("rev B")}, "different revisions"),
        ({"settings": ulid("settings S9")}, "different settings"),
        ({"blends": ("M-26A0009",)}, "different powder blends"),
    ],
)
def test_lots_that_differ_are_not_merged(shop, difference, reason):
    given(shop, a_blend("M-26A0009"), a_lot("L-26A0005", box_runs=(), **difference))
    with pytest.raises(Refused, match=reason):
        merge_lots(shop, (LOT, "L-26A0005"), "Together")


def test_lots_of_different_furnace_loads_are_not_merged(shop):
    given_lot(shop, "L-26A0005", load_id="F-26A0002")
    with pytest.raises(Refused, match="different furnace loads"):
        merge_lots(shop, (LOT, "L-26A0005"), "Together")


def test_children_of_different_loads_are_not_merged_either(shop):
    given_lot(shop, "L-26A0005", load_id="F-26A0002")
    one, _ = split_lot(shop, LOT, (20, 10), "Shared out")
    other, _ = split_lot(shop, "L-26A0005", (20, 10), "Shared out")
    with pytest.raises(Refused, match="different furnace loads"):
        merge_lots(shop, (one, other), "Together")


def test_a_held_lot_is_not_merged_into_a_free_one(shop):
    given_lot(shop, "L-26A0005", load_id="F-26A0001")
    given(shop, a_hold(HoldTarget(lot=LOT)))
    with pytest.raises(Refused, match="is on hold"):
        merge_lots(shop, (LOT, "L-26A0005"), "Together")


def test_merging_takes_two_different_lots_that_are_recorded(shop):
    with pytest.raises(BadInput, match="two or more"):
        merge_lots(shop, (LOT, LOT), "Together")
    with pytest.raises(NotFound, match="L-26A0099"):
        merge_lots(shop, (LOT, "L-26A0099"), "Together")


def test_pieces_are_decided_about_before_they_are_shared_out(shop):
    given(shop, a_nonconformance(count=5))
    with pytest.raises(Refused, match="N-26A0001 is undecided"):
        split_lot(shop, LOT, (20, 10), "Shared out")
    decision = Decision(Disposition.SCRAP, 5, made_unusable_by="cleo", cause="crack")
    decide_nonconformance(shop.as_person("quin"), "N-26A0001", decision)
    with pytest.raises(BadInput, match="has 25 pieces"):
        split_lot(shop, LOT, (20, 10), "Shared out")
    child, _ = split_lot(shop, LOT, (20, 5), "Shared out")
    assert reader_of(shop).lot(child).apart_among_them == 0


def test_pieces_are_found_in_the_lot_that_they_are_in(shop):
    split_lot(shop, LOT, (20, 10), "Shared out")
    with pytest.raises(Refused, match="went on in L-26A0001/1, L-26A0001/2"):
        add_nonconformance(shop, NewNonconformance(LOT, 1, "Crack", "inspection"))
