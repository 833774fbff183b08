"""Capability against published and independently computed values, and its honesty about lots."""

import math
from random import Random
from statistics import NormalDist

import pytest

from vault.errors import BadInput
from vault.quality.capability import bissell_bound, capability, components_of, drifts, looks_normal, ppk_of


def bound_of(index: float, count: int, confidence: float) -> float:
    return bissell_bound(index, count, count - 1, confidence)


@pytest.mark.parametrize(
    ("index", "count", "confidence", "expected"),
    [
        (1.15, 45, 0.975, 0.890739),  # printed 0.89 - 1.41 in Quality Digest, May 2000 (second-hand)
        (0.625, 30, 0.975, 0.424751),  # limits 90 and 100, mean 97, sd 1.6
        (1.33, 20, 0.975, 0.882606),
        (1.33, 50, 0.975, 1.050939),
        (1.33, 50, 0.95, 1.095805),
        (1.33, 100, 0.95, 1.165145),
        (1.33, 20, 0.95, 0.954535),
        (1.5, 30, 0.95, 1.160917),
        (1.67, 125, 0.95, 1.488809),
    ],
)
def test_the_bound_of_one_sample_is_the_published_one(index, count, confidence, expected):
    assert bound_of(index, count, confidence) == pytest.approx(expected, abs=1e-6)


def test_ppk_is_the_distance_to_the_nearer_limit():
    # NIST/SEMATECH e-Handbook 6.1.6 (from memory): limits 8 and 20, mean 16, sd 2.
    assert ppk_of(16.0, 2.0, 8.0, 20.0) == pytest.approx(2 / 3)
    assert ppk_of(16.0, 2.0, None, 20.0) == pytest.approx(2 / 3)
    assert ppk_of(16.0, 2.0, 8.0, None) == pytest.approx(4 / 3)


@pytest.mark.parametrize("base", [1e6, 1e7])
def test_the_spread_is_exact_far_from_zero(base):
    # NIST StRD NumAcc3 and NumAcc4: certified standard deviation 0.1.
    readings = [base + 0.2] + [base + 0.1, base + 0.3] * 500
    assert math.sqrt(components_of([readings]).total) == pytest.approx(0.1, rel=1e-6)


def test_one_lot_gives_the_bound_of_one_sample():
    readings = [29.98, 30.0, 30.01, 30.02, 29.99, 30.0, 30.03, 29.97]
    found = capability([readings], 29.9, 30.1, 1.33)
    assert found.degrees == 7
    assert found.between_sd == 0
    assert found.bound == pytest.approx(bound_of(found.ppk, 8, 0.95))


def test_lots_that_do_not_differ_give_the_bound_of_one_sample():
    lots = [[29.98, 30.0, 30.02], [30.02, 29.98, 30.0], [30.0, 30.02, 29.98]]
    found = capability(lots, 29.9, 30.1, 1.33)
    assert found.between_sd == 0
    assert found.bound == pytest.approx(bound_of(found.ppk, 9, 0.95))


def test_variance_components_agree_with_a_hand_computed_table():
    # By hand: lot means 2, 5, 8; MSB = 3 * 9 * 2 / 2 = 27; MSW = 1; n0 = 3; between = 26 / 3; total = 29 / 3.
    parts = components_of([[1.0, 2.0, 3.0], [4.0, 5.0, 6.0], [7.0, 8.0, 9.0]])
    assert parts.within == pytest.approx(1.0)
    assert parts.between == pytest.approx(26 / 3)
    # Satterthwaite by hand: (29/3)^2 / (9^2 / 2 + (2/3)^2 / 6).
    assert parts.degrees == pytest.approx((29 / 3) ** 2 / (81 / 2 + (4 / 9) / 6))
    assert parts.mean_variance == pytest.approx(27 / 9)


def test_lots_that_differ_lower_the_bound_below_that_of_independent_parts():
    random = Random(5)
    lots = [[30.0 + shift + random.gauss(0, 0.01) for _ in range(10)] for shift in (-0.02, 0.0, 0.02)]
    found = capability(lots, 29.9, 30.1, 1.33)
    assert found.between_sd == pytest.approx(0.02, abs=0.005)
    assert found.degrees < 4
    assert found.bound < bound_of(found.ppk, 30, 0.95) - 0.3


def how_often_it_holds(groups: int, size: int, trials: int = 400) -> float:
    random, sd_between, sd_within = Random(11), 0.02, 0.02
    true = 0.1 / (3 * math.hypot(sd_between, sd_within))
    holds = 0
    for _ in range(trials):
        shifts = [random.gauss(0, sd_between) for _ in range(groups)]
        lots = [[shift + random.gauss(0, sd_within) for _ in range(size)] for shift in shifts]
        holds += capability(lots, -0.1, 0.1, 1.33).bound <= true
    return holds / trials


def test_the_bound_holds_about_as_often_as_it_says_when_lots_differ():
    # Allowed are three standard errors of 400 trials, 0.033, below what the docstring states.
    assert how_often_it_holds(groups=10, size=5) >= 0.957 - 0.033
    assert how_often_it_holds(groups=6, size=8) >= 0.942 - 0.033
    assert how_often_it_holds(groups=3, size=10) >= 0.905 - 0.045


def test_it_says_how_many_lots_would_do_and_never_promises_what_cannot_be():
    random = Random(3)
    lots = [[30.0 + random.gauss(0, 0.02) for _ in range(10)] for _ in range(3)]
    found = capability(lots, 29.9, 30.1, minimum=1.33)
    assert found.ppk > 1.33
    assert found.bound < 1.33
    assert found.lots_needed is not None
    assert found.lots_needed > 3
    assert capability(lots, 29.98, 30.02, minimum=1.33).lots_needed is None


def test_normal_readings_look_normal_and_skewed_ones_do_not():
    quantiles = [NormalDist().inv_cdf((place + 0.5) / 40) for place in range(40)]
    assert looks_normal([quantiles]) is True
    assert looks_normal([[math.exp(1.5 * value) for value in quantiles]]) is False
    assert looks_normal([quantiles[:10]]) is None


def test_lots_that_climb_drift_and_lots_that_scatter_do_not():
    assert drifts([[0.0], [1.1], [1.9], [3.0], [4.1]]) is True
    assert drifts([[1.0], [0.0], [1.2], [0.1], [0.9]]) is False
    assert drifts([[0.0], [1.0], [2.0]]) is None


@pytest.mark.parametrize("lots", [[[1.0]], [[1.0, 1.0], [1.0, 1.0]], [[1.0, math.nan]], [[1.0, 2.0], []]])
def test_readings_without_evidence_in_them_are_refused(lots):
    with pytest.raises(BadInput):
        capability(lots, 0.0, 2.0, 1.33)
