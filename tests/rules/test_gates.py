"""Moving between stages: what a gate asks for, and what it says where it is not passed."""

from datetime import date

import pytest

from tests.builders import (
    GAUGE,
    a_characteristic,
    a_gauge,
    a_history,
    a_move,
    a_policy,
    a_release,
    a_revision,
    an_acceptance,
    an_attribute,
    some_requirements,
    some_settings,
)
from tests.floor_builders import a_hold, a_nonconformance, a_proof
from vault.model.capability import Capability
from vault.model.cards import CarryLimits, GaugeStudy
from vault.model.decisions import HoldTarget
from vault.model.findings import Code, stops
from vault.model.settings import Inspect
from vault.model.words import ArticleState, Severity, Stage
from vault.rules.gates import GateFacts, Measured, judge_gate
from vault.rules.proofs import cover_of

SETTINGS = some_settings()
CAPABLE = Capability(
    readings=30, lots=3, mean=30.0, total_sd=0.01, between_sd=0.0, degrees=29.0, ppk=2.0, bound=1.5, confidence=0.95,
    looks_normal=True, drifts=None, lots_needed=3,
)  # fmt: skip
READ_WITH = {"1": (GAUGE,)}
ENOUGH = Measured(30, 3, 2, {"1": CAPABLE}, READ_WITH)
MADE = (a_revision(), a_release(), an_acceptance(), some_requirements())


def some_facts(to, *records, settings=SETTINGS, **given):
    history = a_history(*(records or (*MADE, a_proof())), settings)
    revision = history.newest
    cover = cover_of(history, settings, revision.id, CarryLimits()) if revision else None
    usual = {
        "history": history, "policy": a_policy(), "today": date(2026, 3, 2), "to": to, "revision": revision,
        "settings": settings, "cover": cover, "measured": ENOUGH, "gauges": {GAUGE: a_gauge()},
        "able": ("edda", "quin"),
    }  # fmt: skip
    return GateFacts(**{**usual, **given})


def to_production(*records, **given):
    return some_facts(Stage.PRODUCTION, *(records or (*MADE, a_proof())), a_move(Stage.RAMP), **given)


def blocked(facts):
    return [finding.code for finding in stops(judge_gate(facts).findings)]


def test_a_released_revision_with_a_complete_first_article_ramps_up():
    assert judge_gate(some_facts(Stage.RAMP)).findings == ()


@pytest.mark.parametrize(
    ("records", "code"),
    [
        ((a_revision(), a_proof()), Code.NOT_RELEASED),
        ((a_revision(), a_release()), Code.NEVER_PROVEN),
        ((a_revision(), a_release(), a_proof(state=ArticleState.NOT_COMPLETE)), Code.PROOF_NOT_COMPLETE),
        ((a_revision(), a_release(), a_proof(density_passes=False)), Code.DENSITY_BELOW_GATE),
        ((a_revision(), a_release(), a_proof(density_passes=None)), Code.DENSITY_NOT_MEASURED),
        ((a_revision(), a_revision("D"), a_release("D"), a_proof()), Code.PROOF_OF_OTHER_REVISION),
        ((*MADE, a_proof(), a_hold(HoldTarget(part="BRK-204"))), Code.ON_HOLD),
    ],
)
def test_what_is_missing_for_the_ramp_is_named(records, code):
    assert blocked(some_facts(Stage.RAMP, *records)) == [code]


def test_without_a_revision_or_settings_nothing_ramps_up():
    assert blocked(some_facts(Stage.RAMP, a_move(Stage.PROTOTYPE))) == [Code.NO_REVISION]
    assert blocked(some_facts(Stage.RAMP, settings=SETTINGS, cover=None)) == [Code.NEVER_PROVEN]
    bare = GateFacts(a_history(a_revision(), a_release()), a_policy(), date(2026, 3, 2), Stage.RAMP, a_revision())
    assert blocked(bare) == [Code.NO_SETTINGS]


