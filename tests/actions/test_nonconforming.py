"""Nonconformances, what is decided about them, and notices of escape."""

from dataclasses import replace
from datetime import date

import pytest

from tests.builders import PART, some_evidence, ulid
from tests.fakes import MORNING
from tests.floor_builders import LOT, a_delivery, a_hold
from tests.given import a_path, given, given_lot, given_makeable, given_order, reader_of
from vault.actions.lot_family import split_lot
from vault.actions.nonconforming import (
    Decision,
    NewEscape,
    NewNonconformance,
    add_nonconformance,
    decide_nonconformance,
    list_nonconformances,
    record_escape,
)
from vault.actions.readying import Question, ready
from vault.errors import BadInput, NotAllowed, NotFound, Refused
from vault.model.decisions import Concession, HoldTarget, Permission
from vault.model.words import Disposition

FOUND = NewNonconformance(LOT, 3, "Length above its limit", "inspection", "1")
SCRAP = Decision(Disposition.SCRAP, 3, made_unusable_by="cleo", cause="Scale of S1 too large")


@pytest.fixture
def shop(vault):
    given_makeable(vault)
    given_lot(vault)
    return vault.as_person("quin")


def a_concession(**given_fields):
    permission = Permission(
        reference="NF-C-12", granted_by="P. Holm", granted_on=date(2026, 3, 2), words="Up to 30.2 mm", quantity=3,
        characteristics=("1",), evidence=some_evidence(),
    )  # fmt: skip
    usual = {"part": PART, "revision": ulid("rev C"), "lots": (LOT,), "by": "quin", "at": MORNING}
    return Concession(**{**usual, "id": ulid("concession"), "permission": permission, **given_fields})


def test_a_nonconformance_sets_its_lot_apart_in_the_same_commit(shop):
    before = shop.store.head()
    found = add_nonconformance(shop, replace(FOUND, evidence=a_path(shop, "photo.jpg")))
    assert (found.id, found.part, found.found_by, found.evidence.name) == ("N-26A0001", PART, "quin", "photo.jpg")
    holds = reader_of(shop).lot(LOT).standing_holds
    assert [hold.reason for hold in holds] == ["nonconformance N-26A0001: Length above its limit"]
    assert len([change for change in shop.store.changed(before, shop.store.head()) if "nonconf" in change.path]) == 2


def test_more_pieces_than_the_lot_has_and_unknown_characteristics_are_refused(shop):
    with pytest.raises(BadInput, match="began with 30 pieces; 31 cannot be wrong"):
        add_nonconformance(shop, replace(FOUND, count=31))
    with pytest.raises(BadInput, match="no characteristic 9; it has 1, 2"):
        add_nonconformance(shop, replace(FOUND, characteristic="9"))


def test_the_hold_is_lifted_when_every_piece_is_decided_and_no_sooner(shop):
    add_nonconformance(shop, FOUND)
    first = decide_nonconformance(shop, "N-26A0001", replace(SCRAP, count=2))
    assert first.is_open
    assert reader_of(shop).lot(LOT).standing_holds
    rework = Decision(Disposition.REWORK, 1, reinspected=True)
    assert not decide_nonconformance(shop, "N-26A0001", rework).is_open
    assert reader_of(shop).lot(LOT).standing_holds == ()


def test_another_hold_on_the_lot_stays(shop):
    add_nonconformance(shop, FOUND)
    given(shop, a_hold(HoldTarget(lot=LOT), reason="nonconformance N-26A00012: another"))
    decide_nonconformance(shop, "N-26A0001", SCRAP)
    assert [hold.reason for hold in reader_of(shop).lot(LOT).standing_holds] == ["nonconformance N-26A00012: another"]


def test_no_more_pieces_are_decided_than_were_found(shop):
    add_nonconformance(shop, FOUND)
    decide_nonconformance(shop, "N-26A0001", replace(SCRAP, count=2))
    with pytest.raises(BadInput, match="1 of 3 pieces undecided, not 2"):
        decide_nonconformance(shop, "N-26A0001", replace(SCRAP, count=2))


@pytest.mark.parametrize(
    ("decision", "reason"),
    [
        (Decision(Disposition.USE_AS_IS, 3), "nobody in the shop may grant one"),
        (Decision(Disposition.REPAIR, 3), "nobody in the shop may grant one"),
        (Decision(Disposition.REWORK, 3), "inspected again"),
        (Decision(Disposition.SCRAP, 3), "who made the pieces unusable"),
    ],
)
def test_a_decision_without_what_it_needs_is_refused(shop, decision, reason):
    add_nonconformance(shop, FOUND)
    with pytest.raises(BadInput, match=reason):
        decide_nonconformance(shop, "N-26A0001", decision)


