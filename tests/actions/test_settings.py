"""Settings: complete, numbered per part and writer, copied with named changes, never changed."""

from pathlib import Path
from typing import Any

import pytest

from tests.builders import PART, some_settings
from tests.given import a_path, given_part, given_revision, reader_of
from tests.shapes import box, stl_bytes
from vault.actions.context import Vault
from vault.actions.settings import ShapesForPrinting, add_settings, copy_settings, next_number
from vault.errors import BadInput, NotAllowed, NotFound
from vault.model.words import Answer


@pytest.fixture
def shop(vault: Vault) -> Vault:
    given_part(vault)
    given_revision(vault)
    return vault


def a_form(**fields: Any) -> dict[str, Any]:
    made_here = {"id", "number", "part", "made_for", "by", "at", "derived_from"}
    return {**some_settings().model_dump(mode="json", exclude=made_here), **fields}


def a_near_net(vault: Vault) -> Path:
    return a_path(vault, "near.stl", stl_bytes(box(40, 20, 10)))


def test_settings_are_numbered_in_turn(shop: Vault) -> None:
    numbers = [add_settings(shop, PART, "C", a_form()).number for _ in range(3)]
    assert numbers == ["S1", "S2", "S3"]


def test_another_writers_numbers_cannot_collide(shop: Vault) -> None:
    add_settings(shop, PART, "C", a_form())
    assert next_number(reader_of(shop).part(PART), "B") == "SB1"


def test_a_copy_says_what_it_was_derived_from_and_leaves_the_old_alone(shop: Vault) -> None:
    old = add_settings(shop, PART, "C", a_form())
    new = copy_settings(shop, PART, "S1", {"scale.z": 1.225}, "z came out short on the first lot")
    assert (new.number, new.derived_from, new.scale.z) == ("S2", old.id, 1.225)
    assert reader_of(shop).part(PART).settings == (old, new)


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("scale", {"x": 1.2, "y": 1.2}, "scale.z: is missing"),
        ("scale", {"x": 12, "y": 1.2, "z": 1.2}, "scale.x"),
        ("colour", "red", "colour: is no field"),
        ("cure", None, "cure"),
        ("print_orientation", {"rows": [-1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0]}, "mirror"),
    ],
)
def test_an_impossible_field_is_named(shop: Vault, field: str, value: Any, sentence: str) -> None:
    with pytest.raises(BadInput, match=sentence):
        add_settings(shop, PART, "C", a_form(**{field: value}))


def test_a_cycle_hotter_than_its_furnace_is_refused(shop: Vault) -> None:
    form = a_form()
    form["sinter"]["segments"][0]["target_c"] = 1600.0
    with pytest.raises(BadInput, match="asks for 1600 C, and FUR-1 reaches 1450 C"):
        add_settings(shop, PART, "C", form)


def test_an_unknown_machine_is_not_found(shop: Vault) -> None:
    with pytest.raises(NotFound, match="there is no machine PRN-9"):
        add_settings(shop, PART, "C", a_form(machine="PRN-9"))


def test_what_a_near_net_shape_holds_is_never_assumed(shop: Vault) -> None:
    shapes = ShapesForPrinting(near_net=a_near_net(shop))
    settings = add_settings(shop, PART, "C", a_form(), shapes)
    assert settings.near_net is not None
    assert settings.near_net.holds_shrinkage_scale is Answer.NOT_STATED


def test_a_near_net_shape_is_measured_when_it_is_recorded(shop: Vault) -> None:
    says = {"holds_distortion": "yes", "measured": None, "file": None}
    settings = add_settings(shop, PART, "C", a_form(), ShapesForPrinting(a_near_net(shop), says))
    assert settings.near_net is not None
    assert settings.near_net.measured.size_mm == pytest.approx((40.0, 20.0, 10.0))
    assert settings.near_net.holds_distortion is Answer.YES


def test_a_near_net_file_that_is_no_shape_is_not_recorded(shop: Vault) -> None:
    head = shop.store.head()
    with pytest.raises(BadInput, match="near.stl"):
        add_settings(shop, PART, "C", a_form(), ShapesForPrinting(a_path(shop, "near.stl")))
    assert shop.store.head() == head


def test_what_the_register_measured_is_not_typed(shop: Vault) -> None:
    add_settings(shop, PART, "C", a_form(), ShapesForPrinting(a_near_net(shop)))
    with pytest.raises(BadInput, match="near_net.measured.* is given by the register"):
        copy_settings(shop, PART, "S1", {"near_net.measured.high_mm": [9.0, 9.0, 9.0]}, "smaller")


def test_a_copy_keeps_the_near_net_shape(shop: Vault) -> None:
    add_settings(shop, PART, "C", a_form(), ShapesForPrinting(near_net=a_near_net(shop)))
    copied = copy_settings(shop, PART, "S1", {"clearance_mm": 5.0}, "more room")
    assert copied.near_net == reader_of(shop).part(PART).settings[0].near_net


def test_a_clerk_records_no_settings(shop: Vault) -> None:
    with pytest.raises(NotAllowed):
        add_settings(shop.as_person("cleo"), PART, "C", a_form())  # type: ignore[arg-type]
