"""Cards of every kind are added, edited, shown and listed by one factory."""

import json
from pathlib import Path

import pytest

from tests.cli.shop import Shop, with_cards

NAMED = {
    "customer": ("NORTHFELL", "note=pays late"),
    "part": ("BRK-204", "criticality=flight"),
    "person": ("edda", "roles=engineer,quality"),
    "machine": ("PRN-1", "firmware=4.2"),
    "material": ("17-4PH", "powder.reuse_max=6"),
    "box": ("BX-1", "size_mm=400,250,150"),
    "furnace": ("FUR-1", "trays=8"),
    "gauge": ("CAL-3", "calibration_due=2027-06-01"),
}


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Shop:
    return with_cards(Shop(tmp_path_factory.mktemp("cards")).start())


@pytest.mark.parametrize("word", NAMED)
def test_a_card_is_edited_field_by_field_and_shown(shop: Shop, word: str) -> None:
    name, change = NAMED[word]
    before = shop.done(word, "show", name, "--json").form
    assert name in shop.done(word, "list").out
    shop.done(word, "edit", name, "--set", change)
    after = shop.done(word, "show", name, "--json").form
    field = change.partition("=")[0].partition(".")[0]
    assert {key for key in after if after[key] != before[key]} == {field, "at"}


def test_a_handy_option_and_set_are_one_thing(shop: Shop) -> None:
    shop.done("part", "edit", "BRK-204", "--description", "bracket of the pump")
    shop.done("part", "edit", "BRK-204", "--set", "other_numbers=NF-1,NF-2")
    shown = shop.done("part", "show", "4471", "--json").form
    assert (shown["description"], shown["other_numbers"]) == ("bracket of the pump", ["NF-1", "NF-2"])


def test_a_shown_card_can_be_handed_in_again(shop: Shop) -> None:
    card = shop.done("machine", "show", "PRN-1", "--json").form
    fields = {name: value for name, value in card.items() if name not in {"id", "kind", "by", "at"}}
    shop.done(
        "machine", "add", "PRN-2", "--from", shop.file("printer.json", json.dumps(fields)), "--name", "printer two"
    )
    again = shop.done("machine", "show", "PRN-2", "--json").form
    assert again["name"] == "printer two"
    assert {**again, "name": "", "id": "", "at": ""} == {**card, "name": "", "id": "", "at": ""}


def test_the_name_of_a_card_is_typed_before_its_options(shop: Shop) -> None:
    ran = shop("machine", "add", "PRN-3", "--set", "id=PRN-4", "--name", "x", "--site", "hall")
    assert ran.code == 5
    assert "typed before the options" in ran.err


def test_the_shop_has_one_card_of_rates_and_one_policy(shop: Shop) -> None:
    rates = ("--printer-hour-cents", "4000", "--furnace-load-cents", "30000", "--labour-hour-cents", "6000",
             "--powder-kg-cents", "4500", "--binder-litre-cents", "9000")  # fmt: skip
    shop.done("rates", "add", "--currency", "EUR", *rates)
    assert shop("rates", "add", "--currency", "EUR", *rates).code == 7
    shop.done("rates", "edit", "--printer-hour-cents", "4200")
    assert shop.done("rates", "show", "--json").form["printer_hour_cents"] == 4200
    shop.done("policy", "edit", "--package-valid-days", "14", "--set", "carry.delta_deviation_mm=0.4")
    policy = shop.done("policy", "show", "--json").form
    assert (policy["package_valid_days"], policy["carry"]["delta_deviation_mm"]) == (14, 0.4)


def test_only_an_owner_edits_people_rates_and_policy(shop: Shop) -> None:
    before = shop.head
    for argv in (("person", "edit", "rolf", "--roles", "owner"), ("policy", "edit", "--package-valid-days", "999")):
        assert shop("--me", "edda", *argv).code == 8
    assert shop.head == before


def test_a_register_is_started_in_an_empty_folder_only(tmp_path: Path) -> None:
    shop = Shop(tmp_path)
    new = ("new", str(tmp_path / "register"), "--name", "Hallbeck", "--me", "mira", "--person", "Mira Hall")
    assert shop.bare(*new).code == 0
    assert "mira" in shop("writer", "show").out
    again = shop.bare(*new)
    assert again.code == 4
    assert str(tmp_path / "register") in again.err


def test_a_moved_register_writes_again_once_it_says_so(tmp_path: Path) -> None:
    Shop(tmp_path).start().register.rename(tmp_path / "moved")
    moved = ("--register", str(tmp_path / "moved"))
    person = (*moved, "person", "add", "edda", "--name", "Edda", "--roles", "engineer")
    assert Shop(tmp_path).bare(*person).code == 7
    assert Shop(tmp_path).bare(*moved, "writer", "moved").code == 0
    assert Shop(tmp_path).bare(*person).code == 0
