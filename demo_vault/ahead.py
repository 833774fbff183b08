"""Comparing the story's revisions in a second process while the first one plays: they do not wait for each other."""

import itertools
from collections import deque
from collections.abc import Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from demo_vault.chosen import told_revisions
from demo_vault.papers import model_file
from demo_vault.scenario.catalogue import PARTS, part
from vault.actions.shapes import ChildShapes
from vault.model.shape import ShapeChange

if TYPE_CHECKING:
    from vault.geometry.mesh import Shape


class AheadShapes(ChildShapes):
    """Reads shapes as ever, and takes each comparison from a process that has been making them in the story's order."""

    def __init__(self) -> None:
        super().__init__()
        # spawn: the same on every system, and nothing of this process goes along
        self._pool = ProcessPoolExecutor(1, mp_context=get_context("spawn"))
        self._waiting: deque[Future[str]] = deque(self._pool.submit(compared, *pair) for pair in pairs())
        self._made: dict[tuple[str, str], ShapeChange] = {}

    def changed(self, before: "Shape", after: "Shape") -> ShapeChange:
        """Return what changed, waiting for the other process where it is behind."""
        wanted = (before.file_sha256, after.file_sha256)
        while wanted not in self._made and self._waiting:
            change = ShapeChange.model_validate_json(self._waiting.popleft().result())
            self._made[change.a_sha256, change.b_sha256] = change
        return self._made[wanted] if wanted in self._made else super().changed(before, after)

    def close(self) -> None:
        """End both processes."""
        self._pool.shutdown(cancel_futures=True)
        super().close()


def pairs() -> Iterator[tuple[str, str, str]]:
    """Yield part number and the labels of each revision and the one before it, as they are recorded."""
    found = []
    for fact in PARTS:
        told = told_revisions(fact)
        found += [(new.on, fact.number, old.label, new.label) for old, new in itertools.pairwise(told)]
    for _, number, old_label, new_label in sorted(found, key=lambda one: one[0]):
        yield number, old_label, new_label


def compared(number: str, old_label: str, new_label: str) -> str:
    """Compare two revisions of a part and return the change as JSON."""
    from vault.geometry.compare import compare
    from vault.geometry.load import load_shape

    fact, shapes = part(number), []
    with TemporaryDirectory(prefix="partstead-demo-") as folder:
        for label in (old_label, new_label):
            kind = fact.revision(label).file
            unit = None if kind == "3mf" else "mm"
            shapes.append(load_shape(model_file(Path(folder), fact, label, kind), unit))
    return compare(*shapes).model_dump_json()
