"""From `--set field=value` to the value that a card's field takes.

People type 4471 for a customer's number and for a price alike, so the field decides how a text is read: as JSON where
the field takes that, else as the words they are, else as a list.
"""

import json
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from pydantic import BaseModel, TypeAdapter, ValidationError

from vault.errors import BadInput


def read_fields(path: Path) -> dict[str, Any]:
    """Read a card's fields from a JSON file. Raises BadInput where it is none."""
    try:
        form = json.loads(path.read_text(encoding="utf-8-sig"))
    except (OSError, ValueError, RecursionError) as error:
        raise BadInput(f"{path} cannot be read as JSON: {error}") from None
    if not isinstance(form, dict):
        raise BadInput(f'{path} holds no fields; it should read {{"name": ...}}')
    return {name: value for name, value in form.items() if name not in {"kind", "schema", "by", "at"}}


def set_values(kind: type[BaseModel], pairs: Iterable[tuple[str, str]]) -> dict[str, Any]:
    """Return the value of every typed field, by its dotted name. Raises BadInput where a field is named twice."""
    found: dict[str, Any] = {}
    for name, text in pairs:
        field = name.replace("-", "_")
        if field in found:
            raise BadInput(f"{name} is set twice")
        found[field] = value_for(kind, field, text)
    return found


def nested(flat: dict[str, Any]) -> dict[str, Any]:
    """Return dotted names as fields inside fields: {"control.status": x} is {"control": {"status": x}}."""
    form: dict[str, Any] = {}
    for dotted, value in flat.items():
        *outer, last = dotted.split(".")
        here = form
        for step in outer:
            here = here.setdefault(step, {})
            if not isinstance(here, dict):
                raise BadInput(f"{dotted}: {step} has no fields inside")
        here[last] = value
    return form


def value_for(kind: type[BaseModel], dotted: str, text: str) -> Any:
    """Return what a text means in a field; where nothing fits, the text itself: the record will say what is wrong."""
    readings = _readings(text)
    adapter = _adapter(kind, dotted)
    if adapter is None:
        return readings[0]
    return next((value for value in readings if _fits(adapter, value)), text)


def _readings(text: str) -> list[Any]:
    words = [word.strip() for word in text.split(",") if word.strip()]
    return [*_parsed(text), text, *_parsed(f"[{text}]"), words]


def _parsed(text: str) -> list[Any]:
    """Return the JSON value in a list, or an empty list where the text is no JSON."""
    try:
        return [json.loads(text)]
    except (ValueError, RecursionError):
        return []


def _adapter(kind: type[BaseModel], dotted: str) -> TypeAdapter[Any] | None:
    """Return the judge of a field's values, or None where there is no such field."""
    first, _, rest = dotted.partition(".")
    field = kind.model_fields.get(first)
    if field is None:
        return None
    annotation = field.rebuild_annotation()
    if not rest:
        return TypeAdapter(annotation)
    inner = field.annotation
    return _adapter(inner, rest) if isinstance(inner, type) and issubclass(inner, BaseModel) else None


def _fits(adapter: TypeAdapter[Any], value: Any) -> bool:
    try:
        adapter.validate_json(json.dumps(value), strict=True)
    except ValidationError:
        return False
    return True
