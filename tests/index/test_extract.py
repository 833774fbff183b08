"""The index reads a record's JSON without checking it in full, and sees in it what the full reading sees."""

import json
import typing
from datetime import UTC, date, datetime
from enum import StrEnum
from itertools import count
from typing import Annotated, Any, Literal, get_args, get_origin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.index.records import a_part, a_small_shop, an_order
from vault.errors import Damaged
from vault.index.arrows import arrows_of, name_of, plan_of
from vault.index.described import ABOUT
from vault.index.extract import extract, is_record
from vault.index.folding import plain, squashed
from vault.model.base import Record, Value
from vault.model.ids import Thing, folded
from vault.records.codec import decode, encode
from vault.records.kinds import ALL
from vault.records.paths import path_of
from vault.records.references import own_name, references

_numbers = count()


def _anything(annotation: Any) -> Any:
    """Return some value of a type, every optional one present, every text another; rules of the model not kept."""
    if get_origin(annotation) is Annotated:
        return _anything(get_args(annotation)[0])
    if get_origin(annotation) is tuple:
        return (_anything(get_args(annotation)[0]), _anything(get_args(annotation)[0]))
    if get_origin(annotation) is Literal:
        return get_args(annotation)[0]
    if get_origin(annotation) is dict:
        return {"a": "b"}
    if get_args(annotation):  # a union with None
        return _anything(get_args(annotation)[0])
    return _plain_value(annotation)


def _plain_value(kind: Any) -> Any:
    kind = getattr(kind, "__supertype__", kind)
    if isinstance(kind, type) and issubclass(kind, Value):
        return _full(kind)
    if isinstance(kind, type) and issubclass(kind, StrEnum):
        return next(iter(kind))
    made = {datetime: datetime(2026, 1, 1, tzinfo=UTC), date: date(2026, 1, 1), float: 1.0, int: 1, bool: True}
    return made.get(kind, f"text{next(_numbers)}")


def _full(model: type[Value]) -> Any:
    hints = typing.get_type_hints(model, include_extras=True)
    return model.model_construct(**{name: _anything(hints[name]) for name in model.model_fields})


@pytest.mark.parametrize("kind", ALL, ids=lambda kind: kind.KIND)
def test_every_arrow_of_every_kind_is_read_from_the_json(kind: type[Record]) -> None:
    record = _full(kind)
    form = record.model_dump(mode="json", warnings=False)
    plan = plan_of(kind.KIND)
    name = name_of(plan, form)
    assert own_name(record) == ((Thing(plan.thing), name) if plan.thing else None)
    expected = {(reference.field, reference.thing.value, reference.name) for reference in references(record)}
    assert set(arrows_of(plan, form, name)) == expected


def test_who_edits_their_own_card_is_still_named_as_its_author() -> None:
    form = {"by": "mira", "handle": "mira", "name": "Mira"}
    assert arrows_of(plan_of("person"), form, "mira") == (("by", "person", "mira"),)


@pytest.mark.parametrize("record", a_small_shop(), ids=lambda record: record.KIND)
def test_what_is_read_agrees_with_the_full_reading(record: Record) -> None:
    path = path_of(record)
    data = encode(record)
    read = extract(path, data)
    assert read == extract(path, encode(decode(data)))
    assert (read.kind, read.at_us) == (record.KIND, round(record.at.timestamp() * 1e6))
    assert {arrow[:1] + arrow[1:] for arrow in read.arrows} == {
        (reference.field, reference.thing.value, reference.name) for reference in references(record)
    }


@pytest.mark.parametrize("record", a_small_shop(), ids=lambda record: record.KIND)
def test_fields_left_out_because_they_are_optional_change_nothing(record: Record) -> None:
    short = record.model_dump(mode="json", exclude_defaults=True)
    data = json.dumps({"kind": record.KIND, "schema": 1, **short}).encode()
    assert extract(path_of(record), data) == extract(path_of(record), encode(decode(data)))


def test_every_kind_that_is_searched_is_a_kind_of_the_register() -> None:
    kinds = {kind.KIND: kind for kind in ALL}
    for kind, about in ABOUT.items():
        fields = set(kinds[kind].model_fields)
        optional = {"make_and_serial"}
        for place in (*about.numbers, *about.words):
            assert place.key.split(".")[0] in fields | optional


@given(st.text())
def test_a_number_is_squashed_as_the_model_folds_it(text: str) -> None:
    ascii_only = text.encode("ascii", "ignore").decode()
    assert squashed(ascii_only) == folded(ascii_only)


@given(st.text())
def test_folding_twice_changes_nothing_more(text: str) -> None:
    assert plain(plain(text)) == plain(text)
    assert squashed(squashed(text)) == squashed(text)
    assert squashed(plain(text)) == squashed(text)


@given(st.binary(max_size=60) | st.text(max_size=60).map(str.encode))
def test_any_bytes_are_a_record_or_damage(data: bytes) -> None:
    with pytest.raises(Damaged):
        extract("people/x.json", data)


_json = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=8,
)


@given(st.sampled_from([a_part(), an_order(1)]), st.data())
def test_any_json_in_any_field_is_a_record_or_damage(record: Record, data: st.DataObject) -> None:
    form = json.loads(encode(record))
    form[data.draw(st.sampled_from(sorted(form)))] = data.draw(_json)
    try:
        read = extract(path_of(record), json.dumps(form).encode())
    except Damaged:
        return
    assert all(isinstance(piece, str) for arrow in read.arrows for piece in arrow)


@pytest.mark.parametrize(
    ("path", "yes"),
    [
        ("vault.json", True),
        ("parts/aa/bb/files/part.json", True),
        ("parts/aa/bb/X/receipts/01/receipt.json", True),
        (f"parts/aa/bb/X/receipts/01/files/{'0' * 64}.json", False),
        (f"parts/aa/bb/X/receipts/01/files/{'0' * 64}.stl", False),
        ("parts/aa/bb/X/entries/01HZ/01.json.sig", False),
    ],
)
def test_records_are_told_from_originals(path: str, yes: bool) -> None:
    assert is_record(path) is yes
