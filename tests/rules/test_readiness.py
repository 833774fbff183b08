"""Readiness: every finding has facts that raise it, and facts that differ in one thing and do not."""

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.builders import (
    a_box,
    a_change,
    a_file,
    a_gauge,
    a_history,
    a_machine,
    a_material,
    a_move,
    a_part,
    a_policy,
    a_release,
    a_revision,
    a_shape,
    an_acceptance,
    made,
    some_evidence,
    some_requirements,
    some_settings,
    ulid,
)
from tests.floor_builders import a_hold, a_nonconformance, a_proof, a_review
from vault.model import decisions, design
from vault.model.base import Record
from vault.model.cards import GaugeStudy
from vault.model.findings import Code, Finding
from vault.model.floor import EquipmentEvent
from vault.model.orientation import Orientation
from vault.model.settings import NearNet
from vault.model.shape import ShapeVerdict, Topology
from vault.model.words import (
    Answer,
    ArticleState,
    ControlStatus,
    Criticality,
    FileRole,
    ServiceEffect,
    Severity,
    Stage,
)
from vault.rules import readiness
from vault.rules.facts import Facts, KeptPieces, OrderFacts, PoFacts
from vault.rules.labels import read_po_label
from vault.rules.readiness import Verdict, judge_readiness

TODAY = date(2026, 3, 2)
PO = PoFacts(read_po_label("C"), first_due=TODAY + timedelta(days=30))


def measured(label: str = "C", **given: Any) -> Record:
    shape = a_shape(**given)
    return made(design.MeasuredRevision, {}, part="BRK-204", revision=ulid(f"rev {label}"), shape=shape)


def records(stage: Stage = Stage.RAMP) -> tuple[Record, ...]:
    """Rev C of a part in ramp, released, accepted, with requirements, settings and a proof."""
    return (
        a_revision("C"), measured(), a_release("C"), an_acceptance("C"), some_requirements(), some_settings("S1"),
        a_proof(), a_move(stage),
    )  # fmt: skip


def facts(*more: Record, without: tuple[type[Record], ...] = (), stage: Stage = Stage.RAMP, **given: Any) -> Facts:
    """Facts of a part that is ready; what is given differs."""
    card = given.pop("card", a_part())
    kept = tuple(record for record in records(stage) if not isinstance(record, without))
    history = a_history(*kept, *more, card=card)
    usual: dict[str, Any] = {
        "history": history,
        "policy": a_policy(),
        "today": TODAY,
        "asked": history.revision(ulid("rev C")),
        "quantity": 200,
        "po": PO,
        "settings": history.settings[0] if history.settings else None,
        "material": a_material(),
        "machine": a_machine(),
        "boxes": (a_box(),),
        "gauges": {"CAL-3": a_gauge()},
    }
    return Facts(**{**usual, **given})


def codes(judged: Facts, severity: Severity | None = None) -> set[Code]:
    found = judge_readiness(judged).findings
    return {finding.code for finding in found if severity is None or finding.severity is severity}


def other(label: str, **given: Any) -> tuple[Record, ...]:
    return (a_revision(label, **given), measured(label))


def event(effect: ServiceEffect, **given: Any) -> EquipmentEvent:
    usual = {"id": ulid("event"), "machine": "PRN-1", "what": "new print head", "happened_on": date(2026, 3, 1)}
    return made(EquipmentEvent, {**usual, **given}, effect=effect)


def near_net(**given: Any) -> NearNet:
    file = a_file("near.stl", FileRole.NEAR_NET)
    usual: dict[str, Any] = {
        "file": file, "measured": a_shape(file_sha256=file.sha256), "made_from": ulid("rev C"),
        "made_from_sha256": a_revision("C").design.sha256, "holds_machining_stock": Answer.NO,
        "holds_distortion": Answer.YES, "holds_shrinkage_scale": Answer.NO,
    }  # fmt: skip
    return NearNet(**{**usual, **given})


def with_near_net(**given: Any) -> Facts:
    settings = some_settings("S1", near_net=near_net(**given))
    return replace(facts(), settings=settings)


def on_edge() -> Facts:
    """Settings S2 print on edge what S1 proved lying flat."""
    edge = some_settings("S2", print_orientation=Orientation.named("+y+z+x"))
    return replace(facts(edge), settings=edge)


