"""Carry-over: requirements and shape are compared; the limits are common practice, without a source."""

import pytest

from tests.builders import a_change, a_history, a_policy, a_revision, made, some_requirements, ulid
from vault.model.base import Record
from vault.model.design import ChangedRevision, RequirementChange
from vault.model.shape import ShapeChange, ShapeVerdict
from vault.model.words import CarryVerdict
from vault.rules.carry_over import judge, judge_requirements, judge_shape
from vault.rules.history import PartHistory

LIMITS = a_policy().carry


def changed(label: str, since: str, change: ShapeChange) -> ChangedRevision:
    return made(
        ChangedRevision, {}, part="BRK-204", revision=ulid(f"rev {label}"), since=ulid(f"rev {since}"), shape=change
    )


def three_revisions(first: ShapeChange, second: ShapeChange, *more: Record) -> PartHistory:
    revisions = (a_revision("A"), a_revision("B"), a_revision("C"))
    return a_history(*revisions, changed("B", "A", first), changed("C", "B", second), *more)


def compared(label: str, *changes: RequirementChange) -> Record:
    return some_requirements(
        id=ulid(f"requirements {label}"), revision=ulid(f"rev {label}"), changes_since=changes, drawing_compared=True
    )


@pytest.mark.parametrize(
    ("change", "verdict"),
    [
        (a_change(verdict=ShapeVerdict.SAME), CarryVerdict.CARRIES),
        (a_change(verdict=ShapeVerdict.WITHIN_RESOLUTION), CarryVerdict.CARRIES),
        (a_change(0.04), CarryVerdict.DELTA_PROOF),  # small, but walls and sections were not compared
        (a_change(0.4), CarryVerdict.DELTA_PROOF),
        (a_change(0.51), CarryVerdict.PROVE_AGAIN),
        (a_change(0.04, volume_b_mm3=6130.0), CarryVerdict.PROVE_AGAIN),
        (a_change(0.04, size_b_mm=(30.0, 20.0, 10.3)), CarryVerdict.PROVE_AGAIN),
        (a_change(0.001, same_topology=False), CarryVerdict.PROVE_AGAIN),
    ],
)
def test_a_change_of_shape_is_judged_by_the_policy(change: ShapeChange, verdict: CarryVerdict) -> None:
    assert judge_shape(change, LIMITS).verdict is verdict


def test_a_deviation_that_one_direction_misses_still_counts() -> None:
    boss_added = a_change(0.0, max_b_to_a_mm=10.0)
    assert judge_shape(boss_added, LIMITS).verdict is CarryVerdict.PROVE_AGAIN


def test_without_the_drawing_at_best_a_delta_proof() -> None:
    carry = judge_requirements(None)
    assert carry.verdict is CarryVerdict.DELTA_PROOF
    assert "the drawing was not compared" in carry.reasons


@pytest.mark.parametrize(
    ("what", "verdict"),
    [
        ("limit loosened", CarryVerdict.CARRIES),
        ("limit tightened", CarryVerdict.DELTA_PROOF),
        ("finish", CarryVerdict.DELTA_PROOF),
        ("heat treatment", CarryVerdict.PROVE_AGAIN),
        ("material or condition", CarryVerdict.PROVE_AGAIN),
    ],
)
def test_a_requirement_that_changes_no_shape_is_not_carried_in_silence(what: str, verdict: CarryVerdict) -> None:
    change = RequirementChange.model_validate({"what": what, "words": "as the drawing says"})
    assert judge_requirements(some_requirements(changes_since=(change,))).verdict is verdict


def test_two_small_changes_are_judged_as_one_larger() -> None:
    history = three_revisions(a_change(0.3), a_change(0.3), compared("B"), compared("C"))
    assert judge(history, ulid("rev A"), ulid("rev C"), LIMITS).verdict is CarryVerdict.PROVE_AGAIN
    assert judge(history, ulid("rev B"), ulid("rev C"), LIMITS).verdict is CarryVerdict.DELTA_PROOF


def test_a_revision_between_whose_drawing_nobody_compared_spoils_the_carry() -> None:
    same = a_change(0.0, verdict=ShapeVerdict.SAME)
    all_compared = three_revisions(same, same, compared("B"), compared("C"))
    one_missing = three_revisions(same, same, compared("C"))
    assert judge(all_compared, ulid("rev A"), ulid("rev C"), LIMITS).verdict is CarryVerdict.CARRIES
    assert judge(one_missing, ulid("rev A"), ulid("rev C"), LIMITS).verdict is CarryVerdict.DELTA_PROOF


def test_going_back_to_an_older_revision_is_proven_again() -> None:
    history = three_revisions(a_change(0.0), a_change(0.0))
    carry = judge(history, ulid("rev C"), ulid("rev A"), LIMITS)
    assert carry.verdict is CarryVerdict.PROVE_AGAIN
    assert "no measured change leads from rev C to rev A" in carry.reasons[0]
