"""What a record points at is read from its model: nothing is forgotten, its own name is no arrow, no file is missed."""

import json
import re

from hypothesis import HealthCheck, given, settings

from tests.builders import a_part, a_revision, some_settings, ulid
from tests.floor_builders import a_hold, a_load, a_lot, a_proof, an_operation, an_order
from tests.strategies import any_record
from vault.model.base import Record
from vault.model.decisions import HoldTarget
from vault.model.ids import Thing, is_allotted
from vault.records.codec import encode
from vault.records.references import Reference, files_of, own_name, references

_RANDOM = settings(
    deadline=None, max_examples=100, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)
_ULID = re.compile(r"[0-7][0-9A-HJKMNP-TV-Z]{25}")


def leaves(value: object) -> list[object]:
    if isinstance(value, dict):
        return [leaf for item in value.values() for leaf in leaves(item)]
    if isinstance(value, list):
        return [leaf for item in value for leaf in leaves(item)]
    return [value]


@_RANDOM
@given(record=any_record())
def test_every_id_in_a_record_is_an_arrow_or_its_own_name(record: Record) -> None:
    written = [leaf for leaf in leaves(json.loads(encode(record))) if isinstance(leaf, str)]
    ids = {text for text in written if _ULID.fullmatch(text) or (is_allotted(text) and text == text.strip().upper())}
    own = own_name(record)
    known = {reference.name for reference in references(record)} | ({own[1]} if own else set())
    assert ids <= known


@_RANDOM
@given(record=any_record())
def test_who_wrote_it_is_an_arrow_and_the_record_itself_is_none(record: Record) -> None:
    found = references(record)
    assert Reference("by", Thing.PERSON, record.by) in found
    own = own_name(record)
    assert all((reference.thing, reference.name) != own for reference in found if reference.field != "by")
    assert len(found) == len(set(found))


@_RANDOM
@given(record=any_record())
def test_every_file_that_is_named_is_found(record: Record) -> None:
    digests = set(re.findall(r'"ending": "([a-z0-9]+)"', encode(record).decode()))
    assert {kept.ending for kept in files_of(record)} == digests


def arrows(record: Record) -> set[tuple[str, str, str]]:
    return {(r.field, r.thing, r.name) for r in references(record)}


def test_the_arrows_of_a_lot_and_its_load() -> None:
    lot = a_lot("L-26A0002/1", order="O-26A0001", package="R-26A0001", parents=("L-26A0002",))
    assert arrows(lot) == {
        ("by", "person", "cleo"), ("part", "part", "BRK-204"), ("revision", "revision", ulid("rev C")),
        ("settings", "settings", ulid("settings S1")), ("order", "order", "O-26A0001"),
        ("package", "package", "R-26A0001"), ("blends", "powder blend", "M-26A0001"),
        ("box_runs", "box run", "K-26A0001"), ("parents", "lot", "L-26A0002"),
    }  # fmt: skip
    assert ("placed.lot", "lot", "L-26A0001") in arrows(a_load())
    assert ("load", "furnace load", "F-26A0001") in arrows(an_operation(load="F-26A0001"))
    assert ("measurements", "entry", ulid("measurement of L-26A0001 0")) in arrows(a_proof())
    assert ("target.lot", "lot", "L-26A0001") in arrows(a_hold(HoldTarget(lot="L-26A0001")))


def test_the_arrows_of_settings_reach_into_cycles_and_gauges() -> None:
    found = arrows(some_settings())
    assert {("debind.furnace", "furnace", "FUR-1"), ("inspection.gauge", "gauge", "CAL-3")} < found


def test_names_by_which_others_call_a_record() -> None:
    assert own_name(a_part()) == (Thing.PART, "BRK-204")
    assert own_name(a_revision()) == (Thing.REVISION, ulid("rev C"))
    assert own_name(an_order()) == (Thing.ORDER, "O-26A0001")
    assert own_name(a_proof()) == (Thing.ENTRY, ulid("proof"))
