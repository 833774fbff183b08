"""Deciding whether a proof carries over to a newer revision."""

import pytest

from tests.builders import (
    PART,
    a_change,
    a_characteristic,
    a_part,
    a_revision,
    an_attribute,
    made,
    some_requirements,
    ulid,
)
from tests.floor_builders import LOT, a_measurement, a_proof
from tests.given import given, given_lot, given_makeable, reader_of
from vault.actions.carrying import carry
from vault.errors import NotAllowed, NotFound, Refused
from vault.model.design import ChangedRevision
from vault.model.findings import Code
from vault.model.shape import ShapeVerdict
from vault.model.words import ArticleState, CarryVerdict, Criticality

CARRIES, DELTA = CarryVerdict.CARRIES, CarryVerdict.DELTA_PROOF


def given_next(vault, *characteristics, verdict=ShapeVerdict.SAME, moved_mm=0.0, read=True, compared=True):
    """Write rev D, its measured change since C, and its requirements."""
    change = made(
        ChangedRevision, {}, part=PART, revision=ulid("rev D"), since=ulid("rev C"),
        shape=a_change(moved_mm, verdict=verdict),
    )  # fmt: skip
    asked = some_requirements(
        *characteristics, id=ulid("requirements D"), revision=ulid("rev D"), drawing_compared=compared
    )
    given(vault, a_revision("D", follows=ulid("rev C"), at=vault.clock.now()), change, *([asked] if read else []))


@pytest.fixture
def shop(vault, clock):
    given_makeable(vault)
    given_lot(vault)
    measured = a_measurement(LOT)
    given(vault, measured, a_proof(measurements=(measured.id,)))
    clock.advance(days=1)
    return vault


def test_an_engineer_decides_on_an_ordinary_part(shop):
    given_next(shop)
    recorded = carry(shop, PART, "D", CARRIES, "Only the note on marking changed")
    entry = recorded.entry
    assert (entry.computed, entry.decided, entry.proven_revision) == (CARRIES, CARRIES, ulid("rev C"))
    assert (entry.signed_by_quality, recorded.findings) == (None, ())
    assert reader_of(shop).part(PART).carry_overs == (entry,)


def test_a_milder_decision_than_computed_is_told_with_the_reasons(shop):
    given_next(shop, verdict=ShapeVerdict.CHANGED, moved_mm=0.3)
    recorded = carry(shop, PART, "D", CARRIES, "The boss is machined off anyway")
    assert recorded.entry.computed is DELTA
    assert [finding.code for finding in recorded.findings] == [Code.PROOF_CARRIED]
    assert "largest deviation 0.300 mm" in recorded.findings[0].sentence


def test_a_safety_critical_part_carries_only_where_quality_signs(shop):
    given(shop, a_part(criticality=Criticality.FLIGHT))
    given_next(shop)
    with pytest.raises(Refused, match="QUALITY_SIGNS"):
        carry(shop, PART, "D", CARRIES, "No change")
    with pytest.raises(NotAllowed, match="edda may not sign for quality; who can: quin"):
        carry(shop, PART, "D", CARRIES, "No change", as_quality=True)
    entry = carry(shop.as_person("quin"), PART, "D", CARRIES, "No change", as_quality=True).entry
    assert entry.signed_by_quality == "quin"
    assert carry(shop, PART, "D", DELTA, "To be sure").entry.decided is DELTA


@pytest.mark.parametrize(("read", "compared"), [(False, False), (True, False)])
def test_nothing_carries_over_a_drawing_that_nobody_looked_at(shop, read, compared):
    given_next(shop, read=read, compared=compared)
    with pytest.raises(Refused, match="REQUIREMENTS_MISSING"):
        carry(shop.as_person("quin"), PART, "D", CARRIES, "Looks the same", as_quality=True)
    assert carry(shop, PART, "D", DELTA, "Measure it").entry.decided is DELTA


def test_what_asks_for_a_new_proof_carries_only_where_quality_signs(shop):
    given_next(shop, verdict=ShapeVerdict.CHANGED, moved_mm=9.0)
    with pytest.raises(Refused, match="QUALITY_SIGNS  computed: prove again"):
        carry(shop, PART, "D", CARRIES, "Not where it matters")
    signed = carry(shop.as_person("quin"), PART, "D", CARRIES, "Not where it matters", as_quality=True)
    assert signed.entry.signed_by_quality == "quin"


def test_a_part_nobody_called_ordinary_counts_as_critical(shop):
    given(shop, a_part(criticality=Criticality.NOT_SET))
    given_next(shop)
    with pytest.raises(Refused, match="QUALITY_SIGNS"):
        carry(shop, PART, "D", CARRIES, "No change")


def test_a_tightened_limit_is_held_against_the_readings_there_are(shop):
    given_next(shop, a_characteristic(lower=29.985, upper=30.015), an_attribute())
    with pytest.raises(Refused, match="2 of 3 readings are outside 29.985 to 30.015 mm"):
        carry(shop, PART, "D", CARRIES, "Looks fine")
    assert carry(shop, PART, "D", DELTA, "Length again").entry.decided is DELTA


def test_a_tightened_limit_that_the_readings_meet_carries(shop):
    given_next(shop, a_characteristic(lower=29.98, upper=30.02), an_attribute())
    assert carry(shop, PART, "D", CARRIES, "Well inside").entry.decided is CARRIES


def test_an_added_characteristic_was_never_measured_and_does_not_carry(shop):
    given_next(shop, a_characteristic(), an_attribute(), an_attribute("3"))
    with pytest.raises(Refused, match="CHARACTERISTIC_NOT_MEASURED"):
        carry(shop, PART, "D", CARRIES, "Looks fine")


def test_a_proof_that_is_not_complete_does_not_carry(vault):
    given_makeable(vault)
    given_lot(vault)
    measured = a_measurement(LOT)
    given(vault, measured, a_proof(measurements=(measured.id,), state=ArticleState.NOT_COMPLETE))
    given_next(vault)
    with pytest.raises(Refused, match="PROOF_NOT_COMPLETE"):
        carry(vault, PART, "D", CARRIES, "Looks fine")


def test_there_must_be_a_proof_and_another_revision(shop):
    with pytest.raises(Refused, match="were proven on rev C itself"):
        carry(shop, PART, "C", CARRIES, "No change")


def test_settings_never_proven_carry_nothing(vault):
    given_makeable(vault)
    with pytest.raises(NotFound, match="were never proven"):
        carry(vault, PART, "C", CARRIES, "No change")