def permit(**given: Any) -> decisions.Permit:
    fields = {"reference": "NF-P-7", "granted_by": "P. Holm", "granted_on": date(2026, 2, 1), "words": "edge break 0.4"}
    usual: dict[str, Any] = {"quantity": 100, "evidence": some_evidence()}
    permission = decisions.Permission(**{**fields, **usual, **given})
    return made(decisions.Permit, {}, id=ulid("permit"), part="BRK-204", revision=ulid("rev C"), permission=permission)


def an_order_with(**given: Any) -> OrderFacts:
    usual: dict[str, Any] = {"order_id": "O-26A0042", "revision": ulid("rev C"), "review": a_review()}
    return OrderFacts(**{**usual, **given})


def carried() -> Facts:
    same = a_change(0.0, verdict=ShapeVerdict.SAME)
    changed = made(design.ChangedRevision, {}, part="BRK-204", revision=ulid("rev C"), since=ulid("rev B"), shape=same)
    proof = a_proof(revision=ulid("rev B"))
    return facts(a_revision("B", at=a_revision().at - timedelta(days=9)), changed, proof, without=(type(proof),))


def older_ordered(document: bool) -> Facts:
    """Rev C is ordered while rev D is released and accepted."""
    newer = (*other("D", at=a_revision().at + timedelta(hours=1)), a_release("D"), an_acceptance("D"))
    return facts(*newer, po=replace(PO, older_revision_document=document))


CLASH = other("C", id=ulid("rev C again"), files=(a_file("another.stl"),), at=a_revision().at + timedelta(hours=1))
KEPT = KeptPieces("L-26A0001", ulid("rev C"), ulid("settings S1"), 12, "shelf 4")
OPEN = Topology(triangles=11, vertices=8, shells=1, closed=False, winding_consistent=True, euler_number=1)
LONG_AGO = timedelta(days=731)

STOPS: dict[Code, Callable[[], Facts]] = {
    Code.REVISION_UNKNOWN: lambda: facts(asked=None, asked_label="Z", po=None),
    Code.NO_REVISION: lambda: facts(without=(design.Revision,), asked=None, po=None),
    Code.NOT_RELEASED: lambda: facts(without=(decisions.Release,)),
    Code.NOT_ACCEPTED: lambda: facts(without=(decisions.Acceptance,)),
    Code.ACCEPTANCE_USED_UP: lambda: facts(
        an_acceptance("C", quantity=500), without=(decisions.Acceptance,), acceptance_used=301),
    Code.WITHDRAWN: lambda: facts(
        made(decisions.Withdrawal, {}, id=ulid("w"), part="BRK-204", revision=ulid("rev C"),
             withdraws=ulid("release C"), what="release", reason="crack found")),
    Code.PO_NAMES_NO_REVISION: lambda: facts(po=replace(PO, written=read_po_label("latest"))),
    Code.PO_REVISION_DIFFERS: lambda: facts(*other("B"), po=replace(PO, written=read_po_label("B"))),
    Code.PO_OLDER_REVISION: lambda: older_ordered(document=False),
    Code.PO_DASH_NOT_CONFIRMED: lambda: facts(po=replace(PO, written=read_po_label("N/C"))),
    Code.SAME_LABEL_OTHER_FILE: lambda: facts(*CLASH),
    Code.MODEL_AND_DRAWING_DISAGREE: lambda: facts(a_revision("C", drawing_revision="B"), without=(design.Revision,)),
    Code.REQUIREMENTS_MISSING: lambda: facts(without=(design.Requirements,)),
    Code.FILE_MISSING: lambda: facts(missing_files=("bracket-C.stl",)),
    Code.SHAPE_NOT_MEASURED: lambda: facts(without=(design.MeasuredRevision,)),
    Code.SHAPE_OPEN: lambda: facts(measured(volume_mm3=-6000.0), without=(design.MeasuredRevision,)),
    Code.TOO_BIG_FOR_EVERY_BOX: lambda: facts(measured(size_mm=(300.0, 20.0, 10.0))),
    Code.NO_SETTINGS: lambda: replace(facts(), settings=None),
    Code.NEVER_PROVEN: lambda: facts(without=(type(a_proof()),)),
    Code.PROOF_OF_OTHER_REVISION: lambda: facts(
        a_revision("B"), a_proof(revision=ulid("rev B")), without=(type(a_proof()),)),
    Code.PROOF_LAPSED: lambda: facts(a_proof(last_operation_on=TODAY - LONG_AGO), without=(type(a_proof()),)),
    Code.PROOF_NOT_COMPLETE: lambda: facts(a_proof(state=ArticleState.NOT_COMPLETE), without=(type(a_proof()),)),
    Code.EQUIPMENT_CHANGED: lambda: facts(
        a_proof(last_operation_on=date(2026, 2, 1)), without=(type(a_proof()),),
        events=(event(ServiceEffect.AFFECTS_QUALITY),)),
    Code.SPECIFICATION_CHANGED: lambda: facts(machine=a_machine(firmware="4.2")),
    Code.ORIENTATION_NOT_PROVEN: on_edge,
    Code.NEAR_NET_OF_OTHER_REVISION: lambda: with_near_net(made_from_sha256="0" * 64),
    Code.SCALED_TWICE: lambda: with_near_net(holds_shrinkage_scale=Answer.YES),
    Code.COMPENSATION_NOT_STATED: lambda: with_near_net(holds_distortion=Answer.NOT_STATED),
    Code.GAUGE_STUDY_MISSING: lambda: facts(stage=Stage.PRODUCTION, gauges={"CAL-3": a_gauge(study=None)}),
    Code.DENSITY_BELOW_GATE: lambda: facts(a_proof(density_passes=False), without=(type(a_proof()),)),
    Code.DENSITY_NOT_MEASURED: lambda: facts(a_proof(density_passes=None), without=(type(a_proof()),)),
    Code.NOT_PRODUCTION_RUN: lambda: facts(a_proof(production_representative=False), without=(type(a_proof()),)),
    Code.ON_HOLD: lambda: facts(a_hold(decisions.HoldTarget(part="BRK-204"))),
    Code.CONTROL_NOT_CLASSIFIED: lambda: facts(card=a_part(control=design_control(ControlStatus.NOT_CLASSIFIED))),
    Code.CRITICALITY_NOT_SET: lambda: facts(card=a_part(criticality=Criticality.NOT_SET)),
    Code.REACTIVE_POWDER: lambda: facts(material=a_material(reactive=Answer.NOT_STATED)),
    Code.MACHINE_RETIRED: lambda: facts(machine=a_machine(retired=True)),
    Code.RETIRED: lambda: facts(stage=Stage.RETIRED),
    Code.LIVE_PACKAGE: lambda: facts(order=an_order_with(live_packages=("R-26A0007",))),
    Code.REVIEW_MISSING: lambda: facts(order=an_order_with(review=None)),
    Code.REVIEW_NOT_CLEAR: lambda: facts(order=an_order_with(review=a_review(open_points=("price",)))),
    Code.ORDER_VOID: lambda: facts(order=an_order_with(is_void=True)),
}  # fmt: skip
"""For each code that stops: facts that raise it."""

