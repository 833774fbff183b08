"""Revisions, comparisons, requirements and settings on a terminal."""

from collections.abc import Iterator

from vault import units
from vault.actions.comparing import Compared
from vault.actions.revising import Revised
from vault.cli.show import Shown, facts, table
from vault.errors import NotFound
from vault.model.design import Characteristic, Requirements, Revision
from vault.model.settings import Settings
from vault.model.shape import MeasuredShape
from vault.rules.change_words import NOT_COMPARED, shape_words
from vault.rules.history import PartHistory


def revised_shown(revised: Revised) -> Shown:
    """Return what was recorded, what really changed, and what that touches."""
    revision = revised.revision
    data = {
        "revision": revision,
        "measured": revised.measured,
        "before": revised.before.label if revised.before else None,
        "change": revised.change,
        "touched": revised.touched,
        "cautions": revised.cautions,
    }
    head = f"{revision.part} rev {revision.label} recorded: {revision.reason}"
    return Shown(data, (head, *measured_lines(revised.measured), *_changed(revised), *_touched(revised)))


def measured_lines(shape: MeasuredShape) -> list[str]:
    """Return what a shape measures."""
    closed = "closed" if shape.topology.closed else "NOT closed: it has no inside"
    return facts(
        (
            ("size", " x ".join(units.mm(edge, 2) for edge in shape.size_mm)),
            ("volume", units.mm3(shape.volume_mm3)),
            ("surface", f"{units.mm2(shape.area_mm2)}, {closed}, {shape.topology.triangles} triangles"),
            ("unit", f"{shape.unit}, {shape.unit_basis}"),
        )
    )


def _changed(revised: Revised) -> Iterator[str]:
    if revised.before is not None and revised.change is not None:
        yield f"since rev {revised.before.label}: {shape_words(revised.change)} ({NOT_COMPARED})"
        yield from revised.change.cautions


def _touched(revised: Revised) -> Iterator[str]:
    touched = revised.touched
    for number, carry in touched.settings:
        reasons = "; ".join(carry.reasons)
        yield f"settings {number}: by shape, the proof {_of(carry.verdict)}" + (f" ({reasons})" if reasons else "")
    if touched.open_orders:
        yield f"open orders: {', '.join(touched.open_orders)}"
    if touched.live_packages:
        yield f"live packages: {', '.join(touched.live_packages)}"


def _of(verdict: str) -> str:
    return {"carries": "carries", "delta proof": "needs a delta proof", "prove again": "does not hold: prove again"}[
        verdict
    ]


def compared_shown(compared: Compared) -> Shown:
    """Return how the second shape differs from the first."""
    change = compared.change
    data = {"first": compared.first, "second": compared.second, "max_mm": change.max_mm, "change": change}
    pairs = (
        ("from", compared.first),
        ("to", compared.second),
        ("verdict", change.verdict),
        ("first to second", f"{units.mm(change.max_a_to_b_mm)} at most, {units.mm(change.mean_a_to_b_mm)} on average"),
        ("second to first", f"{units.mm(change.max_b_to_a_mm)} at most, {units.mm(change.mean_b_to_a_mm)} on average"),
        ("resolution", units.mm(change.resolution_mm)),
    )
    return Shown(data, (*facts(pairs), shape_words(change), *change.cautions))


def requirements_shown(history: PartHistory, revision: Revision) -> Shown:
    """Return what the drawing asks of a revision. Raises NotFound where nobody recorded it."""
    name = f"{history.card.number} rev {revision.label}"
    asked = history.requirements.get(revision.id)
    if asked is None:
        raise NotFound(
            f"the requirements of {name} are not recorded; "
            f"`partstead requirements record {history.card.number}@{revision.label} FILE.csv`"
        )
    rows = [_row(characteristic) for characteristic in asked.characteristics]
    heading = ("NO", "NAME", "REQUIREMENT", "KEY", "MEASURED", "GAUGE")
    return Shown(asked, (name, *table(heading, rows), *facts(_other(asked))))


def _row(characteristic: Characteristic) -> tuple[str, ...]:
    from vault.documents.job_words import requirement_words

    key = "key" if characteristic.key else ""
    words = requirement_words(characteristic)
    gauge = characteristic.gauge or ""
    return (characteristic.number, characteristic.name, words, key, characteristic.measured_in, gauge)


def _other(asked: Requirements) -> Iterator[tuple[str, str]]:
    yield "material", asked.material or ""
    yield "condition", asked.condition or ""
    yield "heat treatment", asked.heat_treatment or ""
    yield "finish", asked.finish or ""
    yield "marking", asked.marking or ""
    yield "specifications", ", ".join(asked.specifications)
    yield "notes", "\n".join(asked.notes)
    yield "drawing", "compared by a person" if asked.drawing_compared else "not compared"
    yield "changes", "\n".join(f"{change.what}: {change.words}" for change in asked.changes_since)


def settings_shown(history: PartHistory) -> Shown:
    """Return the settings of a part with what proves each."""
    rows = [_settings_row(history, settings) for settings in history.settings]
    heading = ("NO", "FOR REV", "PRINTER", "MATERIAL", "PROVEN ON", "REASON")
    return Shown(history.settings, tuple(table(heading, rows)))


def _settings_row(history: PartHistory, settings: Settings) -> tuple[str, ...]:
    proven = [
        f"rev {history.label_of(proof.revision)} {proof.state}"
        for proof in history.proofs
        if proof.settings == settings.id
    ]
    label = history.label_of(settings.made_for)
    return (settings.number, label, settings.machine, settings.material, "; ".join(proven) or "never", settings.reason)
