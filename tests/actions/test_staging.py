"""Moving a part from prototype to ramp to production on what was recorded."""

from random import Random

import pytest

from tests.builders import PART, a_move, a_release, a_revision, ulid
from tests.floor_builders import LOT, a_lot, a_measurement, a_proof, some_readings
from tests.given import a_path, given, given_lot, given_makeable, given_part, given_revision, given_settings, reader_of
from vault.actions.lot_family import split_lot
from vault.actions.staging import NewStage, gate_so_far, stage
from vault.errors import NotAllowed, NotFound, Refused
from vault.model.findings import Code
from vault.model.settings import Inspect
from vault.model.words import Stage

UP = NewStage(Stage.PRODUCTION, "Monthly orders from April")


def given_measured_lots(vault, count=3, spread_mm=0.01, shift_mm=0.0, seed=7):
    """Write lots of ten measured pieces, each through a furnace load of its own."""
    random = Random(seed)
    for place in range(count):
        lot = f"L-26A{place + 1:04d}"
        given_lot(vault, lot, load_id=f"F-26A{place + 1:04d}")
        values = [30.0 + shift_mm * place + random.gauss(0, spread_mm) for _ in range(10)]
        given(vault, a_measurement(lot, *some_readings("1", *values)))


@pytest.fixture
def shop(vault):
    given_makeable(vault)
    given(vault, a_proof(), a_move(Stage.RAMP))
    return vault.as_person("quin")


def test_a_proven_revision_moves_to_ramp(vault):
    given_makeable(vault)
    given(vault, a_proof())
    recorded = stage(vault, PART, NewStage(Stage.RAMP, "First article passed"))
    move = recorded.entry
    assert (move.moved_from, move.moved_to, move.proof, move.way) == (
        Stage.PROTOTYPE,
        Stage.RAMP,
        ulid("proof"),
        "not needed",
    )
    assert reader_of(vault).part(PART).stage is Stage.RAMP


def test_three_even_lots_bring_a_part_into_production(shop):
    given_measured_lots(shop)
    move = stage(shop, PART, UP).entry
    assert (move.way, move.revision) == ("capability bound", ulid("rev C"))


def test_lots_that_differ_do_not_though_each_is_good(shop):
    given_measured_lots(shop, spread_mm=0.005, shift_mm=0.015)
    with pytest.raises(Refused, match=r"CAPABILITY_BELOW_GATE.*Ppk 1\.\d+ on 30 pieces of 3 lots, lower 95% bound 0\."):
        stage(shop, PART, UP)
    assert reader_of(shop).part(PART).stage is Stage.RAMP


def test_the_children_of_one_lot_count_as_one_lot(shop):
    given_lot(shop)
    for child in split_lot(shop, LOT, (10, 10, 10), "Shared out"):
        given(shop, a_measurement(child, *some_readings("1", *(30.0 + 0.001 * place for place in range(10)))))
    found = [finding.sentence for finding in gate_so_far(shop, PART, UP).findings]
    assert any(sentence.startswith("1 of 3 lots") for sentence in found)


def test_trial_lots_are_no_evidence_for_production(shop):
    given_measured_lots(shop, count=2)
    given(shop, a_lot("L-26A0009", production_representative=False))
    given(shop, a_measurement("L-26A0009", *some_readings("1", *(30.0 + 0.001 * place for place in range(10)))))
    found = [finding.sentence for finding in gate_so_far(shop, PART, UP).findings]
    assert any(sentence.startswith("20 of 30 measured pieces") for sentence in found)


def test_a_refused_move_lists_every_reason_at_once(vault):
    given_part(vault)
    given_revision(vault, released=False, accepted=False)
    with pytest.raises(Refused) as refusal:
        stage(vault, PART, NewStage(Stage.RAMP, "Now"))
    assert "NOT_RELEASED" in str(refusal.value)
    assert "NO_SETTINGS" in str(refusal.value)


def test_the_customers_sampling_plan_is_kept_as_evidence(vault):
    given_part(vault)
    given_revision(vault)
    line = Inspect(characteristics=("1",), how_many="sample", plan="c = 0, AQL 1.0", gauge="CAL-3")
    given_settings(vault, inspection=(line,))
    given(vault, a_proof(), a_move(Stage.RAMP))
    agreed = NewStage(Stage.PRODUCTION, "Agreed", sampling_plan=a_path(vault, "plan.pdf"))
    move = stage(vault.as_person("quin"), PART, agreed).entry
    assert (move.way, move.evidence.name) == ("customer's sampling plan", "plan.pdf")


def test_back_and_into_retirement_only_a_reason_is_asked(shop):
    assert stage(shop, PART, NewStage(Stage.PROTOTYPE, "Customer escape")).entry.moved_from is Stage.RAMP
    assert stage(shop, PART, NewStage(Stage.RETIRED, "Last buy done")).entry.moved_to is Stage.RETIRED
    with pytest.raises(Refused, match="STAGE_DOES_NOT_FOLLOW"):
        stage(shop, PART, NewStage(Stage.RAMP, "Back again"))


def test_the_gate_speaks_of_the_revision_asked_for(shop):
    given(shop, a_revision("D"), a_release("D"))
    found = gate_so_far(shop, PART, NewStage(Stage.PRODUCTION, "Now", label="D")).findings
    assert Code.NOT_ACCEPTED in [finding.code for finding in found]
    with pytest.raises(NotFound, match="no rev E"):
        gate_so_far(shop, PART, NewStage(Stage.PRODUCTION, "Now", label="E"))


def test_a_clerk_moves_nothing(shop):
    with pytest.raises(NotAllowed):
        stage(shop.as_person("cleo"), PART, UP)
