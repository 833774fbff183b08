"""The settings form: printed empty, filled in by a person, and refused with the name of every gap."""

import json

import pytest

from tests.cli.shop import Shop, a_settings_form
from vault.cli.forms import settings_form
from vault.model.settings import Settings


def test_the_form_asks_for_everything_that_the_register_does_not_give() -> None:
    form = json.loads(settings_form())
    given = {"id", "number", "part", "made_for", "by", "at", "derived_from", "near_net", "invented_for_demo"}
    assert set(form) == set(Settings.model_fields) - given


def test_an_empty_form_is_refused_with_the_gaps_named(shop: Shop) -> None:
    before = shop.head
    ran = shop("settings", "add", "BRK-204@C", shop.file("empty.json", settings_form()))
    assert (ran.code, shop.head) == (5, before)
    assert "machine" in ran.err


@pytest.mark.parametrize(
    ("field", "value", "named"),
    [
        ("print_orientation", "+x+x+z", "orientation"),
        ("machine", "PRN-9", "PRN-9"),
        ("scale", {"x": 5, "y": 1.1, "z": 1.1}, "scale.x"),
        ("clearance_mm", float("nan"), "clearance_mm"),
    ],
)
def test_a_form_with_something_impossible_is_refused(shop: Shop, field: str, value: object, named: str) -> None:
    before = shop.head
    form = json.dumps({**a_settings_form(), field: value})
    ran = shop("settings", "add", "BRK-204@C", shop.file("wrong.json", form))
    assert ran.code in {3, 5}
    assert shop.head == before
    assert named in ran.err
