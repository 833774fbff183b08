"""From a record to its bytes and back, and from a violation to a sentence."""

import json
from typing import Any, TypeVar

from pydantic import ValidationError

from vault.errors import BadInput, Damaged
from vault.model.base import Record, Value
from vault.records.kinds import BY_KIND
from vault.records.upgrades import upgraded

MAX_RECORD_BYTES = 200_000
"""Larger than this is no record: partial copies of the register leave larger blobs behind."""

AnyValue = TypeVar("AnyValue", bound=Value)
AnyRecord = TypeVar("AnyRecord", bound=Record)


def make(model: type[AnyValue], /, **fields: object) -> AnyValue:
    """Build a value from fields.

    Raises:
        BadInput: The fields break the model's rules; one sentence each.
    """
    try:
        return model(**fields)
    except ValidationError as error:
        raise BadInput(sentence_of(error, getattr(model, "KIND", model.__name__))) from None


def edited(record: AnyRecord, /, **fields: object) -> AnyRecord:
    """Return the record with some fields replaced, checked again. Raises BadInput as `make`."""
    return make(type(record), **{name: getattr(record, name) for name in type(record).model_fields} | fields)


def sentence_of(error: ValidationError, what: str) -> str:
    """Turn pydantic's violations into one sentence each, naming the field."""
    lines = []
    for violation in error.errors(include_url=False, include_context=False):
        where = ".".join(str(step) for step in violation["loc"]) or "as a whole"
        lines.append(f"{where}: {_plain(violation['type'], violation['msg'], violation.get('input'))}")
    shown = lines[:8] + ([f"and {len(lines) - 8} more"] if len(lines) > 8 else [])
    return f"{what}: " + "; ".join(shown)


def _plain(kind: str, message: str, given: object) -> str:
    match kind:
        case "missing":
            return "is missing"
        case "extra_forbidden":
            return "is no field of this record"
        case "finite_number":
            return "is not a finite number"
        case "string_type" | "float_type" | "int_type" | "bool_type" | "tuple_type" | "model_type" if given is None:
            return "is empty and needs a value"
        case "greater_than" | "greater_than_equal" | "less_than" | "less_than_equal":
            return f"{given!r} is out of range: {message.replace('Input s', 's')}"
        case "float_type" | "float_parsing":
            return f"{given!r} is not a number"
        case "int_type" | "int_parsing" | "int_from_float":
            return f"{given!r} is not a whole number"
        case "enum" | "literal_error":
            return f"{given!r} is none of the words for it: {message.removeprefix('Input should be ')}"
        case "string_pattern_mismatch":
            return f"{given!r} is not written as this field must be"
        case _:
            return message.removeprefix("Value error, ")


def encode(record: Record) -> bytes:
    """Return the record as JSON: kind and schema first, then its fields in the order of the model.

    Raises:
        BadInput: The record is larger than a record may be.
    """
    form = {"kind": record.KIND, "schema": record.SCHEMA, **record.model_dump(mode="json")}
    data = (json.dumps(form, ensure_ascii=False, indent=2, allow_nan=False) + "\n").encode()
    if len(data) > MAX_RECORD_BYTES:
        raise BadInput(f"this {record.KIND} takes {len(data)} bytes, a record may take {MAX_RECORD_BYTES}; split it")
    return data


def _no_twins(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    form = dict(pairs)
    if len(form) != len(pairs):
        raise ValueError("a field stands twice")
    return form


def decode(data: bytes) -> Record:
    """Read a record.

    Raises:
        Damaged: The bytes are no record of this register, or one of a newer program.
    """
    if len(data) > MAX_RECORD_BYTES:
        raise Damaged(f"{len(data)} bytes are too many for a record")
    try:
        form = json.loads(data.decode("utf-8"), object_pairs_hook=_no_twins)
    except (ValueError, RecursionError) as error:
        raise Damaged(f"not readable as a record: {error}") from None
    if not isinstance(form, dict) or not isinstance(form.get("kind"), str) or type(form.get("schema")) is not int:
        raise Damaged("not a record: kind or schema is missing")
    kind, schema = form.pop("kind"), form.pop("schema")
    model = BY_KIND.get(kind)
    if model is None:
        raise Damaged(f"a record of the unknown kind {kind!r}")
    fields = upgraded(kind, schema, form, model.SCHEMA)
    try:
        return model.model_validate_json(json.dumps(fields))
    except ValidationError as error:
        raise Damaged(sentence_of(error, kind)) from None


def decode_as(model: type[AnyRecord], data: bytes) -> AnyRecord:
    """Read a record that must be of one kind. Raises Damaged as `decode`, and where it is of another kind."""
    record = decode(data)
    if not isinstance(record, model):
        raise Damaged(f"a {record.KIND} where a {model.KIND} was expected")
    return record


def json_schema(kind: type[Record]) -> dict[str, Any]:
    """Return the published JSON Schema of a kind, with the two fields that the codec adds."""
    schema = kind.model_json_schema(mode="serialization")
    properties = {"kind": {"const": kind.KIND}, "schema": {"const": kind.SCHEMA}, **schema["properties"]}
    required = ["kind", "schema", *schema.get("required", [])]
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **schema,
        "title": kind.KIND,
        "properties": properties,
        "required": required,
    }
