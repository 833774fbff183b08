"""What people type in a shell becomes a value, or one sentence."""

from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vault.cli import values
from vault.errors import BadInput


@given(st.dates())
def test_a_day_is_read_as_it_is_written(day: date) -> None:
    assert values.a_date(day.isoformat()) == day


@pytest.mark.parametrize(
    "typed", ["20240101", "2024-1-1", "2024-02-30", "24-01-01", "1704067200", "", "２０２４-01-01", "today"]
)
def test_any_other_form_of_a_day_is_refused(typed: str) -> None:
    with pytest.raises(BadInput, match="date"):
        values.a_date(typed)


@pytest.mark.parametrize("typed", ["", " ", "\t"])
def test_nothing_is_no_text_and_no_path(typed: str) -> None:
    with pytest.raises(BadInput, match="empty"):
        values.a_text(typed)
    with pytest.raises(BadInput, match="empty"):
        values.a_path(typed)


def test_the_current_folder_is_a_path_when_it_is_typed() -> None:
    assert values.a_path(".") == Path()


@pytest.mark.parametrize("typed", ["nan", "inf", "-inf", "1e999", "12 mm", ""])
def test_what_is_no_finite_number_is_refused(typed: str) -> None:
    with pytest.raises(BadInput):
        values.a_number(typed)


def test_none_is_a_count_only_where_none_may_be() -> None:
    assert values.a_count_or_none("0") == 0
    with pytest.raises(BadInput):
        values.a_count("0")


def test_a_place_in_the_furnace() -> None:
    assert values.a_place("L-26A0001") == ("L-26A0001", None, None)
    assert values.a_place("L-26A0001:40") == ("L-26A0001", 40, None)
    assert values.a_place("L-26A0001/2:40:T3") == ("L-26A0001/2", 40, "T3")


def test_a_weighing_keeps_colons_in_the_name_of_the_piece() -> None:
    assert values.a_weighing("box:1:45.9:39,8") == ("box:1", 45.9, 39.8)
    with pytest.raises(BadInput, match="PIECE:AIR_G:WATER_G"):
        values.a_weighing("45.9:39.8")


def test_names_with_values() -> None:
    assert values.a_pair("note=a=b") == ("note", "a=b")
    assert values.a_count_by_name("crack=2") == ("crack", 2)
    assert values.a_number_by_name("HL-0817=12,5") == ("HL-0817", 12.5)
    assert values.a_call_off("2026-04-01:100") == (date(2026, 4, 1), 100)
    assert values.a_clause("Certificate: with each delivery") == ("certificate", "with each delivery")
    assert values.a_witness("W1 hardness=38HRC").results == (("hardness", "38HRC"),)


@pytest.mark.parametrize("typed", ["=1", "note", ""])
def test_a_value_without_a_name_is_refused(typed: str) -> None:
    with pytest.raises(BadInput, match="NAME=VALUE"):
        values.a_pair(typed)