def test_production_is_reached_by_a_capability_bound():
    gate = judge_gate(to_production())
    assert (gate.way, gate.findings) == ("capability bound", ())


@pytest.mark.parametrize(
    ("change", "code", "says"),
    [
        ({"bound": 1.32}, Code.CAPABILITY_BELOW_GATE, "Ppk 2.00 on 30 pieces of 3 lots, lower 95% bound 1.32 of 1.33"),
        ({"looks_normal": False}, Code.CAPABILITY_BELOW_GATE, "not normal"),
        ({"drifts": True}, Code.CAPABILITY_BELOW_GATE, "drift"),
        ({"lots": 2}, Code.TOO_LITTLE_EVIDENCE, "from 3 lots on"),
    ],
)
def test_a_capability_that_does_not_carry_says_why(change, code, says):
    weak = Measured(30, 3, 2, {"1": CAPABLE.model_copy(update=change)}, READ_WITH)
    found = stops(judge_gate(to_production(measured=weak)).findings)
    assert [finding.code for finding in found] == [code]
    assert says in found[0].sentence


def test_the_point_estimate_alone_is_never_enough():
    weak = CAPABLE.model_copy(update={"ppk": 1.7, "bound": 1.2, "lots_needed": 7})
    found = stops(judge_gate(to_production(measured=Measured(30, 3, 2, {"1": weak}, READ_WITH))).findings)
    assert "7 such lots would do" in found[0].sentence


def test_a_bound_at_the_policy_passes():
    exact = Measured(30, 3, 2, {"1": CAPABLE.model_copy(update={"bound": 1.33})}, READ_WITH)
    assert judge_gate(to_production(measured=exact)).is_open


@pytest.mark.parametrize(("pieces", "lots", "loads"), [(29, 3, 2), (30, 2, 2), (30, 3, 1)])
def test_too_few_pieces_lots_or_loads_say_how_many_more(pieces, lots, loads):
    measured = Measured(pieces, lots, loads, {"1": CAPABLE}, READ_WITH)
    found = stops(judge_gate(to_production(measured=measured)).findings)
    assert [finding.code for finding in found] == [Code.TOO_LITTLE_EVIDENCE]
    assert found[0].sentence.endswith("1 more")


@pytest.mark.parametrize("study", [None, GaugeStudy(percent_of_tolerance=45.0, studied_on=date(2026, 1, 10))])
def test_a_capability_is_worth_no_more_than_the_gauge_behind_it(study):
    assert blocked(to_production(gauges={GAUGE: a_gauge(study=study)})) == [Code.GAUGE_STUDY_MISSING]


def test_a_capability_read_with_a_gauge_that_nobody_named_opens_nothing():
    nameless = Measured(30, 3, 2, {"1": CAPABLE}, {"1": (None,)})
    assert blocked(to_production(measured=nameless)) == [Code.GAUGE_NOT_NAMED]


NO_CAPABILITY = Measured(5, 1, 1)


def planned(how_many="100 %", gauge=GAUGE, **given):
    line = Inspect(characteristics=("1",), how_many=how_many, gauge=gauge, **given)
    return some_settings(inspection=(line,))


def test_a_hundred_per_cent_inspection_with_a_suitable_gauge_is_a_way():
    gate = judge_gate(to_production(settings=planned(), measured=NO_CAPABILITY))
    assert (gate.way, gate.is_open) == ("100 % inspection", True)
    assert {finding.severity for finding in gate.findings} == {Severity.NOTE}


@pytest.mark.parametrize(
    ("gauge", "code"),
    [
        (a_gauge(calibration_due=date(2026, 3, 1)), Code.GAUGE_OUT_OF_CALIBRATION),
        (a_gauge(study=None), Code.GAUGE_STUDY_MISSING),
        (
            a_gauge(study=GaugeStudy(percent_of_tolerance=30.1, studied_on=date(2026, 1, 10))),
            Code.GAUGE_STUDY_MISSING,
        ),
    ],
)
def test_a_gauge_that_cannot_be_believed_closes_that_way(gauge, code):
    assert blocked(to_production(settings=planned(), measured=NO_CAPABILITY, gauges={GAUGE: gauge})) == [code]