USE = Decision(Disposition.USE_AS_IS, 3, concession="NF-C-12")


def test_use_as_is_rests_on_the_customers_concession(shop):
    add_nonconformance(shop, FOUND)
    with pytest.raises(NotFound, match="no concession NF-C-12"):
        decide_nonconformance(shop, "N-26A0001", USE)
    given(shop, a_concession())
    decided = decide_nonconformance(shop, "N-26A0001", USE)
    assert decided.decisions[0].concession == ulid("concession")


def test_a_concession_is_used_up_by_its_quantity(shop):
    given(shop, a_concession())
    add_nonconformance(shop, FOUND)
    decide_nonconformance(shop, "N-26A0001", replace(USE, count=2))
    add_nonconformance(shop, FOUND)
    with pytest.raises(Refused, match="is for 3 pieces; 2 are used, 2 more"):
        decide_nonconformance(shop, "N-26A0002", replace(USE, count=2))


@pytest.mark.parametrize(
    ("change", "reason"),
    [({"revision": ulid("rev B")}, "is not for lot"), ({"lots": ("L-26A0009",)}, "is not for lot")],
)
def test_a_concession_for_something_else_covers_nothing(shop, change, reason):
    given(shop, a_concession(**change))
    add_nonconformance(shop, FOUND)
    with pytest.raises(Refused, match=reason):
        decide_nonconformance(shop, "N-26A0001", USE)


def test_a_concession_for_another_characteristic_covers_nothing(shop):
    given(shop, a_concession())
    add_nonconformance(shop, replace(FOUND, characteristic="2"))
    with pytest.raises(Refused, match="is for characteristic 1, not for 2"):
        decide_nonconformance(shop, "N-26A0001", USE)


def test_only_quality_decides(shop):
    add_nonconformance(shop.as_person("cleo"), FOUND)
    with pytest.raises(NotAllowed, match="quin"):
        decide_nonconformance(shop.as_person("cleo"), "N-26A0001", SCRAP)


def test_the_open_ones_are_listed_apart(shop):
    add_nonconformance(shop, FOUND)
    add_nonconformance(shop, FOUND)
    decide_nonconformance(shop, "N-26A0001", SCRAP)
    listed = list_nonconformances(reader_of(shop), part=PART)
    assert [history.nonconformance.id for history in listed] == ["N-26A0001", "N-26A0002"]
    still = list_nonconformances(reader_of(shop), lot=LOT, only_open=True)
    assert [history.nonconformance.id for history in still] == ["N-26A0002"]
    assert list_nonconformances(reader_of(shop), lot="L-26A0009") == ()


ESCAPE = NewEscape("D-26A0001", 2, "Two pieces above their limit", "P. Holm", date(2026, 3, 21))


def test_a_notice_of_escape_says_who_was_told_and_when(shop, clock):
    given_order(shop)
    given(shop, a_delivery())
    clock.advance(days=20)
    notice = record_escape(shop, replace(ESCAPE, evidence=a_path(shop, "mail.eml")))
    assert (notice.id, notice.told, notice.evidence.name) == ("E-26A0001", "P. Holm", "mail.eml")
    with pytest.raises(BadInput, match="29 cannot have escaped"):
        record_escape(shop, replace(ESCAPE, count=29))
    for day in (date(2026, 3, 19), date(2026, 3, 23)):
        with pytest.raises(BadInput, match="cannot be"):
            record_escape(shop, replace(ESCAPE, told_on=day))


def test_a_concession_for_a_lot_is_for_its_children_and_counts_them(shop):
    given(shop, a_concession())
    child, other = split_lot(shop.as_person("cleo"), LOT, (20, 10), "Shared out")
    for lot, count in ((child, 2), (other, 1)):
        found = add_nonconformance(shop, replace(FOUND, lot=lot, count=count))
        decide_nonconformance(shop, found.id, replace(USE, count=count))
    asked = ready(shop, Question(PART)).facts
    assert asked.permission_used[ulid("concession")] == 3
    found = add_nonconformance(shop, replace(FOUND, lot=child, count=1))
    with pytest.raises(Refused, match="3 are used, 1 more"):
        decide_nonconformance(shop, found.id, replace(USE, count=1))
