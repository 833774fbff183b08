"""What the drawing asks of a revision: characteristics from a table, and changes that the shape does not show."""

import csv
import io
from dataclasses import dataclass, field
from pathlib import Path

from vault import units
from vault.actions.context import Vault
from vault.actions.finding import resolve_part, resolve_revision
from vault.actions.reading import Reader
from vault.actions.writing import Draft, record_of, write
from vault.errors import BadInput, NotFound
from vault.model.design import Characteristic, RequirementChange, Requirements
from vault.model.words import Direction, Feature, MeasuredIn
from vault.records.codec import make
from vault.rules.permissions import Verb

COLUMNS = (
    "number", "name", "form", "nominal", "lower", "upper", "unit", "requirement", "designator", "key", "drawing_zone",
    "direction", "measured_in", "feature", "as_sintered_target", "gauge",
)  # fmt: skip
"""Columns of a characteristics table, in the order of the template."""

_NUMBERS = ("nominal", "lower", "upper", "as_sintered_target")
_YES = frozenset({"yes", "y", "true", "1", "x", "key"})
_NO = frozenset({"", "no", "n", "false", "0"})


@dataclass(frozen=True)
class OtherRequirements:
    """What the drawing says beside characteristics; `None` where it says nothing."""

    material: str | None = None
    condition: str | None = None
    heat_treatment: str | None = None
    finish: str | None = None
    marking: str | None = None
    specifications: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    drawing_compared: bool = False
    changes_since: tuple[RequirementChange, ...] = field(default_factory=tuple)


def read_characteristics(text: str) -> tuple[Characteristic, ...]:
    """Read a table of characteristics (CSV with a heading line; comma, semicolon or tab).

    Raises:
        BadInput: A column is unknown or a row impossible; the sentence names the row.
    """
    lines = text.lstrip("\ufeff").splitlines()
    if not lines:
        raise BadInput("the table is empty")
    mark = max(",;\t", key=lines[0].count)
    rows = csv.DictReader(io.StringIO("\n".join(lines)), delimiter=mark)
    unknown = [name for name in rows.fieldnames or () if name.strip() not in COLUMNS]
    if unknown:
        raise BadInput(f"column {unknown[0]!r} is unknown; the columns are {', '.join(COLUMNS)}")
    found = tuple(_characteristic(place, row) for place, row in enumerate(rows, start=2))
    if not found:
        raise BadInput("the table has a heading and no rows")
    return found


def _characteristic(place: int, row: dict[str, str | None]) -> Characteristic:
    cells = {name.strip(): (text or "").strip() for name, text in row.items() if isinstance(name, str)}
    try:
        numbers = {n: units.parse_number(cells[n], n) if cells.get(n) else None for n in _NUMBERS}
        return make(
            Characteristic,
            number=cells.get("number", ""),
            name=cells.get("name", ""),
            form=cells.get("form") or "variable",
            unit=cells.get("unit") or "none",
            key=_yes_or_no(cells.get("key", "")),
            direction=Direction(cells.get("direction") or "none"),
            measured_in=MeasuredIn(cells.get("measured_in") or "finished"),
            feature=Feature(cells.get("feature") or "other"),
            **{name: cells.get(name) or None for name in ("requirement", "designator", "drawing_zone", "gauge")},
            **numbers,
        )
    except (BadInput, ValueError) as error:
        raise BadInput(f"row {place}: {error}") from None


def _yes_or_no(text: str) -> bool:
    if text.casefold() in _YES:
        return True
    if text.casefold() in _NO:
        return False
    raise BadInput(f"key is yes or no, not {text!r}")


def record_requirements(
    vault: Vault, part: str, label: str, characteristics: tuple[Characteristic, ...], other: OtherRequirements
) -> Requirements:
    """Record the requirements of a revision. A later record of the same revision takes their place.

    Raises:
        NotFound: The revision or a gauge is not recorded.
        BadInput: A characteristic stands twice.
    """
    made: list[Requirements] = []

    def decide(reader: Reader, draft: Draft) -> str:
        history = reader.part(resolve_part(vault, reader, part))
        revision = resolve_revision(history, label)
        for gauge in {c.gauge for c in characteristics if c.gauge is not None}:
            reader.gauge(gauge)
        if other.material is not None:
            reader.material(other.material)
        made[:] = [
            record_of(
                draft,
                Requirements,
                id=draft.new_ulid(),
                part=history.card.number,
                revision=revision.id,
                characteristics=characteristics,
                **{name: getattr(other, name) for name in OtherRequirements.__dataclass_fields__},
            )
        ]
        draft.add(made[0])
        return f"{history.card.number} rev {revision.label}: {len(characteristics)} characteristics recorded"

    write(vault, Verb.REVISE, decide)
    return made[0]


def read_table(path: Path) -> tuple[Characteristic, ...]:
    """Read a table of characteristics from a file. Raises BadInput, NotFound."""
    if not path.is_file():
        raise NotFound(f"there is no file {path}")
    try:
        return read_characteristics(path.read_text(encoding="utf-8-sig"))
    except UnicodeDecodeError:
        raise BadInput(f"{path.name} is not text in UTF-8; save it from the spreadsheet as CSV UTF-8") from None
