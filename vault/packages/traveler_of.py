"""Filling the traveler from a package's sheet: every number gets its unit here, and nothing is decided."""

from datetime import date
from typing import Any

from vault import units
from vault.documents.cautions import safety_cautions
from vault.documents.job_words import cycle_table, measure_lines, operation_lines, settings_groups
from vault.documents.traveler import CycleTable, Fact, JobBox, Mind, Traveler
from vault.model.base import Vector3
from vault.model.findings import Code
from vault.model.orders import Order
from vault.model.package_sheet import PackageSheet
from vault.model.settings import Cycle, Settings
from vault.model.words import FileRole

NOT_STATED = "not stated"
ROOM_C = 20.0
"""Where a furnace cycle starts from."""


def traveler_of(sheet: PackageSheet) -> Traveler:
    """Return the traveler of a package."""
    order, settings, asked = sheet.order, sheet.settings, sheet.requirements
    return Traveler(
        **_ordered(order),
        shop=sheet.register_name,
        package_id=sheet.package,
        qr_text=f"partstead:{sheet.package}",
        part_number=order.part,
        revision=sheet.revision.label,
        description=sheet.description,
        customer=sheet.customer_name,
        customer_number=sheet.customer_number,
        drawing=_drawing(sheet),
        to_start=sheet.quantity_to_start,
        material=sheet.material.name,
        powder=settings.powder_specification,
        settings_number=settings.number,
        criticality=sheet.criticality,
        picture_words=f"In the box: {_lies(settings)}.",
        dimensions=_dimensions(sheet),
        boxes=(_box(sheet),),
        settings=settings_groups(settings, f"{sheet.machine.name} ({settings.machine})"),
        cycles=tuple(
            _cycle(title, cycle) for title, cycle in (("Debind", settings.debind), ("Sinter", settings.sinter))
        ),
        operations=operation_lines(settings, settings.machine, (settings.debind.furnace, settings.sinter.furnace)),
        characteristics=measure_lines(asked.characteristics, settings.inspection) if asked else (),
        minds=_minds(sheet),
        holds=_sentences(sheet, Code.ON_HOLD),
        concessions=_sentences(sheet, Code.CONCESSION_IN_FORCE),
        safety=safety_cautions(sheet.material.contains_nickel, sheet.material.reactive),
        basis=sheet.basis,
        void_after=date.fromisoformat(sheet.valid_until),
        watermark=sheet.watermark,
    )


_ON_OWN_LINES = frozenset({Code.ON_HOLD, Code.CONCESSION_IN_FORCE, Code.DEMO_SETTINGS})


def _ordered(order: Order) -> dict[str, Any]:
    """Return what the PO says, by the fields of the traveler."""
    return {
        "order": order.id,
        "po": order.po,
        "po_line": order.po_line,
        "po_amendment": order.amendment or "",
        "to_deliver": order.quantity,
        "over_under": f"+{order.over_allowed} / -{order.under_allowed}",
        "due": order.first_due,
        "clauses": tuple(f"{clause.about}: {clause.words}" for clause in order.clauses),
    }


def _minds(sheet: PackageSheet) -> tuple[Mind, ...]:
    listed = [finding for finding in sheet.findings if finding.code not in _ON_OWN_LINES]
    return tuple(Mind(severity=finding.severity, words=finding.sentence) for finding in listed)


def _sentences(sheet: PackageSheet, code: Code) -> tuple[str, ...]:
    return tuple(finding.sentence for finding in sheet.findings if finding.code is code)


def _drawing(sheet: PackageSheet) -> str:
    revision = sheet.revision
    if revision.drawing_number is None:
        has_one = any(kept.role is FileRole.DRAWING for kept in revision.files)
        return "see design folder" if has_one else "none, the model defines the part"
    return f"{revision.drawing_number} rev {revision.drawing_revision or NOT_STATED}"


def _lies(settings: Settings) -> str:
    printed, sintered = settings.print_orientation.name, settings.sinter_orientation.name
    as_printed = f"part directions {printed} along box x, y, z" if printed else "at the angle recorded in package.json"
    as_sintered = f"{sintered} on the setter" if sintered else "at the recorded angle on the setter"
    return f"{as_printed}; to sinter: {as_sintered}"


def _size(size_mm: Vector3) -> str:
    return " x ".join(f"{edge:.2f}" for edge in size_mm) + " mm"


def _dimensions(sheet: PackageSheet) -> tuple[Fact, ...]:
    return (
        Fact(name="Finished size", value=_size(sheet.measured.size_mm)),
        Fact(name="Green size in the box", value=_size(sheet.plan.green_size_mm)),
        Fact(name="Volume", value=units.mm3(sheet.measured.volume_mm3)),
        Fact(name="Mass as sintered", value=units.grams(sheet.mass_g)),
    )


def _box(sheet: PackageSheet) -> JobBox:
    plan = sheet.plan
    x, y, z = plan.grid
    return JobBox(
        name=f"{sheet.box.name} on {sheet.machine.name}",
        layout=f"grid of {x} x {y} x {z}, clear by {sheet.settings.clearance_mm:g} mm",
        file="green/part.3mf",
        boxes=plan.boxes,
        parts_per_box=plan.per_box,
        time_per_box=units.minutes(plan.box_min),
    )


def cycle_min(cycle: Cycle) -> float:
    """Return the whole time of a cycle, minutes: ramps from room temperature, up or down, and holds."""
    total, here = 0.0, ROOM_C
    for segment in cycle.segments:
        total += abs(segment.target_c - here) / segment.ramp_c_per_h * 60 + segment.hold_min
        here = segment.target_c
    return total


def _cycle(title: str, cycle: Cycle) -> CycleTable:
    return cycle_table(title, cycle, cycle.furnace, units.minutes(cycle_min(cycle)))
