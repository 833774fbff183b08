"""Cards: strict at the border, and two people's edits of one card both survive."""

import pytest

from tests.builders import MACHINE, PART
from tests.given import given_part, given_shop, reader_of
from vault.actions.cards import Edit, add_card, edit_card
from vault.actions.context import Vault
from vault.errors import BadInput, Clash, NotAllowed, NotFound
from vault.model.cards import Customer, Machine, Part, Person, RegisterCard
from vault.records.paths import part_card, shop_card

FIELDS = {
    "number": PART, "customer": "NORTHFELL", "customer_number": "NF-7781", "description": "Bracket, left",
    "design_authority": "customer", "material": "17-4PH",
}  # fmt: skip


@pytest.fixture
def shop(vault: Vault) -> Vault:
    given_shop(vault)
    return vault


def test_nobody_says_for_the_shop_how_dangerous_or_controlled_a_part_is(shop: Vault) -> None:
    part = add_card(shop, Part, FIELDS)
    assert (part.criticality, part.control.status) == ("not yet set", "not yet classified")


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("description", "", "description"),
        ("description", "tab\there", r"hidden character U\+0009"),
        ("description", "turned \u202etxet", r"hidden character U\+202E"),
        ("description", "x" * 201, "at most 200 characters"),
        ("number", "a/b", "number: 'a/b' is not written as this field must be"),
        ("number", "../evil", "number"),
        ("colour", "red", "colour: is no field of this record"),
        ("design_authority", "nobody", "design_authority"),
    ],
)
def test_a_field_that_cannot_be_is_named_and_nothing_is_written(
    shop: Vault, field: str, value: str, sentence: str
) -> None:
    head = shop.store.head()
    with pytest.raises(BadInput, match=sentence):
        add_card(shop, Part, {**FIELDS, field: value})
    assert shop.store.head() == head


def test_brackets_and_right_to_left_letters_are_names_like_any_other(shop: Vault) -> None:
    card = add_card(shop, Customer, {"code": "TARN", "name": "[red] \u05e9\u05dc\u05d5\u05dd works"})
    assert reader_of(shop).customer("TARN").name == card.name


def test_a_part_number_is_taken_whatever_its_case(shop: Vault) -> None:
    add_card(shop, Part, FIELDS)
    with pytest.raises(Clash, match="recorded already"):
        add_card(shop, Part, {**FIELDS, "number": PART.lower()})


def test_a_card_points_only_at_what_is_recorded(shop: Vault) -> None:
    with pytest.raises(NotFound, match="customer: there is no customer NOBODY"):
        add_card(shop, Part, {**FIELDS, "customer": "NOBODY"})


def test_edits_of_different_fields_both_survive(vault: Vault) -> None:
    given_part(vault)
    seen = vault.store.head()
    edit_card(vault, Part, part_card(PART), (Edit("description", "Bracket, right"),), seen)
    edit_card(vault.as_person("emil"), Part, part_card(PART), (Edit("note", "mind the burr"),), seen)
    card = reader_of(vault).part_card(PART)
    assert (card.description, card.note, card.by) == ("Bracket, right", "mind the burr", "emil")


def test_edits_of_one_field_show_both_values_to_the_second(vault: Vault) -> None:
    given_part(vault)
    seen = vault.store.head()
    edit_card(vault, Part, part_card(PART), (Edit("description", "Bracket, right"),), seen)
    with pytest.raises(Clash, match="'Bracket, right' meanwhile, you want 'Bracket, mirrored'"):
        edit_card(vault, Part, part_card(PART), (Edit("description", "Bracket, mirrored"),), seen)


def test_a_nested_field_is_edited_alone(vault: Vault) -> None:
    given_part(vault)
    edit_card(vault, Part, part_card(PART), (Edit("control.marking", "Ask the owner"),))
    control = reader_of(vault).part_card(PART).control
    assert control.marking == "Ask the owner"
    assert control.classified_by == "ona"


def test_the_name_of_a_card_stays(vault: Vault) -> None:
    given_part(vault)
    with pytest.raises(BadInput, match="is not edited"):
        edit_card(vault, Part, part_card(PART), (Edit("number", "BRK-205"),))


def test_an_unknown_field_lists_those_there_are(shop: Vault) -> None:
    with pytest.raises(BadInput, match="firmwear: there is no such field; it is one of .*firmware"):
        edit_card(shop, Machine, shop_card(Machine, MACHINE), (Edit("firmwear", "5"),))


def test_only_an_owner_edits_people(shop: Vault) -> None:
    fields = {"handle": "nils", "name": "Nils", "roles": ["clerk"]}
    with pytest.raises(NotAllowed, match="who can: ona"):
        add_card(shop, Person, fields)
    assert add_card(shop.as_person("ona"), Person, fields).handle == "nils"  # type: ignore[arg-type]


def test_the_registers_own_card_is_made_by_the_program(shop: Vault) -> None:
    with pytest.raises(BadInput, match="made by the program alone"):
        add_card(shop, RegisterCard, {})
