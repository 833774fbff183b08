"""Settings and requirements in the words and order in which the floor reads them, for the traveler's tables."""

from collections.abc import Sequence

from vault import units
from vault.documents.cautions import gas_cautions
from vault.documents.traveler import CycleLine, CycleTable, Fact, FactGroup, MeasureLine, OperationLine
from vault.model.design import Characteristic
from vault.model.settings import Cycle, Inspect, Operation, Printing, Settings

_UNIT_WORDS = {"percent": "%", "none": ""}


def settings_groups(settings: Settings, printer: str) -> tuple[FactGroup, ...]:
    """Return the settings of printer, scale, cure and setter as the operators set them; `printer` names the machine."""
    scale = settings.scale
    scaling = {"Box x": units.scale(scale.x), "Box y": units.scale(scale.y), "Box z": units.scale(scale.z)}
    cure = settings.cure
    after = {
        "Cure": f"{units.celsius(cure.peak_c)}, {units.minutes(cure.hold_min)}, {cure.atmosphere}",
        "Setter": settings.setter.material,
        "Pieces on a setter": str(settings.setter.pieces_per_setter),
        "On the setter": settings.setter.layout,
    }
    orientation = {
        "Print, part directions to box x y z": settings.print_orientation.name or "at an angle, as in the box file",
        "Sinter, part directions to setter x y z": settings.sinter_orientation.name or "at an angle, see the setter",
    }
    return (
        _group(f"Printer {printer}", _printing(settings.printing)),
        _group("Scale, applied after turning", scaling),
        _group("Orientation", orientation),
        _group("Cure and setting", after),
    )


def cycle_table(title: str, cycle: Cycle, furnace: str, total: str) -> CycleTable:
    """Return a furnace cycle segment by segment, with the cautions of its gases beside it."""
    return CycleTable(
        title=f"{title}: {cycle.name}",
        furnace=furnace,
        total=total,
        segments=tuple(
            CycleLine(
                ramp=f"{_number(segment.ramp_c_per_h)} C/h",
                target=units.celsius(segment.target_c),
                hold=units.minutes(segment.hold_min),
                atmosphere=segment.atmosphere.value,
                flow="" if segment.flow_l_min is None else f"{_number(segment.flow_l_min)} l/min",
            )
            for segment in cycle.segments
        ),
        gas_cautions=gas_cautions([segment.atmosphere for segment in cycle.segments]),
    )


def operation_lines(settings: Settings, printer: str, furnaces: tuple[str, str]) -> tuple[OperationLine, ...]:
    """Return every operation in order: printing to sintering as P1 to P5, then those that the settings number.

    Rework operations are left out: they are ordered when they are needed, not done on every job.
    """
    debinding, sintering = furnaces
    steps = (
        ("Print", printer, ""),
        ("Cure", "", ""),
        ("Depowder", "", settings.depowdering),
        ("Debind", debinding, settings.debind.name),
        ("Sinter", sintering, settings.sinter.name),
    )
    first = tuple(
        OperationLine(number=f"P{index}", name=name, where=where, instruction=instruction)
        for index, (name, where, instruction) in enumerate(steps, start=1)
    )
    return (*first, *(_operation(operation) for operation in settings.operations if not operation.is_rework))


def measure_lines(characteristics: Sequence[Characteristic], plan: Sequence[Inspect]) -> tuple[MeasureLine, ...]:
    """Return what to measure, in the order of the drawing; what the plan leaves out says so."""
    planned = {number: line for line in plan for number in line.characteristics}
    return tuple(
        MeasureLine(
            number=one.number,
            name=one.name,
            requirement=requirement_words(one),
            state=one.measured_in.value,
            how_many=_how_many(planned.get(one.number)),
            gauge=_gauge(one, planned.get(one.number)),
            key=one.key,
        )
        for one in characteristics
    )


def requirement_words(one: Characteristic) -> str:
    """Print a requirement: limits with their unit as they were entered, or the words of an attribute."""
    if one.requirement is not None and one.form == "attribute":
        return one.requirement
    unit = _UNIT_WORDS.get(one.unit, one.unit)
    match (one.lower, one.upper):
        case (None, float() as upper):
            limits = f"at most {_number(upper)}"
        case (float() as lower, None):
            limits = f"at least {_number(lower)}"
        case (float() as lower, float() as upper):
            limits = f"{_number(lower)} to {_number(upper)}"
        case _:
            limits = "no limits entered"
    return f"{limits} {unit}".strip()


def _printing(printing: Printing) -> dict[str, str]:
    lines = {
        "Layer": f"{_number(printing.layer_um)} um",
        "Binder": printing.binder,
        "Binder fraction of pore volume": f"{_number(printing.binder_of_pore_volume_percent)} %",
        "Wait after jetting": f"{_number(printing.wait_after_jetting_s)} s",
        "Drying per layer": f"{_number(printing.drying_s)} s at {units.celsius(printing.drying_c)}",
    }
    if printing.spreader_mm_s is not None:
        lines["Spreader"] = f"{_number(printing.spreader_mm_s)} mm/s"
    if printing.roller_rpm is not None:
        lines["Roller"] = f"{_number(printing.roller_rpm)} 1/min"
    if printing.print_preparation is not None:
        lines["Print preparation"] = printing.print_preparation
    if printing.firmware is not None:
        lines["Firmware"] = printing.firmware
    return lines


def _operation(operation: Operation) -> OperationLine:
    numbers = []
    if operation.peak_c is not None:
        numbers.append(units.celsius(operation.peak_c))
    if operation.hold_min is not None:
        numbers.append(units.minutes(operation.hold_min))
    if operation.pressure_mpa is not None:
        numbers.append(f"{_number(operation.pressure_mpa)} MPa")
    instruction = "\n".join(words for words in (", ".join(numbers), operation.instruction) if words)
    where = f"outside, {operation.supplier}" if operation.supplier else ""
    return OperationLine(number=str(operation.number), name=operation.name, where=where, instruction=instruction)


def _how_many(line: Inspect | None) -> str:
    if line is None:
        return "not in the plan"
    if line.how_many == "100 %":
        return "every piece"
    if line.how_many == "first piece":
        return line.how_many
    return ", ".join(words for words in (f"{line.sample} of the lot" if line.sample else "", line.plan or "") if words)


def _gauge(one: Characteristic, line: Inspect | None) -> str:
    gauge = one.gauge if line is None or line.gauge is None else line.gauge
    zone = f"drawing zone {one.drawing_zone}" if one.drawing_zone else ""
    return ", ".join(words for words in (gauge or "", zone) if words)


def _number(value: float) -> str:
    """Print a number exactly as it was entered, without a needless ".0"."""
    return str(value).removesuffix(".0")


def _group(title: str, lines: dict[str, str]) -> FactGroup:
    return FactGroup(title=title, facts=tuple(Fact(name=name, value=value) for name, value in lines.items()))
