"""Shop, customers and parts of the demo hang together and are plainly invented."""

import json
import re
from collections.abc import Iterator

import pytest

from demo_vault.scenario.catalogue import PARTS
from demo_vault.scenario.customers import CUSTOMERS
from demo_vault.scenario.facts import PartFact
from demo_vault.scenario.recipes import SECOND_SETTINGS, settings_form
from demo_vault.scenario.shop import BOXES, GAUGES, MACHINES, MATERIALS, TODAY
from vault.model.orientation import Orientation
from vault.model.settings import Settings
from vault.model.words import AcceptanceBasis, Criticality, LabelScheme, MeasuredIn, Stage

_ULID = "01J00000000000000000000000"
EACH_PART = pytest.mark.parametrize("part", PARTS, ids=lambda part: part.customer_number)


def test_there_are_enough_parts_and_no_number_twice() -> None:
    assert len(PARTS) >= 28
    assert len({part.number for part in PARTS}) == len(PARTS)
    assert len({(part.customer, part.customer_number) for part in PARTS}) == len(PARTS)


def test_addresses_are_of_the_domain_kept_for_examples() -> None:
    # RFC 2606, section 2: .example belongs to nobody
    assert all(contact.email.endswith(".example") for customer in CUSTOMERS for contact in customer.contacts)


def test_grades_are_demo_grades() -> None:
    assert all(grade.id.startswith("DEMO-") for grade in MATERIALS)
    assert all(box in {known.id for known in BOXES} for machine in MACHINES for box in machine.boxes)


@EACH_PART
def test_a_part_speaks_the_words_of_the_register(part: PartFact) -> None:
    assert part.customer in {customer.code for customer in CUSTOMERS}
    assert part.material in {grade.id for grade in MATERIALS}
    Criticality(part.criticality)
    LabelScheme(part.label_scheme)
    Orientation.named(part.orientation)
    for stage, _, _ in part.stages:
        Stage(stage)
    for revision in part.revisions:
        AcceptanceBasis(revision.basis)
    for balloon in part.drawing:
        MeasuredIn(balloon.measured_in)
        assert balloon.gauge is None or balloon.gauge in {gauge.id for gauge in GAUGES}


@EACH_PART
def test_a_part_has_one_to_five_revisions_in_the_order_of_time(part: PartFact) -> None:
    days = [revision.on for revision in part.revisions]
    assert 1 <= len(days) <= 5
    assert days == sorted(set(days))
    assert days[-1] <= TODAY
    for revision in part.revisions:
        assert revision.released is None or revision.on <= revision.released <= TODAY
        assert revision.accepted is None or (revision.released and revision.released <= revision.accepted <= TODAY)


@EACH_PART
def test_every_dimension_on_the_drawing_is_a_dimension_of_the_design(part: PartFact) -> None:
    for revision in part.revisions:
        sizes = [part.nominal_mm(revision.label, balloon) for balloon in part.drawing]
        assert all(size is None or size > 0.0 for size in sizes)
    assert any(balloon.dimension for balloon in part.drawing)


def _numbers(value: object, name: str = "") -> Iterator[tuple[str, float]]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from _numbers(inner, key)
    elif isinstance(value, list | tuple):
        for inner in value:
            yield from _numbers(inner, name)
    elif isinstance(value, float):
        yield name, value


@EACH_PART
def test_process_numbers_repeat_one_digit_so_that_nobody_takes_them_for_a_recipe(part: PartFact) -> None:
    form = {name: value for name, value in settings_form(part).items() if name != "scale"}
    for name, number in _numbers(form):
        assert len(set(re.sub(r"\.0$|\.", "", str(number)))) == 1, name
    assert "do not sinter" in form["reason"]


@EACH_PART
def test_a_settings_form_is_accepted_by_the_register(part: PartFact) -> None:
    numbers = ["S1", "S2"] if part.number in SECOND_SETTINGS else ["S1"]
    for number in numbers:
        form = settings_form(part, number)
        for which in ("print_orientation", "sinter_orientation"):
            form[which] = {"rows": list(Orientation.named(form[which]).rows)}
        own = {"id": _ULID, "number": number, "part": part.number, "made_for": _ULID, "by": "ivo"}
        Settings.model_validate_json(json.dumps({**form, **own, "at": "2026-11-20T08:00:00Z"}))
