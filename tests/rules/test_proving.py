"""What lots prove: every characteristic, density, gauges, witness pieces, partial first articles."""

from datetime import date

import pytest

from tests.builders import GAUGE, a_characteristic, a_gauge, a_material, an_attribute, made, some_requirements, ulid
from tests.fakes import MORNING
from tests.floor_builders import (
    LOAD,
    LOT,
    a_density,
    a_hold,
    a_load,
    a_lot,
    a_measurement,
    a_nonconformance,
    a_proof,
    an_operation,
    some_readings,
    some_verdicts,
)
from vault.model.evidence import FirstArticle, Judged
from vault.model.findings import Code, stops
from vault.model.floor import LoadFinish, Witness
from vault.model.words import ArticleState, MeasuredIn, SealState, Severity
from vault.rules.lots import LotHistory
from vault.rules.proving import ProofFacts, judge_proof

GOOD = (*some_readings("1", 29.98, 30.0, 30.02), *some_verdicts("2", True, True, True))
FULL = FirstArticle(extent="full")


def a_finish(**given):
    return made(LoadFinish, given, id=ulid("end"), load=LOAD, finished_at=MORNING, as_run="as the cycle")


def some_facts(*measurements, **given):
    measured = measurements or (a_measurement(LOT, *GOOD, densities=(a_density(),)),)
    lot = LotHistory(a_lot(), operations=(an_operation(load=LOAD),), measurements=measured)
    usual = {
        "requirements": some_requirements(),
        "lots": (lot,),
        "material": a_material(),
        "first_article": FULL,
        "gauges": {GAUGE: a_gauge()},
        "loads": ((a_load(), a_finish()),),
    }
    return ProofFacts(**{**usual, **given})


def codes(judgement):
    return [finding.code for finding in judgement.findings]


def test_good_readings_and_density_make_a_complete_first_article():
    judgement = judge_proof(some_facts())
    assert (judgement.findings, judgement.state, judgement.density_passes) == ((), ArticleState.COMPLETE, True)
    assert judgement.relative_density == pytest.approx(7.65 / 7.80)
    assert [(j.characteristic, j.readings, j.passes) for j in judgement.judged] == [("1", 3, True), ("2", 3, True)]
    assert judgement.judged[0].mean == pytest.approx(30.0)


@pytest.mark.parametrize(("value", "passes"), [(30.1, True), (29.9, True), (30.1001, False), (29.8999, False)])
def test_a_limit_itself_passes_and_a_hair_beyond_does_not(value, passes):
    readings = (*some_readings("1", 30.0, value), *some_verdicts("2", True))
    judgement = judge_proof(some_facts(a_measurement(LOT, *readings, densities=(a_density(),))))
    assert judgement.judged[0].passes is passes
    assert (Code.CHARACTERISTIC_FAILS in codes(judgement)) is not passes


def test_an_attribute_that_was_never_looked_at_is_not_covered():
    only_lengths = a_measurement(LOT, *some_readings("1", 30.0), densities=(a_density(),))
    judgement = judge_proof(some_facts(only_lengths))
    assert codes(judgement) == [Code.CHARACTERISTIC_NOT_MEASURED]
    assert judgement.state is ArticleState.NOT_COMPLETE


def test_a_rejected_attribute_fails():
    judgement = judge_proof(
        some_facts(a_measurement(LOT, *GOOD[:3], *some_verdicts("2", True, False), densities=(a_density(),)))
    )
    assert judgement.judged[1].why_not == "1 of 2 readings are outside M6 go/no-go"


def test_readings_in_another_state_of_the_metal_do_not_count():
    green = a_measurement(LOT, *GOOD, densities=(a_density(),), measured_in=MeasuredIn.AS_SINTERED)
    assert codes(judge_proof(some_facts(green))) == [Code.CHARACTERISTIC_NOT_MEASURED] * 2


def test_the_newest_reading_of_a_piece_counts_and_an_older_bad_one_is_told():
    first = a_measurement(LOT, *some_readings("1", 30.5), *GOOD[3:], densities=(a_density(),))
    again = a_measurement(LOT, *some_readings("1", 30.0))
    judgement = judge_proof(some_facts(first, again))
    assert judgement.state is ArticleState.COMPLETE
    assert codes(judgement) == [Code.MEASURED_AGAIN]
    assert Code.CHARACTERISTIC_FAILS in codes(judge_proof(some_facts(again, first)))


@pytest.mark.parametrize(
    ("density", "pores", "gate", "passes"),
    [
        (0.96 * 7.80, SealState.SEALED, 0.96, True),
        (0.9599 * 7.80, SealState.SEALED, 0.96, False),
        (0.94 * 7.80, SealState.SEALED, 0.92, True),
        (0.94 * 7.80, SealState.NEITHER, 0.92, False),  # reads high: open pores filled with water
        (0.96 * 7.80, SealState.NEITHER, 0.92, True),
        (1.03 * 7.80, SealState.SEALED, 0.96, False),  # denser than pore-free
    ],
)
def test_density_passes_its_gate_or_not(density, pores, gate, passes):
    measured = a_measurement(LOT, *GOOD, densities=(a_density(), a_density(density, "2", pores)))
    judgement = judge_proof(some_facts(measured, material=a_material(density_gate_fraction=gate)))
    assert judgement.density_passes is passes
    assert (judgement.state is ArticleState.COMPLETE) is passes


