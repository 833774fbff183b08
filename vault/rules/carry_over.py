"""Does a proof of an older revision cover this one? Requirements and shape are compared, nothing carried silently."""

from collections.abc import Sequence
from dataclasses import dataclass

from vault import units
from vault.model.cards import CarryLimits
from vault.model.design import Requirements
from vault.model.shape import ShapeChange, ShapeVerdict
from vault.model.words import CarryVerdict
from vault.rules.history import PartHistory

_ORDER = (CarryVerdict.CARRIES, CarryVerdict.DELTA_PROOF, CarryVerdict.PROVE_AGAIN)


@dataclass(frozen=True)
class Carry:
    """The verdict with every reason for it."""

    verdict: CarryVerdict
    reasons: tuple[str, ...]


def is_milder(one: CarryVerdict, other: CarryVerdict) -> bool:
    """Say whether the first verdict asks for less than the second."""
    return _ORDER.index(one) < _ORDER.index(other)


def worst(carries: Sequence[Carry]) -> Carry:
    """Return the gravest verdict with all reasons, each once."""
    verdict = max((carry.verdict for carry in carries), key=_ORDER.index, default=CarryVerdict.CARRIES)
    reasons = dict.fromkeys(reason for carry in carries for reason in carry.reasons)
    return Carry(verdict, tuple(reasons))


def judge_shape(change: ShapeChange, limits: CarryLimits) -> Carry:
    """Judge a measured change of shape against the policy's limits (defaults: common practice, no source)."""
    if change.verdict is not ShapeVerdict.CHANGED:
        return Carry(CarryVerdict.CARRIES, (f"shape: {change.verdict}",))
    if not change.same_topology:
        return Carry(CarryVerdict.PROVE_AGAIN, ("the topology changed: holes, voids or bodies were added or removed",))
    measured = (
        ("largest deviation", change.max_mm, limits.carries_deviation_mm, limits.delta_deviation_mm, units.mm),
        (
            "volume",
            abs(change.volume_change),
            limits.carries_volume_fraction,
            limits.delta_volume_fraction,
            units.percent,
        ),
        ("envelope", change.envelope_change_mm, limits.carries_envelope_mm, limits.delta_envelope_mm, units.mm),
    )
    carries = [_judge(*row) for row in measured]
    # Walls and sections are not compared yet, and an unknown never counts in favour.
    carries.append(Carry(CarryVerdict.DELTA_PROOF, ("thinnest wall and thickest section were not compared",)))
    return worst(carries)


def _judge(what: str, value: float, carries: float, delta: float, show: units.Show) -> Carry:
    if value <= carries:
        return Carry(CarryVerdict.CARRIES, ())
    if value <= delta:
        return Carry(CarryVerdict.DELTA_PROOF, (f"{what} {show(value)} is above {show(carries)}",))
    return Carry(CarryVerdict.PROVE_AGAIN, (f"{what} {show(value)} is above {show(delta)}",))


def judge_requirements(requirements: Requirements | None) -> Carry:
    """Judge what a person read from the drawing. No drawing compared: at best a delta proof."""
    if requirements is None or not requirements.drawing_compared:
        return Carry(CarryVerdict.DELTA_PROOF, ("the drawing was not compared",))
    carries = []
    for change in requirements.changes_since:
        match change.what:
            case "limit loosened" | "characteristic removed" | "note" | "marking":
                verdict = CarryVerdict.CARRIES
            case "limit tightened" | "characteristic added" | "finish" | "specification issue":
                verdict = CarryVerdict.DELTA_PROOF
            case "material or condition" | "heat treatment":
                verdict = CarryVerdict.PROVE_AGAIN
        carries.append(Carry(verdict, (f"{change.what}: {change.words}",)))
    return worst(carries)


def judge(history: PartHistory, proven: str, asked: str, limits: CarryLimits) -> Carry:
    """Judge whether a proof of revision `proven` covers revision `asked`, both by ULID.

    The steps between the two are judged together: deviations add up, so three small changes are one larger one.
    """
    if proven == asked:
        return Carry(CarryVerdict.CARRIES, ("proven on this revision",))
    steps = _steps(history, proven, asked)
    if steps is None:
        reason = f"no measured change leads from rev {history.label_of(proven)} to rev {history.label_of(asked)}"
        return Carry(CarryVerdict.PROVE_AGAIN, (reason,))
    shapes = [history.changes[ulid] for ulid in steps]
    requirements = [judge_requirements(history.requirements.get(ulid)) for ulid in steps]
    return worst((judge_shape(_together(shapes), limits), *requirements))


def _steps(history: PartHistory, proven: str, asked: str) -> tuple[str, ...] | None:
    """Return the revisions after `proven` up to `asked`, following the measured changes backwards."""
    path: list[str] = []
    here = asked
    while here != proven:
        before = history.changed_since.get(here)
        if before is None or here in path:
            return None
        path.append(here)
        here = before
    return tuple(reversed(path))


def _together(changes: Sequence[ShapeChange]) -> ShapeChange:
    """Join consecutive changes into one that is no smaller than the true one (triangle inequality)."""
    first, last = changes[0], changes[-1]
    gravest = next((c.verdict for c in changes if c.verdict is ShapeVerdict.CHANGED), last.verdict)
    return last.model_copy(
        update={
            "a_sha256": first.a_sha256,
            "verdict": gravest,
            "max_a_to_b_mm": sum(c.max_a_to_b_mm for c in changes),
            "max_b_to_a_mm": sum(c.max_b_to_a_mm for c in changes),
            "volume_a_mm3": first.volume_a_mm3,
            "area_a_mm2": first.area_a_mm2,
            "size_a_mm": first.size_a_mm,
            "same_topology": all(c.same_topology for c in changes),
        }
    )
