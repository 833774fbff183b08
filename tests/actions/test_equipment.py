"""Recording what happened to printers, furnaces and gauges."""

from datetime import date

import pytest

from tests.builders import FURNACE, GAUGE, MACHINE
from tests.given import given_shop, reader_of
from vault.actions.equipment import NewEvent, record_event
from vault.errors import BadInput, NotFound
from vault.model.words import ServiceEffect


@pytest.fixture
def shop(vault):
    given_shop(vault)
    return vault.as_person("cleo")


@pytest.mark.parametrize(("equipment", "field"), [(MACHINE, "machine"), (FURNACE, "furnace"), (GAUGE, "gauge")])
def test_an_event_belongs_to_the_equipment_with_that_id(shop, equipment, field):
    event = record_event(shop, NewEvent(equipment, "Serviced", ServiceEffect.ROUTINE))
    assert getattr(event, field) == equipment
    assert reader_of(shop).events() == (event,)


def test_an_unknown_id_is_named(shop):
    with pytest.raises(NotFound, match="PRN-9"):
        record_event(shop, NewEvent("PRN-9", "Serviced", ServiceEffect.ROUTINE))


def test_an_event_cannot_lie_in_the_future(shop):
    with pytest.raises(BadInput, match="has not come yet"):
        record_event(shop, NewEvent(MACHINE, "Serviced", ServiceEffect.ROUTINE, date(2026, 3, 3)))


@pytest.mark.parametrize(("effect", "material"), [(ServiceEffect.CLEAN_OUT, None), (ServiceEffect.ROUTINE, "17-4PH")])
def test_a_clean_out_and_nothing_else_names_the_next_material(shop, effect, material):
    with pytest.raises(BadInput, match="clean-out"):
        record_event(shop, NewEvent(MACHINE, "Cleaned", effect, new_material=material))