def test_an_inspection_plan_without_a_gauge_closes_that_way():
    assert blocked(to_production(settings=planned(gauge=None), measured=NO_CAPABILITY)) == [Code.GAUGE_NOT_NAMED]


def test_the_customers_sampling_plan_needs_its_evidence():
    sampled = planned("sample", plan="c = 0, AQL 1.0")
    assert blocked(to_production(settings=sampled, measured=NO_CAPABILITY))
    gate = judge_gate(to_production(settings=sampled, measured=NO_CAPABILITY, has_plan_evidence=True))
    assert (gate.way, gate.is_open) == ("customer's sampling plan", True)


def test_a_key_go_no_go_characteristic_has_no_capability():
    keys = (*MADE[:3], some_requirements(an_attribute(key=True)), a_proof())
    assert blocked(to_production(*keys)) == [Code.CAPABILITY_BELOW_GATE]


def test_each_key_characteristic_needs_a_way_of_its_own():
    keys = (*MADE[:3], some_requirements(a_characteristic("1"), a_characteristic("3")), a_proof())
    assert blocked(to_production(*keys)) == [Code.CHARACTERISTIC_NOT_MEASURED]


def test_a_drawing_without_key_characteristics_is_a_caution_and_the_counts_decide():
    none = (*MADE[:3], some_requirements(a_characteristic(key=False)), a_proof())
    assert judge_gate(to_production(*none)).is_open
    assert blocked(to_production(*none, measured=NO_CAPABILITY)) == [Code.TOO_LITTLE_EVIDENCE] * 3


def test_production_needs_acceptance_a_production_run_and_no_open_nonconformance():
    unaccepted = (*MADE[:2], MADE[3], a_proof(production_representative=False))
    facts = to_production(*unaccepted, open_nonconformances=(a_nonconformance(),))
    assert blocked(facts) == [Code.NOT_ACCEPTED, Code.NONCONFORMANCE_OPEN, Code.NOT_PRODUCTION_RUN]


def test_one_person_alone_does_not_bring_a_part_into_production():
    assert blocked(to_production(*MADE, a_proof(by="edda"))) == [Code.TWO_PERSONS]


@pytest.mark.parametrize(
    ("now", "to"),
    [
        (Stage.PROTOTYPE, Stage.PRODUCTION),
        (Stage.PROTOTYPE, Stage.PROTOTYPE),
        (Stage.RETIRED, Stage.RAMP),
        (Stage.RETIRED, Stage.PRODUCTION),
    ],
)
def test_no_stage_is_skipped(now, to):
    facts = some_facts(to, *MADE, a_proof(), a_move(now))
    assert blocked(facts) == [Code.STAGE_DOES_NOT_FOLLOW]


@pytest.mark.parametrize(
    ("now", "to"),
    [
        (Stage.PRODUCTION, Stage.RAMP),
        (Stage.PRODUCTION, Stage.PROTOTYPE),
        (Stage.RAMP, Stage.PROTOTYPE),
        (Stage.PRODUCTION, Stage.RETIRED),
        (Stage.RETIRED, Stage.PROTOTYPE),
    ],
)
def test_the_way_back_and_out_needs_only_a_reason(now, to):
    facts = some_facts(to, a_revision(), a_move(now), cover=None, settings=SETTINGS)
    assert judge_gate(facts).findings == ()


def test_a_hold_on_one_revision_is_lifted_by_the_name_of_that_revision():
    held = a_hold(HoldTarget(part="BRK-204", revision=a_revision().id))
    found = stops(judge_gate(some_facts(Stage.RAMP, *MADE, a_proof(), held)).findings)
    assert found[0].next_command == "partstead lift BRK-204@C --because REASON"
