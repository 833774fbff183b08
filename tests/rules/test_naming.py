"""Every kind of record has a name and a line in the trade's words, with labels in place of inner ids."""

import re

import pytest
from hypothesis import HealthCheck, given, settings

from tests.builders import a_part, a_release, a_revision, some_settings, ulid
from tests.floor_builders import a_blend, a_hold, a_lot, a_measurement, a_proof, an_operation, an_order
from tests.strategies import any_record
from vault.model.base import Record
from vault.model.decisions import HoldTarget
from vault.records.kinds import ALL
from vault.rules.naming import line_of, name_of, noun_of

LABELS = {ulid("rev C"): "C", ulid("settings S1"): "S1"}


@pytest.mark.parametrize(
    ("record", "line"),
    [
        (a_part(), "part BRK-204: Bracket, left, NORTHFELL NF-7781, 17-4PH"),
        (a_revision(), "BRK-204 rev C: 2026-03-02, The customer's new issue"),
        (a_release(), "release of BRK-204 rev C: 2026-03-02"),
        (some_settings(), "BRK-204 settings S1: for rev C on PRN-1, 17-4PH"),
        (a_lot(), "lot L-26A0001: 30 pieces of BRK-204 rev C"),
        (an_order(), "order O-26A0001: 28 pieces of BRK-204 rev C, PO PO-9001 line 10, due 2026-04-01"),
        (a_blend(), "powder blend M-26A0001: 40.000 kg of 17-4PH, reused 0 times"),
        (an_operation(), "operation of L-26A0001: sinter, 2026-03-02: 30 in, 30 on"),
        (a_measurement(), "measurement of L-26A0001: 2026-03-02, finished, gauge CAL-3"),
        (a_proof(), "proof of BRK-204 rev C: settings S1 on L-26A0001, complete"),
        (a_hold(HoldTarget(blend="M-26A0001")), "hold of M-26A0001: 2026-03-02, Chart shows a cold spot"),
    ],
    ids=lambda value: value.KIND if isinstance(value, Record) else None,
)
def test_a_line_says_what_it_is(record: Record, line: str) -> None:
    assert line_of(record, LABELS) == line
    assert line.startswith(name_of(record, LABELS))


@settings(deadline=None, max_examples=100, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(record=any_record())
def test_every_record_has_a_name_and_a_line(record: Record) -> None:
    name = name_of(record, {})
    assert name
    assert "register" not in name or record.KIND == "register"
    assert line_of(record, {}).startswith(name)


def test_no_kind_is_called_by_its_inner_name() -> None:
    for kind in ALL:
        assert re.fullmatch(r"[a-z' ]+", noun_of(kind.KIND).replace("carry-over", "carry over")), kind.KIND
