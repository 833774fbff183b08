"""A record goes out as bytes and comes back the same, and whatever is wrong with one is said with the field's name."""

import json
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.builders import a_file, a_part, a_revision
from tests.floor_builders import an_order
from tests.strategies import any_record, values
from vault.errors import BadInput, Damaged
from vault.model.base import Record
from vault.model.design import Revision
from vault.model.orders import Order
from vault.model.words import FileRole
from vault.records.codec import MAX_RECORD_BYTES, decode, decode_as, edited, encode, json_schema, make
from vault.records.kinds import ALL, BY_KIND, class_of

_SLOW_TO_DRAW = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])


def form_of(record: Record) -> dict[str, Any]:
    form = json.loads(encode(record))
    assert isinstance(form, dict)
    return form


@pytest.mark.parametrize("kind", ALL, ids=lambda kind: kind.KIND)
@settings(_SLOW_TO_DRAW, max_examples=6)
@given(data=st.data())
def test_every_kind_comes_back_as_it_went_out(kind: type[Record], data: st.DataObject) -> None:
    record = data.draw(values(kind))
    written = encode(record)
    again = decode(written)
    assert again == record
    assert type(again) is kind
    assert encode(again) == written


@settings(_SLOW_TO_DRAW, max_examples=60)
@given(record=any_record())
def test_a_record_is_readable_json_with_kind_and_schema_first(record: Record) -> None:
    data = encode(record)
    assert data.endswith(b"\n}\n")
    assert list(json.loads(data))[:4] == ["kind", "schema", "by", "at"]
    assert [*json.loads(data)][2:] == list(type(record).model_fields)


@settings(_SLOW_TO_DRAW, max_examples=60)
@given(record=any_record(), data=st.data())
def test_a_missing_field_is_named(record: Record, data: st.DataObject) -> None:
    form = form_of(record)
    required = [name for name, info in type(record).model_fields.items() if info.is_required()]
    gone = data.draw(st.sampled_from(required))
    del form[gone]
    with pytest.raises(Damaged, match=rf"{record.KIND}: .*\b{gone}: is missing"):
        decode(json.dumps(form).encode())


@settings(_SLOW_TO_DRAW, max_examples=60)
@given(record=any_record(), data=st.data())
def test_every_wrong_field_gives_a_sentence_that_names_it(record: Record, data: st.DataObject) -> None:
    form = form_of(record)
    broken = data.draw(st.sampled_from(list(type(record).model_fields)))
    form[broken] = {"no": "such thing"}
    with pytest.raises(Damaged) as raised:
        decode(json.dumps(form).encode())
    assert str(raised.value).startswith(f"{record.KIND}: ")
    assert f"{broken}" in str(raised.value)
    assert "pydantic" not in str(raised.value)


@settings(_SLOW_TO_DRAW, max_examples=40)
@given(record=any_record())
def test_a_field_that_nobody_knows_is_refused_by_name(record: Record) -> None:
    form = form_of(record) | {"colour": "green"}
    with pytest.raises(Damaged, match=f"{record.KIND}: colour: is no field of this record"):
        decode(json.dumps(form).encode())


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "not readable as a record"),
        (b"\xff", "not readable as a record"),
        (b"[" * 100_000, "not readable as a record"),
        (b"{}", "kind or schema is missing"),
        (b"[]", "kind or schema is missing"),
        (b'{"kind": "order", "schema": "1"}', "kind or schema is missing"),
        (b'{"kind": "order", "schema": true}', "kind or schema is missing"),
        (b'{"kind": "ship", "schema": 1}', "unknown kind 'ship'"),
        (b'{"kind": "order", "kind": "lot", "schema": 1}', "a field stands twice"),
        (b'{"kind": "order", "schema": 2}', "install a newer partstead"),
        (b" " * (MAX_RECORD_BYTES + 1), "too many for a record"),
    ],
)
def test_bytes_that_are_no_record_say_why(data: bytes, words: str) -> None:
    with pytest.raises(Damaged, match=words):
        decode(data)


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("quantity", 0, "order: quantity: 0 is out of range: should be greater than or equal to 1"),
        ("quantity", 2.5, "order: quantity: "),
        ("quantity", "28", "order: quantity: "),
        ("quantity", 29, "order: as a whole: the schedule adds up to 28 pieces, the line says 29"),
        ("po", " PO-1", "order: po: begins or ends with a space"),
        ("po", "PO\u202e1", "order: po: holds the hidden character U\\+202E; type it without"),
        ("po", "", "order: po: "),
        ("id", "O-26I0001", "order: id: 'O-26I0001' is not written as this field must be"),
        ("by", "Edda", "order: by: 'Edda' is not written as this field must be"),
        ("at", "2026-03-02T08:00:00", "order: at: "),
        ("at", "2026-03-02T08:00:00+01:00", "order: at: times are kept in UTC"),
        ("revision", "C", "order: revision: 'C' is not written as this field must be"),
        ("schedule", [], "order: schedule: "),
    ],
)
def test_a_wrong_value_is_answered_with_one_sentence(field: str, value: object, words: str) -> None:
    with pytest.raises(Damaged, match=words):
        decode(json.dumps(form_of(an_order()) | {field: value}).encode())


@pytest.mark.parametrize("number", ["NaN", "Infinity", "-Infinity", "1e999"])
def test_a_number_that_is_none_is_refused(number: str) -> None:
    data = encode(a_revision()).replace(b'"size_bytes": 23', f'"size_bytes": {number}'.encode())
    assert number.encode() in data
    with pytest.raises(Damaged, match="size_bytes"):
        decode(data)


def test_more_violations_than_fit_are_counted() -> None:
    with pytest.raises(BadInput, match="and [0-9]+ more"):
        make(Order)


def test_a_changed_card_is_checked_again() -> None:
    assert edited(a_part(), description="Bracket, right").description == "Bracket, right"
    with pytest.raises(BadInput, match="part: description: "):
        edited(a_part(), description="")


def test_a_record_of_another_kind_is_not_taken_for_the_one_asked_for() -> None:
    with pytest.raises(Damaged, match="a order where a revision was expected"):
        decode_as(Revision, encode(an_order()))


def test_a_record_that_is_too_large_is_split_by_a_person() -> None:
    documents = tuple(a_file(f"drawing-{number}.pdf", FileRole.DOCUMENT) for number in range(1300))
    with pytest.raises(BadInput, match="a record may take 200000; split it"):
        encode(a_revision(files=(a_file(), *documents)))


def test_every_kind_has_a_name_of_its_own_and_a_published_schema() -> None:
    assert len(BY_KIND) == len(ALL)
    assert class_of("order") is Order
    with pytest.raises(BadInput, match="no kind of record called 'ship'"):
        class_of("ship")


@settings(_SLOW_TO_DRAW, max_examples=60)
@given(record=any_record())
def test_the_published_schema_accepts_what_is_written(record: Record) -> None:
    jsonschema = pytest.importorskip("jsonschema")  # an independent reading of JSON Schema 2020-12
    jsonschema.Draft202012Validator(json_schema(type(record))).validate(form_of(record))
