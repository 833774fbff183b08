"""`--set field=value`: the field decides how the text is read."""

from pathlib import Path
from typing import Any

import pytest

from vault.cli.fields import nested, read_fields, set_values, value_for
from vault.errors import BadInput
from vault.model.cards import Box, Gauge, Machine, Material, Part, Person
from vault.model.settings import Settings

STUDY = '{"percent_of_tolerance": 8, "studied_on": "2026-01-12"}'


@pytest.mark.parametrize(
    ("kind", "field", "typed", "value"),
    [
        (Part, "customer_number", "4471", "4471"),
        (Part, "note", "null", None),
        (Part, "note", "true", "true"),
        (Part, "other_numbers", "A-1, A-2", ["A-1", "A-2"]),
        (Part, "other_numbers", '["A-1"]', ["A-1"]),
        (Part, "other_numbers", "471", ["471"]),
        (Part, "control.status", "not yet classified", "not yet classified"),
        (Part, "control.classified_on", "2026-03-02", "2026-03-02"),
        (Person, "roles", "engineer,quality", ["engineer", "quality"]),
        (Box, "size_mm", "400,250,200", [400, 250, 200]),
        (Box, "layer_s", "12.5", 12.5),
        (Machine, "retired", "true", True),
        (Machine, "boxes", "BX-1", ["BX-1"]),
        (Gauge, "study", STUDY, {"percent_of_tolerance": 8, "studied_on": "2026-01-12"}),
        (Material, "powder.reuse_max", "5", 5),
        (Settings, "scale.z", "1.21", 1.21),
        (Settings, "printing.layer_um", "50", 50),
    ],
)  # fmt: skip
def test_the_field_decides_how_a_text_is_read(kind: Any, field: str, typed: str, value: object) -> None:
    assert value_for(kind, field, typed) == value


def test_a_text_that_fits_nothing_stays_what_was_typed() -> None:
    assert value_for(Box, "layer_s", "quick") == "quick"


def test_dashes_in_a_name_are_underscores() -> None:
    assert set_values(Part, [("customer-number", "7")]) == {"customer_number": "7"}


def test_a_field_set_twice_is_refused() -> None:
    with pytest.raises(BadInput, match="twice"):
        set_values(Part, [("note", "a"), ("note", "b")])


def test_dots_reach_inside() -> None:
    assert nested({"a.b": 1, "a.c": 2, "d": 3}) == {"a": {"b": 1, "c": 2}, "d": 3}
    with pytest.raises(BadInput, match="no fields inside"):
        nested({"a": 1, "a.b": 2})


@pytest.mark.parametrize("content", ["[1]", "{", "", "\xff"])
def test_a_file_that_holds_no_fields_is_refused(tmp_path: Path, content: str) -> None:
    (tmp_path / "card.json").write_text(content, encoding="latin-1")
    with pytest.raises(BadInput, match="card.json"):
        read_fields(tmp_path / "card.json")
