"""One person alone does not record, release and prove in production."""

from datetime import date

import pytest

from tests.builders import a_person, a_policy
from vault.model.findings import Code
from vault.model.words import Role, Stage
from vault.rules.two_persons import able_persons, two_persons_findings

ABLE = ("edda", "quin")


def found(policy=None, stage=Stage.PRODUCTION, able=ABLE, by=("edda", "edda", "edda")):
    return [finding.code for finding in two_persons_findings(policy or a_policy(), stage, able, *by)]


def test_one_person_alone_is_stopped_in_production():
    assert found() == [Code.TWO_PERSONS]


@pytest.mark.parametrize(
    "by", [("quin", "edda", "edda"), ("edda", "quin", "edda"), ("edda", "edda", "quin"), ("edda", None, "edda")]
)
def test_a_second_person_anywhere_is_enough(by):
    assert found(by=by) == []


def test_before_anybody_proved_nobody_was_alone():
    assert found(by=("edda", "edda", None)) == []


def test_prototypes_a_shop_of_one_and_a_policy_without_it_are_free():
    assert found(stage=Stage.RAMP) == []
    assert found(able=("edda",)) == []
    assert found(policy=a_policy(two_persons_from_production=False)) == []


def test_engineers_and_quality_who_are_still_here_are_able():
    people = (
        a_person("edda", Role.ENGINEER),
        a_person("quin", Role.QUALITY, Role.CLERK),
        a_person("cleo", Role.CLERK),
        a_person("olaf", Role.ENGINEER, left_on=date(2026, 3, 1)),
    )
    assert able_persons(people, date(2026, 3, 2)) == ("edda", "quin")
    assert able_persons(people, date(2026, 3, 1)) == ("edda", "quin", "olaf")