CAUTIONS: dict[Code, Callable[[], Facts]] = {
    Code.ACCEPTANCE_CONDITIONS: lambda: facts(
        an_acceptance("C", conditions="first 50 only in grey"), without=(decisions.Acceptance,)),
    Code.PO_OLDER_REVISION: lambda: older_ordered(document=True),
    Code.NEWER_NOT_RELEASED: lambda: facts(*other("D", at=a_revision().at + timedelta(hours=1))),
    Code.NEWER_REVISION: lambda: replace(older_ordered(document=True), po=None),
    Code.UNIT_GUESSED: lambda: facts(
        measured(unit_basis="guessed: mm from its size"), without=(design.MeasuredRevision,)),
    Code.PROOF_CARRIED: carried,
    Code.GAUGE_OUT_OF_CALIBRATION: lambda: facts(gauges={"CAL-3": a_gauge(calibration_due=TODAY - timedelta(days=1))}),
    Code.CONCESSION_USED_UP: lambda: facts(permit(), permission_used={ulid("permit"): 100}),
    Code.CONCESSION_IN_FORCE: lambda: facts(permit(), permission_used={ulid("permit"): 99}),
    Code.NONCONFORMANCE_OPEN: lambda: facts(open_nonconformances=(a_nonconformance(),)),
    Code.CONTROLLED: lambda: facts(card=a_part(control=design_control(ControlStatus.CONTROLLED))),
    Code.DUE_DATE_PAST: lambda: facts(po=replace(PO, first_due=TODAY - timedelta(days=1))),
    Code.NOT_ACCEPTED: lambda: facts(without=(decisions.Acceptance,), stage=Stage.PROTOTYPE),
    Code.NEVER_PROVEN: lambda: facts(without=(type(a_proof()),), stage=Stage.PROTOTYPE),
}  # fmt: skip

