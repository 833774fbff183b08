"""Do we make this already? From a model file to the parts whose design it is, or may be.

The same bytes are the same file. Equal measures are only a reason to compare: two different shapes may share them, and
nothing here has looked at the surfaces.
"""

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from vault import units
from vault.actions.context import Vault
from vault.actions.places import Places
from vault.actions.reading import Reader
from vault.errors import BadInput
from vault.model.design import MeasuredRevision
from vault.model.shape import MeasuredShape
from vault.records.path_reading import original_at, part_at
from vault.records.paths import path_of

VOLUME_WITHIN = 0.005
AREA_WITHIN = 0.01
SIZE_WITHIN_MM = 0.1
"""How far two measures may lie apart and still be called equal: room for another mesh of the same shape. Our choice."""

_PIECE_BYTES = 1 << 20


@dataclass(frozen=True)
class SameFile:
    """A place where these very bytes are kept: "BRK-204 rev C, design file bracket.stl"."""

    part: str | None
    words: str


@dataclass(frozen=True)
class Candidate:
    """A revision whose measures are equal; `turned` where the box fits only with its edges in another order."""

    part: str
    revision: str
    turned: bool
    words: str
    next_command: str


@dataclass(frozen=True)
class Matches:
    """What a model file fits. Candidates were not compared surface by surface."""

    sha256: str
    measured: MeasuredShape | None
    same_file: tuple[SameFile, ...]
    candidates: tuple[Candidate, ...]


def match_file(vault: Vault, file: Path, unit: str | None = None) -> Matches:
    """Return where a model file is kept already, and else which revisions have equal volume, area and box.

    Raises:
        BadInput: The file cannot be read, or not as a shape.
    """
    reader = Reader(vault.store.at(), vault.index)
    digest = _digest(file)
    same = tuple(dict.fromkeys(_same(reader, digest)))
    if same:
        return Matches(digest, None, same, ())
    _, measured = vault.shapes.measured(file, unit)
    places = Places(reader.snapshot)
    recorded = (_candidate(places, one, measured, file) for one in reader.all_of(MeasuredRevision))
    found = sorted((one for one in recorded if one is not None), key=lambda one: one.turned)
    return Matches(digest, measured, (), tuple(found))


def _digest(file: Path) -> str:
    digest = hashlib.sha256()
    try:
        with file.open("rb") as stream:
            while piece := stream.read(_PIECE_BYTES):
                digest.update(piece)
    except OSError as error:
        raise BadInput(f"{file} cannot be read: {error.strerror or error}") from None
    return digest.hexdigest()


def _same(reader: Reader, sha256: str) -> Iterator[SameFile]:
    """Yield every original of a part with this digest: its stored name says it, so no file is read."""
    places = Places(reader.snapshot)
    for path in reader.snapshot.walk("parts"):
        original = original_at(path)
        if original is not None and original[1] == sha256:
            yield SameFile(part_at(path), places.of(path))


def _candidate(places: Places, one: MeasuredRevision, measured: MeasuredShape, file: Path) -> Candidate | None:
    shape = one.shape
    if not (
        _close(shape.volume_mm3, measured.volume_mm3, VOLUME_WITHIN)
        and _close(shape.area_mm2, measured.area_mm2, AREA_WITHIN)
        and _same_box(sorted(shape.size_mm), sorted(measured.size_mm))
    ):
        return None
    label = places.labels(path_of(one)).get(one.revision, one.revision)
    turned = not _same_box(list(shape.size_mm), list(measured.size_mm))
    size = " x ".join(units.mm(edge, 2) for edge in shape.size_mm)
    how = "equal volume and area, and the same box turned" if turned else "equal volume, area and box"
    words = f"{one.part} rev {label}: {how} ({units.mm3(shape.volume_mm3)}, {size}); a candidate, not compared yet"
    return Candidate(one.part, label, turned, words, f"partstead compare {one.part}@{label} {file.name}")


def _close(one: float, other: float, within: float) -> bool:
    return abs(one - other) <= within * max(abs(one), abs(other))


def _same_box(one: list[float], other: list[float]) -> bool:
    return all(abs(a - b) <= SIZE_WITHIN_MM for a, b in zip(one, other, strict=True))
