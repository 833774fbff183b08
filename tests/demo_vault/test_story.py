"""The demo's story keeps the order of things: nothing is made before it is allowed, counted before it is made."""

from datetime import date, timedelta

import pytest

from demo_vault.scenario import campaigns, counts, incidents, orders, powder, readings, shop
from demo_vault.scenario.catalogue import PARTS, part
from demo_vault.scenario.facts import CampaignFact, LotFact, OrderFact, PartFact

EACH_CAMPAIGN = pytest.mark.parametrize("campaign", campaigns.CAMPAIGNS, ids=lambda campaign: campaign.key)
LOTS = tuple(lot for campaign in campaigns.CAMPAIGNS for lot in campaign.lots)
EACH_LOT = pytest.mark.parametrize("lot", LOTS, ids=lambda lot: lot.key)


def _outside(lot: LotFact) -> set[str]:
    """Characteristics of which a reading lies outside the limits."""
    fact = part(lot.part)
    limits = {b.number: readings.limits_mm(fact, lot.label, b) for b in fact.drawing if b.dimension}
    values = [(r.characteristic, r.value_mm) for r in readings.readings(lot) if r.value_mm is not None]
    return {number for number, size in values if not limits[number][1] <= size <= limits[number][2]}


@EACH_CAMPAIGN
def test_a_campaign_has_one_grade_from_a_blend_that_was_made_before(campaign: CampaignFact) -> None:
    blend = next(blend for blend in powder.BLENDS if blend.key == campaign.blend)
    machine = next(machine for machine in shop.MACHINES if machine.id == campaign.machine)
    assert blend.made <= campaign.printed <= shop.TODAY
    assert {part(lot.part).material for lot in campaign.lots} == {blend.material}
    assert blend.material in machine.materials
    assert campaign.box in machine.boxes


@EACH_CAMPAIGN
def test_pieces_of_a_campaign_could_fit_its_box(campaign: CampaignFact) -> None:
    # green is about a fifth longer each way, and pieces stand 4 mm apart: a coarse upper bound, no nesting
    box = next(box for box in shop.BOXES if box.id == campaign.box)
    needed = 0.0
    for lot in campaign.lots:
        low_x, low_y, low_z, high_x, high_y, high_z = part(lot.part).design_at(lot.label).solid().bounding_box()
        x, y, z = (1.2 * size + 4.0 for size in (high_x - low_x, high_y - low_y, high_z - low_z))
        needed += lot.started * x * y * z
    assert needed <= box.size_mm[0] * box.size_mm[1] * box.size_mm[2]


@EACH_LOT
def test_a_lot_is_of_a_released_revision_and_for_an_order_received_before(lot: LotFact) -> None:
    revision = part(lot.part).revision(lot.label)
    printed = campaigns.campaign_of(lot.key).printed
    assert revision.released is not None
    assert revision.released <= printed
    if lot.order:
        order = orders.BY_KEY[lot.order]
        assert order.part == lot.part
        assert order.revision_as_written == lot.label
        assert (revision.accepted or revision.released) <= order.received <= printed


@EACH_LOT
def test_counts_of_a_lot_balance(lot: LotFact) -> None:
    done = counts.operations(lot)
    before = lot.started
    for operation in done:
        assert operation.count_in == before
        assert operation.count_in == operation.count_on + sum(count for _, count in operation.scrapped)
        assert operation.on <= shop.TODAY
        before = operation.count_on


@EACH_LOT
def test_a_finished_lot_fills_its_order_in_time(lot: LotFact) -> None:
    gone = counts.shipped(lot)
    if gone is not None and lot.order:
        order = orders.BY_KEY[lot.order]
        assert gone[1] == order.quantity <= counts.good(lot)
        assert gone[0] <= order.schedule[0][0]


@EACH_LOT
def test_only_the_lot_with_a_fault_has_readings_outside_the_limits(lot: LotFact) -> None:
    assert _outside(lot) == set(lot.faults)


def test_readings_are_the_same_every_time() -> None:
    lot = campaigns.lot_called("bracket-3")
    assert readings.readings(lot) == readings.readings(lot)
    assert readings.readings(lot) != readings.readings(campaigns.lot_called("bracket-2"))


