"""What reaches a terminal is plain, aligned text; what `--json` prints is JSON and nothing else."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.builders import a_part
from vault.cli.as_json import plain_form
from vault.cli.show import Shown, facts, plain, put, table
from vault.model.words import Stage


@given(st.text())
def test_no_hidden_character_reaches_the_terminal(text: str) -> None:
    assert all(line.isprintable() for line in plain(text).split("\n"))


def test_an_escape_is_spelled_out() -> None:
    assert plain("\x1b[31mred\u202e") == "\\u001b[31mred\\u202e"


@given(st.lists(st.tuples(st.text(), st.text()), min_size=1))
def test_a_row_is_one_line(rows: list[tuple[str, str]]) -> None:
    lines = table(("A", "B"), rows)
    assert len(lines) == len(rows) + 1
    assert all(line.isprintable() for line in lines)


def test_numbers_end_flush() -> None:
    lines = table(("LOT", "PIECES"), [("L-1", "5"), ("L-22", "200")], right=frozenset({1}))
    assert lines == ["LOT   PIECES", "L-1        5", "L-22     200"]


def test_an_empty_table_has_no_heading() -> None:
    assert table(("LOT", "PIECES"), []) == []


def test_facts_stand_below_each_other() -> None:
    told = facts((("part", "BRK-204"), ("on hold", "one\ntwo"), ("note", "")))
    assert told == ["part     BRK-204", "on hold  one\n         two"]


def test_json_is_alone_on_stdout(capsys: pytest.CaptureFixture[str]) -> None:
    put(Shown({"name": "M\u00fcller \u202e"}, ("words",)), as_json=True)
    out = capsys.readouterr().out
    assert json.loads(out) == {"name": "M\u00fcller \u202e"}
    assert out.isascii()


def test_nothing_to_list_is_said_apart_from_the_data(capsys: pytest.CaptureFixture[str]) -> None:
    put(Shown([], ()))
    ran = capsys.readouterr()
    assert (ran.out, ran.err) == ("", "nothing is recorded\n")


@dataclass(frozen=True)
class _Made:
    """A value as the actions return them."""

    at: datetime
    on: date
    file: Path
    stage: Stage
    counts: Mapping[str, tuple[int, ...]]
    share: float


def test_values_of_every_kind_have_a_plain_form() -> None:
    made = _Made(
        datetime(2026, 3, 2, 8, tzinfo=UTC), date(2026, 3, 2), Path("out") / "a.zip", Stage.RAMP, {"a": (1, 2)}, 0.1
    )
    assert plain_form(made) == {
        "at": "2026-03-02T08:00:00+00:00",
        "on": "2026-03-02",
        "file": str(Path("out/a.zip")),
        "stage": "ramp",
        "counts": {"a": [1, 2]},
        "share": 0.1,
    }


def test_a_record_has_its_own_form() -> None:
    card = a_part()
    assert plain_form([card]) == [card.model_dump(mode="json")]


def test_a_number_that_is_none_is_null() -> None:
    assert plain_form([float("nan"), float("inf"), 1.5]) == [None, None, 1.5]


def test_what_has_no_form_is_a_fault_of_ours() -> None:
    with pytest.raises(TypeError, match="object"):
        plain_form(object())
