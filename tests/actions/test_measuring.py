"""Recording measurements."""

from dataclasses import replace
from datetime import date

import pytest

from tests.builders import GAUGE, a_gauge
from tests.floor_builders import LOT, a_lot
from tests.given import a_path, given, given_lot, given_makeable, given_part, given_revision, reader_of
from vault.actions.measuring import (
    HowMeasured,
    Weighing,
    inspection_template,
    measure,
    measured_with,
    understand_table,
)
from vault.errors import BadInput, NotFound, Refused
from vault.model.findings import Code
from vault.model.words import MeasuredIn, SealState

FINISHED = HowMeasured(MeasuredIn.FINISHED, GAUGE)


@pytest.fixture
def shop(vault):
    given_makeable(vault)
    given_lot(vault)
    return vault.as_person("quin")


def a_table(vault, text="piece,1,2\n1,30.0,ok\n2,30.02,ok\n"):
    return a_path(vault, "inspection.csv", text.encode())


def test_a_table_is_understood_before_anything_is_written(shop):
    before = shop.store.head()
    understood = understand_table(shop, LOT, a_table(shop))
    assert (len(understood.readings), understood.is_clean, shop.store.head()) == (4, True, before)


def test_readings_are_recorded_with_their_gauge_and_table(shop):
    table = a_table(shop)
    measured = measure(shop, LOT, understand_table(shop, LOT, table), FINISHED, source=table)
    entry = reader_of(shop).lot(LOT).measurements[0]
    assert (measured.entries, measured.findings) == ((entry,), ())
    assert (entry.gauge, entry.measured_by, entry.measured_on, entry.source.name) == (
        GAUGE,
        "quin",
        date(2026, 3, 2),
        "inspection.csv",
    )


def test_a_table_with_problems_is_not_recorded(shop):
    understood = understand_table(shop, LOT, a_table(shop, "piece,1\n1,thirty\n"))
    with pytest.raises(BadInput, match="line 2: 'thirty' is not a number"):
        measure(shop, LOT, understood, FINISHED)
    assert reader_of(shop).lot(LOT).measurements == ()


def test_a_gauge_out_of_calibration_on_that_day_is_refused(shop):
    given(shop, a_gauge(calibration_due=date(2026, 3, 1)))
    understood = understand_table(shop, LOT, a_table(shop))
    with pytest.raises(Refused, match="GAUGE_OUT_OF_CALIBRATION"):
        measure(shop, LOT, understood, FINISHED)
    measured = measure(shop, LOT, understood, replace(FINISHED, measured_on=date(2026, 3, 1)))
    assert measured.entries[0].measured_on == date(2026, 3, 1)


def test_a_retired_gauge_is_refused(shop):
    given(shop, a_gauge(retired=True))
    with pytest.raises(Refused, match="is retired"):
        measure(shop, LOT, understand_table(shop, LOT, a_table(shop)), FINISHED)


def test_earlier_lots_measured_with_a_gauge_past_its_day_are_listed(shop):
    measure(shop, LOT, understand_table(shop, LOT, a_table(shop)), FINISHED)
    assert [recorded.findings for recorded in measured_with(reader_of(shop), GAUGE)] == [()]
    given(shop, a_gauge(calibration_due=date(2026, 2, 28)))
    found = measured_with(reader_of(shop), GAUGE)
    assert [(recorded.entry.lot, recorded.findings[0].code) for recorded in found] == [
        (LOT, Code.GAUGE_OUT_OF_CALIBRATION)
    ]


def test_many_readings_become_several_records_and_none_is_lost(shop):
    given(shop, a_lot("L-26A0009", count=700))
    text = "piece,1\n" + "".join(f"{piece},30.0\n" for piece in range(700))
    understood = understand_table(shop, "L-26A0009", a_table(shop, text))
    measure(shop, "L-26A0009", understood, FINISHED)
    recorded = reader_of(shop).lot("L-26A0009").measurements
    assert [len(entry.readings) for entry in recorded] == [300, 300, 100]
    assert len({reading.piece for entry in recorded for reading in entry.readings}) == 700


def test_densities_are_computed_from_the_weighings(shop):
    weighing = Weighing("1", 25.0, 21.75, 22.0, SealState.SEALED)
    entry = measure(shop, LOT, None, HowMeasured(MeasuredIn.AS_SINTERED), (weighing,)).entries[0]
    assert entry.densities[0].density_g_cm3 == pytest.approx(7.667146, abs=5e-7)  # worked example, air buoyancy 0.0012


def test_a_scan_is_kept_as_evidence(shop):
    entry = measure(shop, LOT, None, HowMeasured(MeasuredIn.FINISHED), scans=(a_path(shop, "scan.stl"),)).entries[0]
    assert [(kept.name, kept.role) for kept in entry.scans] == [("scan.stl", "scan")]


def test_what_looks_wrong_is_told_and_recorded(shop):
    text = "piece,1\n" + "".join(f"{piece},30.0\n" for piece in range(31))
    understood = understand_table(shop, LOT, a_table(shop, text))
    measured = measure(shop, LOT, understood, HowMeasured(MeasuredIn.AS_SINTERED))
    assert [finding.code for finding in measured.findings] == [
        Code.READING_UNLIKELY,  # more pieces than the lot has
        Code.READING_UNLIKELY,  # the characteristic counts on finished pieces
        Code.GAUGE_NOT_NAMED,  # the drawing's plan names another
        Code.GAUGE_NOT_NAMED,  # numbers without a gauge
    ]


def test_readings_taken_again_are_told(shop):
    understood = understand_table(shop, LOT, a_table(shop))
    measure(shop, LOT, understood, FINISHED)
    found = measure(shop, LOT, understood, FINISHED).findings
    assert [finding.code for finding in found] == [Code.MEASURED_AGAIN]


def test_a_serial_that_the_lot_does_not_have_is_told(shop):
    given(shop, a_lot("L-26A0009", count=2, serials=("A1", "A2")))
    understood = understand_table(shop, "L-26A0009", a_table(shop, "piece,1\nA1,30.0\nB1,30.0\n"))
    found = measure(shop, "L-26A0009", understood, FINISHED).findings
    assert [finding.sentence for finding in found] == ["lot L-26A0009 has no piece with the serial B1"]


def test_the_template_has_a_line_for_each_piece(shop):
    lines = inspection_template(shop, LOT).splitlines()
    assert lines[2] == "piece,1,2"
    assert len(lines) == 3 + 30
    given(shop, a_lot("L-26A0009", count=2, serials=("A1", "A2")))
    assert inspection_template(shop, "L-26A0009").splitlines()[3:] == ["A1,,", "A2,,"]


def test_nothing_a_future_day_and_a_strange_file_are_refused(shop):
    with pytest.raises(BadInput, match="nothing to record"):
        measure(shop, LOT, None, FINISHED)
    with pytest.raises(BadInput, match="has not come yet"):
        measure(shop, LOT, None, replace(FINISHED, measured_on=date(2026, 3, 3)), scans=(a_path(shop, "s.stl"),))
    with pytest.raises(BadInput, match="not text in UTF-8"):
        understand_table(shop, LOT, a_path(shop, "photo.csv", b"\xff\xd8\xff"))
    with pytest.raises(NotFound, match="no file"):
        understand_table(shop, LOT, shop.folder / "nowhere.csv")


def test_without_requirements_nothing_can_be_understood(vault):
    given_part(vault)
    given_revision(vault)
    given(vault, a_lot())
    with pytest.raises(NotFound, match="requirements of BRK-204 rev C are not recorded"):
        understand_table(vault, LOT, a_table(vault))
