"""Concessions and permits: granted by the design authority, for so many or until then, before or after making."""

from dataclasses import replace
from datetime import date

import pytest

from tests.builders import PART, a_part
from tests.floor_builders import LOT, a_lot
from tests.given import a_path, given, given_lot, given_makeable, reader_of
from vault.actions.lot_family import split_lot
from vault.actions.permitting import NewPermission, add_concession, add_permit, list_permissions
from vault.errors import BadInput, NotAllowed, Refused
from vault.model.findings import Code
from vault.model.words import Authority


@pytest.fixture
def shop(vault, clock):
    """A lot that was started on 2 March, seen on 10 March."""
    given_makeable(vault)
    given_lot(vault)
    clock.advance(days=8)
    return vault.as_person("quin")


def granted(vault, on=date(2026, 3, 9), **fields):
    usual = {"reference": "NF-C-12", "granted_by": "P. Holm", "granted_on": on, "words": "Up to 30.2 mm", "quantity": 3}
    return NewPermission(**{**usual, "evidence": a_path(vault, "letter.pdf"), **fields})


def test_a_concession_is_recorded_with_what_the_customer_wrote(shop):
    entry = add_concession(shop, PART, "C", (LOT,), granted(shop, characteristics=("1",)))
    assert (entry.lots, entry.permission.evidence.name) == ((LOT,), "letter.pdf")
    assert list_permissions(shop, reader_of(shop), PART).concessions == (entry,)


def test_nobody_in_the_shop_grants_on_a_customers_design(shop):
    for name in ("edda", "Edda", " QUIN "):
        with pytest.raises(Refused, match="works in this shop"):
            add_concession(shop, PART, "C", (LOT,), granted(shop, granted_by=name))
    given(shop, a_part(design_authority=Authority.SHOP))
    assert add_concession(shop, PART, "C", (LOT,), granted(shop, granted_by="edda")).permission.granted_by == "edda"


# ISO 9000:2015, 3.12.5 and 3.12.6 (second-hand): a concession is granted after making, a permit before.


def test_a_permit_granted_after_the_pieces_were_begun_is_refused_as_a_concession(shop):
    with pytest.raises(Refused, match="granted after making is a concession"):
        add_permit(shop, PART, "C", granted(shop, date(2026, 3, 3)), lots=(LOT,))
    assert add_permit(shop, PART, "C", granted(shop, date(2026, 3, 2)), lots=(LOT,)).findings == ()


def test_a_concession_granted_before_the_pieces_were_begun_is_a_permit(shop):
    with pytest.raises(Refused, match="granted before making is a permit"):
        add_concession(shop, PART, "C", (LOT,), granted(shop, date(2026, 3, 1)))
    assert add_concession(shop, PART, "C", (LOT,), granted(shop, date(2026, 3, 2))).lots == (LOT,)


def test_a_lot_was_begun_when_its_first_ancestor_was(shop):
    child, _ = split_lot(shop, LOT, (20, 10), "Shared out")
    assert add_concession(shop, PART, "C", (child,), granted(shop, date(2026, 3, 3))).lots == (child,)


def test_a_permit_for_pieces_to_come_tells_of_the_lots_it_is_not_for(shop):
    recorded = add_permit(shop, PART, "C", granted(shop), "S1")
    assert [finding.code for finding in recorded.findings] == [Code.CONCESSION_IN_FORCE]
    assert f"lot {LOT} was started on 2026-03-02, before the permit" in recorded.findings[0].sentence
    assert list_permissions(shop, reader_of(shop), PART).permits == (recorded.entry,)


def test_no_permission_is_for_ever(shop):
    with pytest.raises(BadInput, match="needs a quantity or a last day"):
        add_concession(shop, PART, "C", (LOT,), granted(shop, quantity=None))
    with pytest.raises(BadInput, match="needs a quantity or a last day"):
        add_permit(shop, PART, "C", granted(shop, quantity=None))
    until = granted(shop, quantity=None, until=date(2026, 6, 30))
    assert add_concession(shop, PART, "C", (LOT,), until).permission.until == date(2026, 6, 30)


def test_a_lot_of_another_revision_is_not_covered(shop):
    given(shop, a_lot("L-26A0009", part="OTHER-1"))
    with pytest.raises(Refused, match="lot L-26A0009 is not of BRK-204 rev C"):
        add_concession(shop, PART, "C", (LOT, "L-26A0009"), granted(shop))


def test_impossible_days_and_unknown_characteristics_are_refused(shop):
    for wrong in (
        granted(shop, date(2026, 3, 11)),
        granted(shop, until=date(2026, 3, 8)),
        granted(shop, characteristics=("9",)),
        replace(granted(shop), evidence=shop.folder / "nowhere.pdf"),
    ):
        with pytest.raises(BadInput):
            add_concession(shop, PART, "C", (LOT,), wrong)
    assert list_permissions(shop, reader_of(shop), PART).concessions == ()


def test_a_clerk_records_no_concession(shop):
    with pytest.raises(NotAllowed):
        add_concession(shop.as_person("cleo"), PART, "C", (LOT,), granted(shop))
