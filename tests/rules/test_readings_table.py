"""Reading inspection tables: what is understood, and what is not."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.builders import a_characteristic, an_attribute, some_requirements
from vault.rules.readings_table import template_csv, understand_csv

ASKED = some_requirements(
    a_characteristic("1"), an_attribute("2"), a_characteristic("3", name="Bore", nominal=6.0, lower=5.98, upper=6.02)
)


def read(text):
    return understand_csv(text, ASKED)


def test_a_long_table_is_a_reading_on_each_line():
    understood = read("characteristic,piece,value\n1,1,30.01\n1,2,29.99\n2,1,ok\n")
    assert (understood.form, understood.pieces, understood.is_clean) == ("long", ("1", "2"), True)
    assert [(r.characteristic, r.piece, r.value, r.accepted) for r in understood.readings] == [
        ("1", "1", 30.01, None),
        ("1", "2", 29.99, None),
        ("2", "1", None, True),
    ]


def test_a_wide_table_has_pieces_as_lines_and_characteristics_as_columns():
    understood = read("piece\t1\t2\t3\nA1\t30.01\taccept\t6.00\nA2\t30.2\treject\t6.00\n")
    assert (understood.form, understood.is_clean, len(understood.readings)) == ("wide", True, 6)
    assert [(seen.characteristic, seen.readings, seen.outside) for seen in understood.seen] == [
        ("1", 2, 1),
        ("2", 2, 1),
        ("3", 2, 0),
    ]
    assert (understood.seen[0].lowest, understood.seen[0].highest) == (30.01, 30.2)


def test_a_decimal_comma_is_read_as_a_point_and_told():
    understood = read("piece;1;3\n1;30,01;6\n")
    assert understood.readings[0].value == 30.01
    assert "1 numbers with a decimal comma were read" in understood.remarks


def test_a_decimal_comma_among_commas_is_a_problem_and_not_another_column():
    understood = read("piece,1,3\n1,30,01,6\n")
    assert understood.problems == (
        "line 2: 4 cells, the heading has 3; a decimal comma needs semicolons or tabs between the cells",
    )


@pytest.mark.parametrize(
    "cell", ["30.01 mm", "about 30", "1,234.5", "3o.01", "=A1+1", "nan", "inf", "1e999", "30,01,02"]
)
def test_text_among_numbers_is_a_problem_with_its_line(cell):
    understood = read(f"piece;1\n1;30.0\n2;{cell}\n")
    assert not understood.is_clean
    assert understood.problems[0].startswith("line 3: ")


def test_an_attribute_says_accept_or_reject_and_nothing_else():
    understood = read("piece,2\n1,OK\n2,No-Go\n3,perhaps\n4,1\n")
    assert [reading.accepted for reading in understood.readings] == [True, False]
    assert len(understood.problems) == 2


def test_an_unknown_characteristic_is_a_problem_in_either_form():
    assert "'9' is no characteristic" in read("characteristic,piece,value\n9,1,30.0\n").problems[0]
    assert "'9' is no characteristic" in read("piece,1,9\n1,30.0,4\n").problems[0]


def test_a_reading_that_stands_twice_is_a_problem_that_names_both_lines():
    understood = read("characteristic,piece,value\n1,a,30.0\n1,A,30.0\n")
    assert understood.problems == ("line 3: characteristic 1 of piece A stands on line 2 too",)


def test_empty_cells_and_characteristics_that_are_not_there_are_told():
    understood = read("piece,1,2\n1,30.0,\n2,,ok\n")
    assert understood.is_clean
    assert understood.remarks == (
        "characteristic 2: 1 cells are empty",
        "characteristic 1: 1 cells are empty",
        "characteristic 3 (Bore) is not in the table",
    )


def test_readings_in_inches_or_far_off_are_told():
    assert "look like inches" in read("piece,1\n1,1.1811\n").remarks[0]
    assert "readings near 300 where 30.000 mm is asked" in read("piece,1\n1,300\n").remarks[0]


@pytest.mark.parametrize("text", ["", "\n\n", "piece,1\n", "hello\n1,2\n", "length,width\n1,2\n"])
def test_what_is_no_table_is_said_to_be_none(text):
    understood = read(text)
    assert not understood.is_clean
    assert understood.problems


def test_a_missing_piece_is_a_problem():
    assert read("piece,1\n,30.0\n").problems == ("line 2: the piece is missing",)
    assert read("characteristic,piece,value\n1,,30.0\n,2,30.0\n").problems[0] == "line 2: the piece is missing"


def test_a_limit_itself_is_inside():
    assert read("piece,1\n1,29.9\n2,30.1\n3,30.1001\n").seen[0].outside == 1


def test_a_filled_template_reads_back_and_no_cell_of_it_is_computed():
    asked = some_requirements(a_characteristic("=1+1", name="@bad,=x"), an_attribute("-2"))
    template = template_csv(asked, ("1", "+2"))
    lines = template.splitlines()
    assert not any(cell.startswith(("=", "+", "-", "@")) for line in lines for cell in line.split(","))
    filled = "\n".join(
        line.replace(",,", ",30.0,ok") if not line.startswith(("#", "piece")) else line for line in lines
    )
    understood = understand_csv(filled, asked)
    assert understood.is_clean
    assert {reading.characteristic for reading in understood.readings} == {"=1+1", "-2"}
    assert understood.pieces == ("1", "+2")


@given(st.text(max_size=300))
def test_no_text_makes_it_fail(text):
    understood = read(text)
    assert understood.is_clean or understood.problems
