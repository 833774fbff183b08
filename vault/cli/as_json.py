"""From the values of the actions to what JSON can hold: records by their own form, other values field by field."""

import math
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import date
from enum import Enum
from pathlib import PurePath
from typing import Any


def plain_form(value: object) -> Any:
    """Return a value as dicts, lists, texts and numbers; a number that is not finite becomes null."""
    match value:
        case None | bool() | int():
            return value
        case Enum():
            return value.value
        case str():
            return str(value)
        case float():
            return value if math.isfinite(value) else None
        case date():  # a moment is one too
            return value.isoformat()
        case PurePath():
            return str(value)
        case Mapping():
            return {str(name): plain_form(inner) for name, inner in value.items()}
        case tuple() | list() | set() | frozenset():
            return [plain_form(inner) for inner in value]
        case _:
            return _composed(value)


def _composed(value: object) -> Any:
    dump = getattr(value, "model_dump", None)  # a record or a value of the model; pydantic is not imported for this
    if dump is not None:
        return dump(mode="json")
    if is_dataclass(value):
        return {field.name: plain_form(getattr(value, field.name)) for field in fields(value)}
    raise TypeError(f"a {type(value).__name__} has no form in JSON")
