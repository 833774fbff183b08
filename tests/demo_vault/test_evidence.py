"""The demo's evidence is good enough for the gates that its parts are said to have passed."""

import pytest

from demo_vault.scenario import campaigns, counts, readings, shop
from demo_vault.scenario.catalogue import PARTS, part
from demo_vault.scenario.facts import CharacteristicFact, LotFact, PartFact
from vault.model.cards import Policy
from vault.quality.capability import capability, looks_normal

LOTS = tuple(lot for campaign in campaigns.CAMPAIGNS for lot in campaign.lots if counts.is_finished(lot))
CAPABLE = [
    (fact, balloon) for fact in PARTS if fact.gate == "capability bound" for balloon in fact.drawing if balloon.key
]


def _before_production(fact: PartFact) -> list[LotFact]:
    """The lots of the revision of which most were measured before the part went into production."""
    day = next(since for stage, since, _ in fact.stages if stage == "production")
    lots = [lot for lot in LOTS if lot.part == fact.number and readings.measured_on(lot) <= day]
    labels = [lot.label for lot in lots]
    most = max(labels, key=labels.count)
    return [lot for lot in lots if lot.label == most]


@pytest.mark.parametrize(("fact", "balloon"), CAPABLE, ids=lambda value: getattr(value, "name", None))
def test_key_characteristics_reach_the_bound_of_the_policy(fact: PartFact, balloon: CharacteristicFact) -> None:
    lots = _before_production(fact)
    _, lower, upper = readings.limits_mm(fact, lots[0].label, balloon)
    sizes = [
        [r.value_mm for r in readings.readings(lot) if r.characteristic == balloon.number and r.value_mm is not None]
        for lot in lots
    ]
    minimum = Policy.model_fields["capability_minimum"].default
    assert len(lots) >= Policy.model_fields["production_lots_minimum"].default
    assert sum(map(len, sizes)) >= Policy.model_fields["production_measured_minimum"].default
    assert capability(sizes, lower, upper, minimum).bound >= minimum
    assert looks_normal(sizes)


@pytest.mark.parametrize("lot", LOTS, ids=lambda lot: lot.key)
def test_every_gauge_was_in_calibration_on_the_day_it_was_used(lot: LotFact) -> None:
    gauges = {gauge.id: gauge for gauge in shop.GAUGES}
    day = readings.measured_on(lot)
    for name in {balloon.gauge for balloon in part(lot.part).drawing if balloon.gauge}:
        assert any(since <= day <= until for since, until in gauges[name].calibrations), name


def test_gauges_of_key_characteristics_have_a_study() -> None:
    studied = {gauge.id for gauge in shop.GAUGES if gauge.study_on}
    assert {balloon.gauge for fact in PARTS for balloon in fact.drawing if balloon.key} <= studied
