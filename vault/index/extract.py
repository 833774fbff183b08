"""From a record's bytes to what the index keeps of it, without checking the record in full: `check` does that."""

import json
import re
from datetime import UTC, datetime, timedelta
from typing import Any, NamedTuple

from vault.errors import Damaged
from vault.index.arrows import Arrow, Form, arrows_of, name_of, plan_of
from vault.index.described import (
    BORROWED,
    LABELLED,
    Text,
    is_searched,
    search_line,
    shown_and_title,
    texts_of,
)
from vault.records.codec import MAX_RECORD_BYTES
from vault.records.kinds import BY_KIND
from vault.records.upgrades import upgraded

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_MICROSECOND = timedelta(microseconds=1)
_ORIGINAL = re.compile(r"/files/[0-9a-f]{64}\.[a-z0-9]{1,8}$")
_OWNER_FIELDS = ("part", "lot", "order", "nonconformance", "delivery", "package")
_OWNERS = tuple(before + field for field in _OWNER_FIELDS for before in ("", "target."))


class Sought(NamedTuple):
    """How a record is found and shown by a search."""

    shown: str
    title: str
    line: str
    texts: tuple[Text, ...]
    borrows: tuple[tuple[str, str], ...]  # (thing, name) of others by whose names it is found too


class Extract(NamedTuple):
    """What the index keeps of one record."""

    path: str
    kind: str
    thing: str | None
    name: str | None
    owner_thing: str | None  # what it belongs to: a part, or a lot, order ... that belongs to one
    owner_name: str | None
    at_us: int  # microseconds since 1970, UTC
    label: str | None
    arrows: tuple[Arrow, ...]
    sought: Sought | None


def is_record(path: str) -> bool:
    """Say whether a path of the register holds a record: not an original and not a signature."""
    return path.endswith(".json") and _ORIGINAL.search(path) is None


def form_of(data: bytes) -> tuple[str, dict[str, Any]]:
    """Return the kind and the fields of a record, brought up to the newest form.

    Raises:
        Damaged: The bytes are no record that this program knows.
    """
    if len(data) > MAX_RECORD_BYTES:
        raise Damaged(f"{len(data)} bytes are too many for a record")
    try:
        form = json.loads(data.decode())
        if b"\\u" in data:
            json.dumps(form, ensure_ascii=False).encode()  # half a character written as \\ud83d cannot be kept
    except (ValueError, RecursionError) as error:
        raise Damaged(f"not readable as a record: {error}") from None
    if not isinstance(form, dict):
        raise Damaged("not a record")
    kind, schema = form.pop("kind", None), form.pop("schema", None)
    model = BY_KIND.get(kind) if isinstance(kind, str) else None
    if model is None or type(schema) is not int:
        raise Damaged(f"not a record of a known kind: {kind!r}, form {schema!r}")
    return model.KIND, upgraded(model.KIND, schema, form, model.SCHEMA)


def extract(path: str, data: bytes) -> Extract:
    """Read what the index keeps of the record at `path`.

    Raises:
        Damaged: The bytes are no record, or one that lacks what the index needs.
    """
    kind, form = form_of(data)
    try:
        return _extracted(path, kind, form)
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        raise Damaged(f"a {kind} that the index cannot read: {type(error).__name__} {error}") from None


def _extracted(path: str, kind: str, form: Form) -> Extract:
    plan = plan_of(kind)
    name = name_of(plan, form)
    arrows = arrows_of(plan, form, name)
    owner_thing, owner_name = _owner(kind, arrows)
    at_us = (datetime.fromisoformat(form["at"]) - _EPOCH) // _MICROSECOND
    label = form[LABELLED[kind]] if kind in LABELLED else None
    return Extract(path, kind, plan.thing, name, owner_thing, owner_name, at_us, label, arrows, _sought(kind, form))


def _owner(kind: str, arrows: tuple[Arrow, ...]) -> tuple[str, str] | tuple[None, None]:
    if kind == "part":
        return (None, None)
    for field in _OWNERS:
        for arrow in arrows:
            if arrow[0] == field:
                return arrow[1], arrow[2]
    return (None, None)


def _sought(kind: str, form: Form) -> Sought | None:
    if not is_searched(kind):
        return None
    texts = texts_of(kind, form)
    borrows = tuple((thing, form[key]) for key, thing in BORROWED.get(kind, ()) if isinstance(form.get(key), str))
    return Sought(*shown_and_title(kind, form), search_line(texts), texts, borrows)
