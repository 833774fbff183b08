"""Proving settings on lots, from what was recorded on them."""

from datetime import date

import pytest

from tests.builders import GAUGE, PART, a_customer, a_gauge, a_move, made, ulid
from tests.fakes import MORNING
from tests.floor_builders import LOAD, LOT, a_density, a_hold, a_lot, a_measurement, a_nonconformance, some_readings
from tests.given import a_path, given, given_lot, given_makeable, reader_of
from vault.actions.proving import NewProof, judged_so_far, prove
from vault.errors import BadInput, NotAllowed, NotFound, Refused
from vault.model.decisions import HoldTarget
from vault.model.findings import Code
from vault.model.floor import LoadFinish
from vault.model.words import Answer, ArticleState, Stage

ON_LOT = NewProof((LOT,))


@pytest.fixture
def shop(vault):
    given_makeable(vault)
    given_lot(vault)
    finish = made(LoadFinish, {}, id=ulid("end"), load=LOAD, finished_at=MORNING, as_run="as the cycle")
    given(vault, finish, a_measurement(LOT, densities=(a_density(),)))
    return vault.as_person("quin")


def test_a_good_lot_proves_its_settings(shop):
    recorded = prove(shop, "brk-204", "c", "s1", ON_LOT)
    proof = recorded.entry
    assert (proof.state, proof.density_passes, recorded.findings) == (ArticleState.COMPLETE, True, ())
    assert (proof.loads, proof.site, proof.machine_firmware) == ((LOAD,), "Hall 1", "4.1")
    assert (proof.last_operation_on, proof.production_representative) == (date(2026, 3, 2), True)
    assert reader_of(shop).part(PART).proofs == (proof,)


def test_what_would_be_recorded_is_shown_without_recording_it(shop):
    before = shop.store.head()
    judgement = judged_so_far(shop, PART, "C", "S1", ON_LOT)
    assert (judgement.state, shop.store.head()) == (ArticleState.COMPLETE, before)


def test_a_lot_that_fails_is_recorded_as_not_complete(shop):
    given(shop, a_measurement(LOT, *some_readings("1", 31.0, start=4)))
    recorded = prove(shop, PART, "C", "S1", ON_LOT)
    assert recorded.entry.state is ArticleState.NOT_COMPLETE
    assert [finding.code for finding in recorded.findings] == [Code.CHARACTERISTIC_FAILS]
    assert (recorded.entry.judged[0].highest, recorded.entry.judged[0].outside) == (31.0, 1)


def test_an_open_nonconformance_and_a_hold_upstream_leave_it_not_complete(shop):
    given(shop, a_nonconformance(), a_hold(HoldTarget(blend="M-26A0001")))
    recorded = prove(shop, PART, "C", "S1", ON_LOT)
    assert recorded.entry.open_nonconformances == ("N-26A0001",)
    assert [finding.code for finding in recorded.findings] == [Code.ON_HOLD, Code.NONCONFORMANCE_OPEN]


def test_a_gauge_out_of_calibration_proves_nothing(shop):
    given(shop, a_gauge(id=GAUGE, calibration_due=date(2026, 3, 1)))
    with pytest.raises(Refused, match="GAUGE_OUT_OF_CALIBRATION"):
        prove(shop, PART, "C", "S1", ON_LOT)


@pytest.mark.parametrize(
    ("other", "reason"),
    [
        ({"part": "OTHER-1"}, "is of part OTHER-1"),
        ({"revision": ulid("rev B")}, "not of rev C"),
        ({"settings": ulid("settings S2")}, "was not made with settings S1"),
    ],
)
def test_a_lot_of_something_else_proves_nothing(shop, other, reason):
    given(shop, a_lot("L-26A0009", **other))
    with pytest.raises(Refused, match=reason):
        prove(shop, PART, "C", "S1", NewProof((LOT, "L-26A0009")))


def test_a_lot_on_which_nothing_was_measured_proves_nothing(shop):
    given(shop, a_lot("L-26A0009"))
    with pytest.raises(Refused, match="nothing was measured"):
        prove(shop, PART, "C", "S1", NewProof(("L-26A0009",)))


def test_a_partial_first_article_stands_on_its_baseline(shop, clock):
    baseline = prove(shop, PART, "C", "S1", ON_LOT).entry
    clock.advance(days=1)
    given(shop, a_lot("L-26A0009"), a_measurement("L-26A0009", *some_readings("1", 30.0)))
    partial = NewProof(("L-26A0009",), "partial", baseline.id, "Nozzle changed", ("1",))
    proof = prove(shop, PART, "C", "S1", partial).entry
    assert [verdict.characteristic for verdict in proof.judged] == ["1"]
    assert (proof.state, proof.density_passes) == (ArticleState.COMPLETE, True)


def test_a_partial_names_its_baseline_and_known_characteristics(shop):
    with pytest.raises(BadInput, match="a partial first article names its baseline"):
        prove(shop, PART, "C", "S1", NewProof((LOT,), "partial"))
    with pytest.raises(BadInput, match="no characteristic 9"):
        prove(shop, PART, "C", "S1", NewProof((LOT,), "partial", ulid("proof"), "Nozzle changed", ("9",)))
    with pytest.raises(NotFound, match="has no proof"):
        prove(shop, PART, "C", "S1", NewProof((LOT,), "partial", ulid("proof"), "Nozzle changed", ("1",)))


def test_the_customers_approval_is_asked_for_and_kept(shop):
    given(shop, a_customer(first_article_approval=Answer.YES))
    assert [f.code for f in judged_so_far(shop, PART, "C", "S1", ON_LOT).findings] == [Code.CUSTOMER_APPROVAL_MISSING]
    recorded = prove(shop, PART, "C", "S1", NewProof((LOT,), customer_approval=a_path(shop, "approval.pdf")))
    assert (recorded.entry.customer_approval.name, recorded.findings) == ("approval.pdf", ())


def test_in_production_one_person_does_not_record_release_and_prove(shop):
    given(shop, a_move(Stage.PRODUCTION))
    with pytest.raises(Refused, match="TWO_PERSONS"):
        prove(shop.as_person("edda"), PART, "C", "S1", ON_LOT)
    assert prove(shop, PART, "C", "S1", ON_LOT).entry.by == "quin"


def test_a_clerk_proves_nothing(shop):
    with pytest.raises(NotAllowed, match="who can: .*quin"):
        prove(shop.as_person("cleo"), PART, "C", "S1", ON_LOT)


def test_a_proof_names_lots_and_settings_that_are_recorded(shop):
    with pytest.raises(NotFound, match="L-26A0077"):
        prove(shop, PART, "C", "S1", NewProof(("L-26A0077",)))
    with pytest.raises(NotFound, match="no settings S7"):
        prove(shop, PART, "C", "S7", ON_LOT)
    with pytest.raises(BadInput, match="names the lots"):
        prove(shop, PART, "C", "S1", NewProof(()))