def test_lots_differ_from_each_other_by_more_than_a_gauge_can_hide() -> None:
    means = []
    for key in ("bracket-2", "bracket-3", "bracket-4"):
        lot = campaigns.lot_called(key)
        sizes = [r.value_mm for r in readings.readings(lot) if r.characteristic == "1" and r.value_mm is not None]
        means.append(sum(sizes) / len(sizes))
    assert max(means) - min(means) > 0.005


def test_weighings_give_a_density_below_the_full_one() -> None:
    lot = campaigns.lot_called("jaw-3")
    for weighing in readings.weighings(lot):
        # Archimedes with water at 21 C, 0.9980 g/cm3 (Tanaka 2001); the jaw's grade is 8.44 g/cm3 by invention
        density = weighing.mass_in_air_g / (weighing.mass_in_air_g - weighing.mass_in_water_g) * 0.9980
        assert 0.96 * 8.44 < density < 8.44


@pytest.mark.parametrize("fact", [p for p in PARTS if p.stages], ids=lambda fact: fact.customer_number)
def test_a_stage_is_reached_after_its_evidence(fact: PartFact) -> None:
    measured = [(readings.measured_on(lot), lot) for lot in LOTS if lot.part == fact.number and counts.is_finished(lot)]
    for stage, day, _ in fact.stages:
        evidence = [lot for on, lot in measured if on <= day]
        if stage == "ramp":
            assert evidence
        if stage == "production":
            assert any(revision.accepted and revision.accepted <= day for revision in fact.revisions)
        if stage == "production" and fact.gate == "capability bound":
            by_label = [lot.label for lot in evidence]
            assert max(by_label.count(label) for label in by_label) >= 3


@pytest.mark.parametrize("blend", powder.BLENDS, ids=lambda blend: blend.key)
def test_a_blend_is_made_of_its_own_grade_from_what_was_there_before(blend: powder.BlendFact) -> None:
    made = {one.key: one for one in powder.BLENDS}
    for source, kg in blend.parents:
        if not source.startswith("supplier:"):
            assert made[source].material == blend.material
            assert made[source].made < blend.made
            assert kg <= made[source].made_kg
    assert blend.made_kg <= sum(kg for _, kg in blend.parents)


@pytest.mark.parametrize("order", orders.OPEN, ids=lambda order: order.key)
def test_an_open_order_is_due_after_the_day_of_the_demo(order: OrderFact) -> None:
    assert order.received <= shop.TODAY < order.schedule[0][0]


def test_incidents_are_about_things_that_exist() -> None:
    for case in incidents.NONCONFORMANCES:
        lot = campaigns.lot_called(case.lot)
        assert any(balloon.number == case.characteristic for balloon in part(lot.part).drawing)
        assert case.count <= counts.operations(lot)[-1].count_in
    for split in incidents.SPLITS:
        assert 0 < split.first_child < counts.good(campaigns.lot_called(split.lot))
    for back in incidents.RETURNS:
        gone = counts.shipped(campaigns.lot_called(back.lot))
        assert gone is not None
        assert gone[0] < back.on
        assert back.quantity <= gone[1]
    for second in incidents.SECOND_FILES:
        assert part(second.part).revision(second.label).on < second.on


def test_the_withdrawn_revision_and_the_older_one_are_what_open_orders_ask_for() -> None:
    (withdrawn,) = incidents.WITHDRAWALS
    horn = orders.BY_KEY["horn-open"]
    assert (horn.part, horn.revision_as_written) == (withdrawn.part, withdrawn.label)
    clamp = orders.BY_KEY["clamp-open"]
    assert part(clamp.part).revision("3").accepted
    assert clamp.revision_as_written == "2"


def test_one_gauge_is_out_of_calibration_and_one_proof_has_lapsed() -> None:
    assert [gauge.id for gauge in shop.GAUGES if gauge.due < shop.TODAY] == ["HGT-05"]
    last: dict[str, date] = {lot.part: readings.measured_on(lot) for lot in LOTS if counts.is_finished(lot)}
    making = [fact.number for fact in PARTS if fact.stage_on(shop.TODAY) == "production"]
    lapsed = [number for number in making if last[number] < shop.TODAY - timedelta(days=730)]
    assert lapsed == [orders.BY_KEY["ratchet-open"].part]
