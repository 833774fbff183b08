"""The sentence that says what changed from one revision to the next, with numbers, and what was not looked at."""

from collections.abc import Iterator

from vault import units
from vault.model.design import Requirements
from vault.model.shape import ShapeChange, ShapeVerdict

NOT_COMPARED = "shape only; drawing requirements not compared"

_AXES = ("x", "y", "z")
_NO_VOLUME_MM3 = 0.001
"""A share of less than this says nothing."""


def shape_words(change: ShapeChange) -> str:
    """Return the measured change of shape in one sentence; equal numbers are left out, never rounded into a change."""
    match change.verdict:
        case ShapeVerdict.SAME:
            return "The shape is the same."
        case ShapeVerdict.WITHIN_RESOLUTION:
            return f"The shape is the same within {units.mm(change.resolution_mm)}, the resolution of the meshes."
        case ShapeVerdict.CHANGED:
            return "; ".join(_differences(change)) + "."


def _differences(change: ShapeChange) -> Iterator[str]:
    exactness = f" to within {units.mm(change.uncertainty_mm)}" if change.uncertainty_mm > 0 else ""
    yield f"Largest deviation {units.mm(change.max_mm)}{exactness}"
    volume = units.mm3(change.volume_b_mm3), units.mm3(change.volume_a_mm3)
    if change.volume_a_mm3 > _NO_VOLUME_MM3:
        sign = "+" if change.volume_change >= 0 else ""
        yield f"volume {volume[0]}, was {volume[1]} ({sign}{units.percent(change.volume_change)})"
    else:
        yield f"volume {volume[0]}, was {volume[1]}"
    for axis, before, after in zip(_AXES, change.size_a_mm, change.size_b_mm, strict=True):
        if units.mm(before, 2) != units.mm(after, 2):
            yield f"size along {axis} {units.mm(after, 2)}, was {units.mm(before, 2)}"
    if not change.same_topology:
        yield "holes, voids or bodies were added or removed"


def change_sentences(
    change: ShapeChange | None, requirements: Requirements | None, since: str | None
) -> tuple[str, ...]:
    """Return what changed since the revision labelled `since`: the shape as measured, then what a person read.

    A first issue has nothing before it. Where nobody compared the drawing, the last sentence says so.
    """
    if since is None:
        return ("First issue here; there is nothing to compare with.",)
    if change is None:
        return (f"The change since rev {since} was not measured; drawing requirements not compared.",)
    measured = f"Since rev {since}: {shape_words(change)}"
    if requirements is None or not requirements.drawing_compared:
        return (f"{measured} ({NOT_COMPARED[0].upper()}{NOT_COMPARED[1:]}.)", *change.cautions)
    read = tuple(_requirement_words(step.what, step.characteristic, step.words) for step in requirements.changes_since)
    return (measured, *change.cautions, *(read or ("Drawing compared by a person: no requirement changed.",)))


def _requirement_words(what: str, characteristic: str | None, words: str) -> str:
    about = f" ({characteristic})" if characteristic else ""
    return f"{what[0].upper()}{what[1:]}{about}: {words}"
