"""Between recorded files and the geometry room: bring an original out, measure it, compare it."""

import hashlib
from pathlib import Path
from typing import TYPE_CHECKING

from vault.actions.context import Vault
from vault.actions.reading import Reader
from vault.errors import Damaged
from vault.model.base import Record
from vault.model.design import KeptFile, Revision
from vault.model.shape import MeasuredShape, ShapeChange
from vault.records.paths import file_path

if TYPE_CHECKING:
    from vault.geometry.child import ShapeReader
    from vault.geometry.mesh import Shape


class ChildShapes:
    """Reads every file of one register in one child process, started at the first file."""

    def __init__(self) -> None:
        self._reader: ShapeReader | None = None

    def measured(self, file: Path, unit: str | None) -> "tuple[Shape, MeasuredShape]":
        """Load and measure a file. Raises BadInput where it cannot be read as a shape."""
        from vault.geometry.child import ShapeReader
        from vault.geometry.measure import measure_file

        if self._reader is None:
            self._reader = ShapeReader()
        return measure_file(file, unit, reader=self._reader)

    def changed(self, before: "Shape", after: "Shape") -> ShapeChange:
        """Measure what changed from one shape to the next, as both files place it."""
        from vault.geometry.compare import compare

        return compare(before, after)

    def close(self) -> None:
        """End the child process, if one was started."""
        if self._reader is not None:
            self._reader.close()
            self._reader = None


def bring_out(reader: Reader, record: Record, kept: KeptFile, folder: Path) -> Path:
    """Write an original's bytes below `folder` and return where, its digest checked on the way.

    Raises:
        NotFound: The bytes are not on this machine.
        Damaged: They are not what was recorded.
    """
    place = folder / kept.stored_name
    digest = hashlib.sha256()
    with place.open("wb") as out:
        for piece in reader.snapshot.stream(file_path(record, kept)):
            digest.update(piece)
            out.write(piece)
    if digest.hexdigest() != kept.sha256:
        place.unlink()
        raise Damaged(f"{kept.name} of {record.KIND} is not what was recorded; run `partstead check`")
    return place


def recorded_shape(vault: Vault, reader: Reader, revision: Revision, folder: Path) -> "Shape":
    """Load the design of a recorded revision, in the unit that was recorded with it."""
    place = bring_out(reader, revision, revision.design, folder)
    unit = None if revision.unit_basis.startswith("given by the file") else revision.unit
    return vault.shapes.measured(place, unit)[0]


def compare_with_recorded(vault: Vault, reader: Reader, before: Revision, shape: "Shape", folder: Path) -> ShapeChange:
    """Measure what changed from a recorded revision to a shape, as both files place it."""
    return vault.shapes.changed(recorded_shape(vault, reader, before, folder), shape)