NOTES: dict[Code, Callable[[], Facts]] = {
    Code.LABEL_OUT_OF_SCHEME: lambda: facts_of_label("Q7"),
    Code.WALLS_NOT_CHECKED: facts,
    Code.SURPLUS_KEPT: lambda: facts(
        kept=(KeptPieces("L-26A0001", ulid("rev C"), ulid("settings S1"), 12, "shelf 4"),)
    ),
    Code.DEMO_SETTINGS: lambda: replace(facts(), settings=some_settings("S1", invented_for_demo=True)),
}


def design_control(status: ControlStatus) -> Any:
    return a_part().control.model_copy(update={"status": status})


def facts_of_label(label: str) -> Facts:
    odd = a_revision(label, id=ulid("rev C"))
    return replace(facts(), asked=odd, history=a_history(odd, *records()[1:]), po=None)


def test_a_released_accepted_and_proven_part_is_ready() -> None:
    judged = judge_readiness(facts())
    assert judged.verdict is Verdict.READY
    assert codes(facts()) == {Code.WALLS_NOT_CHECKED}


@pytest.mark.parametrize("code", STOPS)
def test_this_stops(code: Code) -> None:
    judged = STOPS[code]()
    assert code in codes(judged, Severity.STOP)
    assert judge_readiness(judged).verdict is Verdict.STOP
    assert code not in codes(facts())


@pytest.mark.parametrize("code", CAUTIONS)
def test_this_is_a_caution(code: Code) -> None:
    assert code in codes(CAUTIONS[code](), Severity.CAUTION)
    assert code not in codes(facts())


@pytest.mark.parametrize("code", NOTES)
def test_this_is_noted(code: Code) -> None:
    assert code in codes(NOTES[code](), Severity.NOTE)


def test_every_code_that_readiness_can_raise_is_raised_above() -> None:
    sources = Path(readiness.__file__).parent.glob("readiness_*.py")
    named = {Code(name) for source in sources for name in re.findall(r"Code\.([A-Z_]+)", source.read_text("utf-8"))}
    assert named == {*STOPS, *CAUTIONS, *NOTES, Code.CHARACTERISTIC_FAILS}


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ((), "is recorded since 2026-03-02 and not released"),
        ((a_release("D"),), "released on 2026-03-02 and not accepted yet"),
        ((a_release("D"), an_acceptance("D")), "released on 2026-03-02 and accepted on 2026-03-02"),
    ],
)
def test_a_newer_revision_is_told_with_how_far_it_came(said: tuple[Record, ...], words: str) -> None:
    judged = facts(*other("D", at=a_revision().at + timedelta(hours=1)), *said, po=None)
    (told,) = [found for found in judge_readiness(judged).findings if "rev D" in found.sentence]
    assert words in told.sentence
    assert told.severity is Severity.CAUTION


def test_the_newest_proof_counts_and_not_the_best() -> None:
    failed = a_proof(id=ulid("later proof"), state=ArticleState.NOT_COMPLETE, at=a_proof().at + timedelta(hours=1))
    assert Code.PROOF_NOT_COMPLETE in codes(facts(failed), Severity.STOP)
    passed = a_proof(id=ulid("third proof"), at=failed.at + timedelta(hours=1))
    assert Code.PROOF_NOT_COMPLETE not in codes(facts(failed, passed))


def test_a_failed_proof_of_this_revision_is_not_hidden_by_a_good_one_of_the_revision_before() -> None:
    failed = a_proof(id=ulid("later proof"), state=ArticleState.NOT_COMPLETE)
    judged = carried()
    history = replace(judged.history, proofs=(*judged.history.proofs, failed))
    assert Code.PROOF_NOT_COMPLETE in codes(replace(judged, history=history), Severity.STOP)


def test_a_near_net_shape_is_what_must_fit_into_the_box_and_be_closed() -> None:
    file = a_file("near.stl", FileRole.NEAR_NET)
    assert Code.TOO_BIG_FOR_EVERY_BOX not in codes(with_near_net())
    big = with_near_net(measured=a_shape((300.0, 20.0, 10.0), file_sha256=file.sha256))
    assert Code.TOO_BIG_FOR_EVERY_BOX in codes(big, Severity.STOP)
    opened = with_near_net(measured=a_shape(topology=OPEN, file_sha256=file.sha256))
    assert Code.SHAPE_OPEN in codes(opened, Severity.STOP)


def test_a_hold_on_one_revision_is_lifted_from_that_revision() -> None:
    held = facts(a_hold(decisions.HoldTarget(part="BRK-204", revision=ulid("rev C"))))
    commands = [found.next_command for found in judge_readiness(held).findings if found.code is Code.ON_HOLD]
    assert commands == ["partstead lift BRK-204@C --because REASON"]


