"""Settings and requirements reach the floor with the numbers that were entered, and with their units."""

import pytest

from tests.documents.jobs import AT
from vault.documents.job_words import cycle_table, measure_lines, operation_lines, requirement_words, settings_groups
from vault.model.design import Characteristic
from vault.model.ids import CardId, PartNumber, SettingsNumber, Ulid
from vault.model.orientation import Orientation
from vault.model.settings import Cure, Cycle, Inspect, Operation, Printing, Scale, Segment, Setter, Settings
from vault.model.words import Atmosphere


def a_cycle() -> Cycle:
    """Return a cycle of two segments."""
    line = Segment(ramp_c_per_h=120.0, target_c=600.0, hold_min=95.0, atmosphere=Atmosphere.HYDROGEN, flow_l_min=7.5)
    last = Segment(ramp_c_per_h=62.5, target_c=1365.0, hold_min=30.0, atmosphere=Atmosphere.VACUUM)
    return Cycle(name="17-4 slow", furnace=CardId("FUR-2"), segments=(line, last))


def printing() -> Printing:
    """Return settings of the printer, some of them left open."""
    return Printing(
        layer_um=50.0,
        binder="BS-2",
        binder_of_pore_volume_percent=62.5,
        wait_after_jetting_s=1.5,
        drying_s=8.0,
        drying_c=45.0,
        roller_rpm=300.0,
    )


def the_settings() -> Settings:
    """Return settings as an engineer would record them."""
    ulid = Ulid("01JNX0000000000000000000AA")
    return Settings(
        by="mira",
        at=AT,
        id=ulid,
        number=SettingsNumber("S2"),
        part=PartNumber("BRK-204"),
        made_for=ulid,
        machine=CardId("PRN-1"),
        material=CardId("17-4"),
        powder_specification="PS-017 issue 4",
        reason="First try.",
        printing=printing(),
        scale=Scale(x=1.1875, y=1.1842, z=1.1961),
        print_orientation=Orientation.as_drawn(),
        sinter_orientation=Orientation.as_drawn(),
        cure=Cure(peak_c=190.0, hold_min=360.0, atmosphere=Atmosphere.NITROGEN),
        depowdering="Brush, then air at 2 bar.",
        debind=a_cycle(),
        sinter=a_cycle(),
        setter=Setter(material="alumina", layout="flat face down", pieces_per_setter=12),
        operations=(
            Operation(
                number=10,
                name="HIP",
                kind="HIP",
                supplier="Tarn Works",
                peak_c=1120.0,
                hold_min=240.0,
                pressure_mpa=100.0,
            ),
            Operation(number=20, name="Straighten", kind="sizing", is_rework=True),
        ),
    )


def test_the_printer_is_set_with_numbers_as_entered_and_their_units() -> None:
    facts = {fact.name: fact.value for group in settings_groups(the_settings(), "PRN-1") for fact in group.facts}
    assert facts["Layer"] == "50 um"
    assert facts["Binder fraction of pore volume"] == "62.5 %"
    assert facts["Drying per layer"] == "8 s at 45 C"
    assert (facts["Box x"], facts["Box y"], facts["Box z"]) == ("1.18750", "1.18420", "1.19610")
    assert facts["Cure"] == "190 C, 6 h 0 min, nitrogen"


def test_a_cycle_reads_segment_by_segment_and_carries_the_cautions_of_its_gases() -> None:
    table = cycle_table("Sinter", a_cycle(), "FUR-2", "31 h")
    assert [(line.ramp, line.target, line.hold, line.flow) for line in table.segments] == [
        ("120 C/h", "600 C", "1 h 35 min", "7.5 l/min"),
        ("62.5 C/h", "1365 C", "30 min", ""),
    ]
    assert "burns in air" in " ".join(table.gas_cautions)


def test_operations_run_from_printing_to_the_last_and_leave_rework_out() -> None:
    lines = operation_lines(the_settings(), "PRN-1", ("FUR-1", "FUR-2"))
    assert [line.number for line in lines] == ["P1", "P2", "P3", "P4", "P5", "10"]
    assert lines[-1].where == "outside, Tarn Works"
    assert lines[-1].instruction == "1120 C, 4 h 0 min, 100 MPa"


@pytest.mark.parametrize(
    ("lower", "upper", "unit", "words"),
    [
        (10.0, 10.05, "mm", "10 to 10.05 mm"),
        (None, 0.15, "mm", "at most 0.15 mm"),
        (38.0, None, "HRC", "at least 38 HRC"),
        (123.4567, 123.4571, "mm", "123.4567 to 123.4571 mm"),
        (96.5, None, "percent", "at least 96.5 %"),
    ],
)
def test_limits_are_printed_as_entered(lower: float | None, upper: float | None, unit: str, words: str) -> None:
    values = {"number": "1", "name": "Bore", "form": "variable", "lower": lower, "upper": upper, "unit": unit}
    assert requirement_words(Characteristic.model_validate(values)) == words


def test_what_the_inspection_plan_leaves_out_says_so() -> None:
    attribute = Characteristic(number="2", name="Thread", form="attribute", requirement="M6 go enters, no-go does not")
    bore = Characteristic(number="1", name="Bore", form="variable", upper=10.05, lower=10.0, unit="mm", key=True)
    plan = (Inspect(characteristics=("1",), how_many="sample", sample=5),)
    first, second = measure_lines((bore, attribute), plan)
    assert (first.how_many, first.key) == ("5 of the lot", True)
    assert (second.how_many, second.requirement) == ("not in the plan", "M6 go enters, no-go does not")
