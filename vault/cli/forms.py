"""Forms to fill in: an empty one made from the model itself, and how a filled-in one is read."""

import json
from collections.abc import Sequence
from pathlib import Path
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from vault.actions.settings import read_form
from vault.cli.fields import set_values, value_for
from vault.model.orientation import Orientation
from vault.model.settings import NearNet, Settings

_GIVEN_BY_THE_REGISTER = frozenset(
    {"id", "number", "part", "made_for", "by", "at", "derived_from", "near_net", "invented_for_demo"}
)
_TURNS = ("print_orientation", "sinter_orientation")
_AS_DRAWN = "+x+y+z"


def settings_form() -> str:
    """Return an empty settings form as JSON; what is null must be filled in, words in <> say what may stand there."""
    form = {name: _empty(field) for name, field in Settings.model_fields.items() if name not in _GIVEN_BY_THE_REGISTER}
    return json.dumps(form, indent=2, ensure_ascii=False)


def _empty(field: FieldInfo) -> Any:
    if not field.is_required():
        return json.loads(json.dumps(field.get_default(), default=str))
    return _empty_of(field.annotation)


def _empty_of(kind: Any) -> Any:
    if get_origin(kind) is Annotated:
        return _empty_of(get_args(kind)[0])
    if kind is Orientation:
        return _AS_DRAWN
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        return {name: _empty(field) for name, field in kind.model_fields.items()}
    if get_origin(kind) is tuple:
        return [_empty_of(get_args(kind)[0])]
    choices = _choices(kind)
    return f"<{' | '.join(choices)}>" if choices else None


def _choices(kind: Any) -> list[str]:
    if get_origin(kind) is Literal:
        return [str(choice) for choice in get_args(kind)]
    if get_origin(kind) in {Union, UnionType}:
        return [choice for part in get_args(kind) if part is not NoneType for choice in _choices(part)]
    members = getattr(kind, "__members__", None)
    return [str(member.value) for member in members.values()] if members else []


def read_settings(path: Path) -> dict[str, Any]:
    """Read a filled-in settings form, in which an orientation may be named: "+y-x+z". Raises BadInput."""
    return _turned(read_form(path))


def settings_changes(pairs: Sequence[tuple[str, str]] | None) -> dict[str, Any]:
    """Return the fields of settings that `--set` changes. Raises BadInput."""
    changes: dict[str, Any] = {}
    for name, text in pairs or ():
        field = name.replace("-", "_")
        changes[field] = text if field in _TURNS else value_for(Settings, field, text)
    return _turned(changes)


def _turned(form: dict[str, Any]) -> dict[str, Any]:
    named = {name: form[name] for name in _TURNS if isinstance(form.get(name), str)}
    return {**form, **{name: Orientation.named(text).model_dump(mode="json") for name, text in named.items()}}


def near_net_fields(pairs: Sequence[tuple[str, str]] | None) -> dict[str, Any] | None:
    """Return what is said of a near-net shape. Raises BadInput."""
    return set_values(NearNet, pairs) if pairs else None
