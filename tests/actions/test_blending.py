"""Recording powder blends: genealogy, grades, mass, holds."""

from datetime import date

import pytest

from tests.builders import a_material
from tests.floor_builders import BLEND, a_blend, a_hold, from_blend
from tests.given import a_path, given, given_shop, reader_of
from vault.actions.blending import NewBlend, PutIn, blend_now, list_blends, record_blend
from vault.errors import BadInput, NotAllowed, NotFound, Refused
from vault.model.cards import PowderLimits
from vault.model.decisions import HoldTarget
from vault.model.findings import Code
from vault.model.floor import PowderTest
from vault.model.words import Answer


@pytest.fixture
def shop(vault):
    given_shop(vault)
    given(vault, a_blend())
    return vault.as_person("cleo")


def test_a_blend_is_recorded_with_its_certificate_and_computed_genealogy(shop):
    parents = (PutIn(30.0, blend=BLEND), PutIn(10.0, supplier_lot="SL-9", certificate=a_path(shop, "cert.pdf")))
    blend = record_blend(shop, NewBlend("17-4PH", parents, 39.5)).entry
    assert (blend.id, blend.virgin_fraction, blend.reuse_count) == ("M-26A0002", 1.0, 0)
    assert reader_of(shop).blend(blend.id).parents[1].supplier_certificate.name == "cert.pdf"


def test_powder_returned_from_a_box_counts_one_use_more(shop):
    back = record_blend(shop, NewBlend("17-4PH", (PutIn(20.0, blend=BLEND),), 19.0, returned_from_run=True)).entry
    mixed = record_blend(
        shop, NewBlend("17-4PH", (PutIn(15.0, blend=back.id), PutIn(5.0, supplier_lot="SL-9")), 20.0)
    ).entry
    assert (back.virgin_fraction, back.reuse_count) == (0.0, 1)
    assert (mixed.virgin_fraction, mixed.reuse_count) == (0.25, 1)


def test_grades_are_never_mixed(shop):
    given(shop, a_material(id="316L"))
    with pytest.raises(Refused, match="MATERIALS_MIXED"):
        record_blend(shop, NewBlend("316L", (PutIn(5.0, blend=BLEND),), 5.0))
    assert len(list_blends(reader_of(shop))) == 1


def test_more_powder_than_is_left_cannot_be_taken_from_a_blend(shop):
    record_blend(shop, NewBlend("17-4PH", (PutIn(30.0, blend=BLEND),), 30.0))
    with pytest.raises(Refused, match="has 10 kg left, 11 kg are taken"):
        record_blend(shop, NewBlend("17-4PH", (PutIn(11.0, blend=BLEND),), 11.0))


def test_a_hold_on_a_parent_holds_every_blend_with_any_of_it(shop):
    given(shop, a_blend("M-26A0002", from_blend(BLEND, 1.0)), a_blend("M-26A0003", from_blend("M-26A0002", 0.5)))
    given(shop, a_hold(HoldTarget(blend=BLEND)))
    now = blend_now(reader_of(shop), "M-26A0003")
    assert now.ancestors == ("M-26A0002", BLEND)
    assert [finding.code for finding in now.findings] == [Code.ON_HOLD]
    assert not now.may_be_used
    with pytest.raises(Refused, match=f"powder blend {BLEND} is on hold"):
        record_blend(shop, NewBlend("17-4PH", (PutIn(0.1, blend="M-26A0003"),), 0.1))


def test_a_blend_beyond_a_limit_is_recorded_and_told(shop):
    given(shop, a_material(powder=PowderLimits(oxygen_max_ppm=1000.0)))
    tests = (PowderTest(tested_on=date(2026, 3, 1), oxygen_ppm=1200.0),)
    recorded = record_blend(shop, NewBlend("17-4PH", (PutIn(5.0, supplier_lot="SL-1"),), 5.0, tests=tests))
    assert [finding.code for finding in recorded.findings] == [Code.POWDER_OUT_OF_LIMITS]
    assert not blend_now(reader_of(shop), recorded.entry.id).may_be_used


@pytest.mark.parametrize("reactive", [Answer.YES, Answer.NOT_STATED])
def test_powder_that_may_be_reactive_waits_for_the_dust_review(shop, reactive):
    given(shop, a_material(reactive=reactive))
    with pytest.raises(Refused, match="REACTIVE_POWDER"):
        record_blend(shop, NewBlend("17-4PH", (PutIn(5.0, supplier_lot="SL-1"),), 5.0))


def test_no_more_powder_comes_out_than_went_in(shop):
    with pytest.raises(BadInput, match="more than the 5"):
        record_blend(shop, NewBlend("17-4PH", (PutIn(5.0, supplier_lot="SL-1"),), 6.0))


def test_a_parent_that_is_not_recorded_is_named(shop):
    with pytest.raises(NotFound, match="M-26A0099"):
        record_blend(shop, NewBlend("17-4PH", (PutIn(5.0, blend="M-26A0099"),), 5.0))


def test_a_reader_records_no_powder(shop):
    with pytest.raises(NotAllowed, match="rolf may not"):
        record_blend(shop.as_person("rolf"), NewBlend("17-4PH", (PutIn(5.0, supplier_lot="SL-1"),), 5.0))
