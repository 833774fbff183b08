"""Records as they are: a card or an entry field by field, and lists of them."""

import json
from collections.abc import Iterator, Sequence
from typing import Any

from vault.actions.cards import name_of
from vault.actions.reading import Reader
from vault.cli.recorded import lines_of
from vault.cli.show import Shown, facts, table
from vault.model.base import Card, Record
from vault.model.ids import Thing
from vault.rules.naming import line_of, noun_of


def record_shown(record: Record) -> Shown:
    """Return a record field by field; the names are those that `--set` takes."""
    form = record.model_dump(mode="json")
    return Shown({"kind": record.KIND, **form}, tuple(facts(_flat(form))))


def _flat(form: dict[str, Any], above: str = "") -> Iterator[tuple[str, str]]:
    for name, value in form.items():
        if isinstance(value, dict):
            yield from _flat(value, f"{above}{name}.")
        else:
            yield f"{above}{name}", _as_typed(value)


def _as_typed(value: object) -> str:
    match value:
        case None:
            return ""
        case bool():
            return json.dumps(value)
        case list() if all(isinstance(item, str | int | float) for item in value):
            return ", ".join(map(str, value))
        case list():
            return "\n".join(json.dumps(item, ensure_ascii=False) for item in value)
        case _:
            return str(value)


def cards_shown(cards: Sequence[Card]) -> Shown:
    """Return cards, one in a line."""
    rows = [(name_of(card), line_of(card, {}).partition(": ")[2]) for card in cards]
    return Shown(cards, tuple(table(("ID", "WHAT"), rows)))


def list_shown(reader: Reader, records: Sequence[Record]) -> Shown:
    """Return records, one in a line, in the trade's words."""
    return Shown(records, tuple(lines_of(reader, records)))


def with_entries(reader: Reader, record: Record, entries: Sequence[Record]) -> Shown:
    """Return a record field by field, with one line for each entry under it."""
    shown = record_shown(record)
    lines = lines_of(reader, entries)
    data = {
        **_as_dict(shown.data),
        "entries": [{"kind": entry.KIND, **entry.model_dump(mode="json")} for entry in entries],
    }
    return Shown(data, (lines_of(reader, [record])[0], "", *shown.lines, *(["", *lines] if lines else [])))


def _as_dict(data: object) -> dict[str, Any]:
    assert isinstance(data, dict)
    return data


def referrers_shown(reader: Reader, thing: Thing, name: str, kind: type[Record]) -> Shown:
    """Return the records of one kind that point at a thing."""
    records = reader.referring(thing, name, kind)
    shown = list_shown(reader, records)
    return shown if records else Shown(records, (f"no {noun_of(kind.KIND)} names {name}",))
