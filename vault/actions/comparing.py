"""Comparing two shapes: recorded revisions (PART@REV) or files."""

import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from vault.actions.context import Vault
from vault.actions.finding import resolve_part, resolve_revision
from vault.actions.reading import Reader
from vault.actions.shapes import recorded_shape
from vault.errors import NotFound
from vault.model.ids import parse_part_at
from vault.model.shape import ShapeChange

if TYPE_CHECKING:
    from vault.geometry.mesh import Shape


@dataclass(frozen=True)
class Compared:
    """Two shapes by name, and the measured difference from the first to the second."""

    first: str
    second: str
    change: ShapeChange


def compare(vault: Vault, first: str, second: str, unit: str | None = None) -> Compared:
    """Compare two shapes, each PART@REV or a file; `unit` counts for files that state none.

    Raises:
        NotFound: A name fits no file and no recorded revision.
        BadInput: A file cannot be read as a shape.
    """
    from vault.geometry.compare import compare as measure_difference

    reader = Reader(vault.store.at(), vault.index)
    with tempfile.TemporaryDirectory(prefix="partstead-") as scratch:
        name_a, a = _shape(vault, reader, first, unit, Path(scratch))
        name_b, b = _shape(vault, reader, second, unit, Path(scratch))
        return Compared(name_a, name_b, measure_difference(a, b))


def _shape(vault: Vault, reader: Reader, text: str, unit: str | None, scratch: Path) -> "tuple[str, Shape]":
    if Path(text).is_file():
        return Path(text).name, vault.shapes.measured(Path(text), unit)[0]
    named = parse_part_at(text)
    history = reader.part(resolve_part(vault, reader, named.part))
    revision = resolve_revision(history, named.revision) if named.revision else history.printable or history.newest
    if revision is None:
        raise NotFound(f"{history.card.number} has no revision to compare")
    return f"{history.card.number} rev {revision.label}", recorded_shape(vault, reader, revision, scratch)