def test_an_order_that_waited_for_its_revision_names_it_by_an_amendment() -> None:
    found = judge_readiness(facts(order=an_order_with(revision=None))).findings
    (told,) = [finding for finding in found if finding.code is Code.PO_NAMES_NO_REVISION]
    assert told.next_command == "partstead order amend O-26A0042 --because REASON"
    assert Code.PO_REVISION_DIFFERS in codes(facts(order=an_order_with(revision=ulid("rev B"))), Severity.STOP)


def test_a_recorded_order_is_amended_where_a_person_must_say_more_about_its_po() -> None:
    dash = facts(po=replace(PO, written=read_po_label("N/C")), order=an_order_with())
    commands = {finding.code: finding.next_command for finding in judge_readiness(dash).findings}
    amend = "partstead order amend O-26A0042 --confirm-first-issue --because REASON"
    assert commands[Code.PO_DASH_NOT_CONFIRMED] == amend
    older = replace(older_ordered(document=False), order=an_order_with())
    commands = {finding.code: finding.next_command for finding in judge_readiness(older).findings}
    amend = "partstead order amend O-26A0042 --older-revision FILE --because REASON"
    assert commands[Code.PO_OLDER_REVISION] == amend


def test_a_review_made_before_an_amendment_is_made_again() -> None:
    amended = an_order_with(amended_at=a_review().at + timedelta(hours=1))
    assert Code.REVIEW_MISSING in codes(facts(order=amended), Severity.STOP)
    assert Code.REVIEW_MISSING not in codes(facts(order=an_order_with(amended_at=a_review().at)))


def test_every_stop_says_who_can_clear_it() -> None:
    def of(judged: Facts) -> tuple[Finding, ...]:
        return judge_readiness(judged).findings

    unnamed = [f.code for make in STOPS.values() for f in of(make()) if f.severity is Severity.STOP and not f.who]
    assert unnamed == []


def test_a_reading_outside_its_limits_is_named() -> None:
    judged = a_proof().judged[0].model_copy(update={"outside": 2, "passes": False})
    found = judge_readiness(facts(a_proof(judged=(judged,)), without=(type(a_proof()),))).findings
    assert any(f.code is Code.CHARACTERISTIC_FAILS and "2 of" in f.sentence for f in found)


def test_routine_service_stops_nothing() -> None:
    proof = a_proof(last_operation_on=date(2026, 2, 1))
    judged = facts(proof, without=(type(proof),), events=(event(ServiceEffect.ROUTINE),))
    assert Code.EQUIPMENT_CHANGED not in codes(judged)


def test_parts_made_within_two_years_keep_their_proof() -> None:
    proof = a_proof(last_operation_on=TODAY - LONG_AGO)
    judged = facts(proof, without=(type(proof),), last_made_on=TODAY - timedelta(days=30))
    assert Code.PROOF_LAPSED not in codes(judged)


def test_a_safety_critical_part_carries_no_proof_without_quality() -> None:
    judged = replace(carried(), history=replace(carried().history, card=a_part(criticality=Criticality.FLIGHT)))
    assert Code.PROOF_OF_OTHER_REVISION in codes(judged, Severity.STOP)


def test_a_written_answer_settles_which_file_has_the_label() -> None:
    answer = made(
        decisions.LabelAnswer, {}, id=ulid("answer"), part="BRK-204", label="C", revision=ulid("rev C"),
        answered_by="P. Holm", answered_on=TODAY, evidence=some_evidence(), at=a_revision().at + timedelta(hours=2),
    )  # fmt: skip
    assert Code.SAME_LABEL_OTHER_FILE not in codes(facts(*CLASH, answer))


def test_a_gauge_that_uses_up_too_much_of_a_key_tolerance_stops_in_production() -> None:
    weak = {"CAL-3": a_gauge(study=GaugeStudy(percent_of_tolerance=45.0, studied_on=date(2026, 1, 10)))}
    assert Code.GAUGE_STUDY_MISSING in codes(facts(stage=Stage.PRODUCTION, gauges=weak), Severity.STOP)
    assert Code.GAUGE_STUDY_MISSING in codes(facts(gauges=weak), Severity.CAUTION)


def test_an_event_on_the_day_of_the_last_operation_is_not_covered_by_the_proof() -> None:
    proof = a_proof(last_operation_on=date(2026, 3, 1))
    judged = facts(proof, without=(type(proof),), events=(event(ServiceEffect.AFFECTS_QUALITY),))
    assert Code.EQUIPMENT_CHANGED in codes(judged)
