"""Powder genealogy: virgin fraction, reuse count, limits."""

from datetime import date

import pytest

from tests.builders import a_material
from tests.floor_builders import a_blend, from_blend, from_supplier
from vault.model.cards import PowderLimits
from vault.model.findings import Code
from vault.model.floor import PowderTest
from vault.model.words import Severity
from vault.rules.genealogy import limit_findings, lineage, mixing_findings, mixture_of

FRESH = a_blend("M-26A0001")
USED = a_blend("M-26A0002", from_blend("M-26A0001", 30.0), virgin_fraction=0.0, reuse_count=1)
BLENDS = {FRESH.id: FRESH, USED.id: USED}


def codes(findings):
    return [finding.code for finding in findings]


def test_powder_as_supplied_is_virgin_and_never_used():
    mixture = mixture_of((from_supplier(20.0), from_supplier(5.0, "SL-2")), {}, returned_from_run=False)
    assert (mixture.virgin_fraction, mixture.reuse_count) == (1.0, 0)


def test_powder_that_comes_back_from_a_box_is_not_virgin_and_used_once_more():
    mixture = mixture_of((from_blend(FRESH.id, 30.0),), BLENDS, returned_from_run=True)
    assert (mixture.virgin_fraction, mixture.reuse_count) == (0.0, 1)


def test_the_virgin_fraction_is_by_mass_and_the_reuse_count_that_of_the_most_used_parent():
    parents = (from_supplier(30.0), from_blend(USED.id, 10.0))
    mixture = mixture_of(parents, BLENDS, returned_from_run=False)
    assert mixture.virgin_fraction == pytest.approx(0.75)
    assert mixture.reuse_count == 1


def test_lineage_reaches_every_ancestor_once_also_through_two_children():
    both = a_blend("M-26A0003", from_blend(FRESH.id, 5.0), from_blend(USED.id, 5.0))
    assert lineage([both.id], {**BLENDS, both.id: both}) == (both.id, FRESH.id, USED.id)


def test_grades_are_never_mixed():
    assert codes(mixing_findings("316L", (from_blend(FRESH.id, 1.0),), BLENDS, {})) == [Code.MATERIALS_MIXED]
    assert codes(mixing_findings("17-4PH", (from_blend(FRESH.id, 1.0),), BLENDS, {})) == []


def test_no_more_powder_is_taken_from_a_blend_than_is_left():
    taken = {FRESH.id: 35.0}
    assert codes(mixing_findings("17-4PH", (from_blend(FRESH.id, 5.0),), BLENDS, taken)) == []
    assert codes(mixing_findings("17-4PH", (from_blend(FRESH.id, 5.1),), BLENDS, taken)) == [Code.COUNTS_DO_NOT_BALANCE]


def test_a_limit_of_the_material_stops_and_a_missing_test_is_a_caution():
    material = a_material(powder=PowderLimits(oxygen_max_ppm=1500.0, carbon_max_ppm=400.0, reuse_max=8))
    tests = (
        PowderTest(tested_on=date(2026, 2, 1), oxygen_ppm=900.0),
        PowderTest(tested_on=date(2026, 3, 1), oxygen_ppm=1600.0),
    )
    found = list(limit_findings(a_blend(tests=tests, reuse_count=9), material))
    assert [(f.code, f.severity) for f in found] == [
        (Code.POWDER_OUT_OF_LIMITS, Severity.STOP),
        (Code.POWDER_OUT_OF_LIMITS, Severity.STOP),
        (Code.POWDER_NOT_TESTED, Severity.CAUTION),
    ]
    assert "oxygen 1600 ppm is above 1500 ppm" in found[1].sentence


def test_a_blend_exactly_at_its_limits_may_be_used():
    material = a_material(powder=PowderLimits(oxygen_max_ppm=1500.0, reuse_max=8, sieve_um=63.0))
    at_limits = a_blend(
        tests=(PowderTest(tested_on=date(2026, 2, 1), oxygen_ppm=1500.0),), reuse_count=8, sieve_um=63.0
    )
    assert list(limit_findings(at_limits, material)) == []


def test_used_powder_is_sieved_at_least_as_finely_as_the_material_asks():
    material = a_material(powder=PowderLimits(sieve_um=63.0))
    assert codes(limit_findings(a_blend(reuse_count=1, sieve_um=80.0), material)) == [Code.POWDER_OUT_OF_LIMITS]
    assert codes(limit_findings(a_blend(reuse_count=1), material)) == [Code.POWDER_NOT_TESTED]
    assert codes(limit_findings(a_blend(reuse_count=0), material)) == []