def test_green_density_does_not_count_and_none_at_all_is_a_stop():
    green = a_measurement(LOT, densities=(a_density(4.3),), measured_in=MeasuredIn.GREEN)
    judgement = judge_proof(some_facts(a_measurement(LOT, *GOOD), green))
    assert (judgement.density_passes, codes(judgement)) == (None, [Code.DENSITY_NOT_MEASURED])


def test_density_of_a_witness_piece_counts_where_no_part_was_weighed():
    finish = a_finish(witnesses=(Witness(name="bar 1", density_g_cm3=7.66, pores=SealState.SEALED),))
    judgement = judge_proof(some_facts(a_measurement(LOT, *GOOD), loads=((a_load(), finish),)))
    assert (judgement.density_passes, judgement.findings) == (True, ())


@pytest.mark.parametrize(("pores", "passes"), [(SealState.SEALED, True), (SealState.NEITHER, False), (None, False)])
def test_a_witness_counts_as_sealed_only_where_somebody_said_so(pores, passes):
    # 0.94 of pore-free: above a gate of 0.93, and below the 0.95 from which a reading on open pores is believed
    finish = a_finish(witnesses=(Witness(name="bar 1", density_g_cm3=7.80 * 0.94, pores=pores),))
    steel = a_material(density_gate_fraction=0.93)
    judgement = judge_proof(some_facts(a_measurement(LOT, *GOOD), material=steel, loads=((a_load(), finish),)))
    assert judgement.density_passes is passes


def test_a_gauge_past_its_day_stops_and_so_do_numbers_without_a_gauge():
    due = {GAUGE: a_gauge(calibration_due=date(2026, 3, 1))}
    assert codes(judge_proof(some_facts(gauges=due))) == [Code.GAUGE_OUT_OF_CALIBRATION]
    nameless = a_measurement(LOT, *GOOD, densities=(a_density(),), gauge=None)
    assert codes(judge_proof(some_facts(nameless))) == [Code.GAUGE_NOT_NAMED]


def test_witness_pieces_give_what_the_material_asks_for():
    asks = a_material(witness_needed=("carbon",))
    assert codes(judge_proof(some_facts(material=asks))) == [Code.WITNESS_MISSING]
    finish = a_finish(witnesses=(Witness(name="bar 1", carbon_percent=0.04),))
    assert codes(judge_proof(some_facts(material=asks, loads=((a_load(), finish),)))) == []


def test_an_unfinished_load_a_hold_and_an_open_nonconformance_leave_it_not_complete():
    facts = some_facts(
        loads=((a_load(), None),), holds=(("lot L", a_hold()),), open_nonconformances=(a_nonconformance(),)
    )
    assert codes(judge_proof(facts)) == [Code.STILL_RUNNING, Code.ON_HOLD, Code.NONCONFORMANCE_OPEN]
    assert judge_proof(facts).state is ArticleState.NOT_COMPLETE


def test_without_the_customers_approval_a_first_article_is_not_complete():
    judgement = judge_proof(some_facts(approval_missing=True))
    assert [finding.code for finding in stops(judgement.findings)] == [Code.CUSTOMER_APPROVAL_MISSING]
    assert judgement.state is ArticleState.NOT_COMPLETE


def test_development_pieces_and_deviations_are_cautions():
    lot = LotHistory(a_lot(production_representative=False), measurements=some_facts().measurements)
    finish = a_finish(as_run="deviations, see words", deviations="Gas lost")
    judgement = judge_proof(some_facts(lots=(lot,), loads=((a_load(), finish),)))
    assert [finding.severity for finding in judgement.findings] == [Severity.CAUTION] * 3
    assert judgement.state is ArticleState.COMPLETE


BASELINE = (a_proof(), some_requirements())


def a_partial(*affected):
    return FirstArticle(extent="partial", baseline=ulid("proof"), reason="Hole moved", affected=affected)


def partial_facts(affected, baseline=(BASELINE,), requirements=None):
    measured = a_measurement(LOT, *some_readings("1", 30.0))
    return some_facts(
        measured,
        first_article=a_partial(*affected),
        baseline=baseline,
        requirements=requirements or some_requirements(),
    )


def test_a_partial_covers_what_is_affected_and_its_baseline_the_rest():
    judgement = judge_proof(partial_facts(("1",)))
    assert [verdict.characteristic for verdict in judgement.judged] == ["1"]
    assert (judgement.state, judgement.density_passes) == (ArticleState.COMPLETE, True)


def test_what_is_affected_must_be_measured_again():
    assert codes(judge_proof(partial_facts(("1", "2")))) == [Code.CHARACTERISTIC_NOT_MEASURED]


def test_a_characteristic_changed_on_the_drawing_is_not_covered_by_the_baseline():
    changed = some_requirements(a_characteristic(), an_attribute(requirement="M8 go/no-go"))
    assert codes(judge_proof(partial_facts(("1",), requirements=changed))) == [Code.CHARACTERISTIC_NOT_MEASURED]
    added = some_requirements(a_characteristic(), an_attribute(), an_attribute("3"))
    assert codes(judge_proof(partial_facts(("1",), requirements=added))) == [Code.CHARACTERISTIC_NOT_MEASURED]


def test_a_failure_in_the_nearer_proof_is_not_covered_by_an_older_pass():
    failed = Judged(characteristic="2", key=False, readings=1, outside=1, passes=False, why_not="1 of 1")
    nearer = (a_proof(judged=(failed,)), some_requirements())
    assert stops(judge_proof(partial_facts(("1",), baseline=(nearer, BASELINE))).findings)
    assert not stops(judge_proof(partial_facts(("1",), baseline=(BASELINE, nearer))).findings)
