"""What a person types leads to one part and one revision, or to a list of what it may mean."""

import pytest

from tests.builders import a_file, a_part, a_revision, made, some_evidence, ulid
from tests.floor_builders import an_order
from tests.given import given, given_part, given_revision, given_shop, reader_of
from vault.actions.context import Vault
from vault.actions.finding import resolve_part, resolve_revision
from vault.errors import Clash, NotFound
from vault.model.decisions import LabelAnswer


def part_of(vault: Vault, text: str) -> str:
    return resolve_part(vault, reader_of(vault), text)


@pytest.mark.parametrize("text", ["BRK-204", " brk-204 ", "brk 204", "Brk.204", "NF-7781", "nf7781", "7781", "rk-20"])
def test_a_part_is_found_by_its_number_the_customers_number_or_a_piece_of_either(vault: Vault, text: str) -> None:
    given_part(vault)
    assert part_of(vault, text) == "BRK-204"


def test_a_part_is_found_by_another_number_that_is_on_its_card(vault: Vault) -> None:
    given_part(vault, other_numbers=("OLD 55/3",))
    assert part_of(vault, "old-55-3") == "BRK-204"


def test_the_shops_own_number_wins_over_a_piece_of_another(vault: Vault) -> None:
    given_part(vault)
    given(vault, a_part(number="BRK-2041", customer_number="NF-7790"))
    assert part_of(vault, "brk-204") == "BRK-204"


def test_a_piece_that_fits_two_parts_lists_both(vault: Vault) -> None:
    given_part(vault)
    given(vault, a_part(number="BRK-205", customer_number="NF-7790", description="Bracket, right"))
    with pytest.raises(NotFound, match=r"'BRK-20' fits 2 parts: BRK-204 \(NORTHFELL NF-7781, Bracket, left\); BRK-205"):
        part_of(vault, "BRK-20")


def test_a_number_of_ours_that_is_also_a_customers_number_is_not_guessed(vault: Vault) -> None:
    given_part(vault)
    given(vault, a_part(number="HSG-1", customer_number="BRK 204"))
    assert part_of(vault, "BRK-204") == "BRK-204"
    with pytest.raises(NotFound, match="fits 2 parts"):
        part_of(vault, "brk204")


@pytest.mark.parametrize("text", ["Bracket, left", "northfell", "bracket"])
def test_a_description_is_offered_and_never_chosen(vault: Vault, text: str) -> None:
    given_part(vault)
    with pytest.raises(NotFound, match=r"Did you mean BRK-204 \(NORTHFELL NF-7781, Bracket, left\)\?"):
        part_of(vault, text)


def test_a_po_leads_to_the_part_as_an_offer_only(vault: Vault) -> None:
    given_part(vault)
    given(vault, a_revision(), an_order())
    with pytest.raises(NotFound, match=r"Did you mean BRK-204"):
        part_of(vault, "PO-9001")


@pytest.mark.parametrize("text", ["", "-", "@", "zzz-9", "x" * 300, "../etc", "20"])
def test_what_fits_nothing_is_said_to_fit_nothing(vault: Vault, text: str) -> None:
    given_part(vault)
    with pytest.raises(NotFound):
        part_of(vault, text)


def test_a_piece_is_refused_where_the_search_could_not_see_everything(vault: Vault) -> None:
    given_shop(vault)
    given(vault, a_part(), a_revision(), *(an_order(f"O-26A{number:04d}") for number in range(1, 260)))
    with pytest.raises(NotFound, match="fits too many things to be sure"):
        part_of(vault, "rk-204")
    assert part_of(vault, "brk204") == "BRK-204"


# ---- revisions


def test_a_revision_is_found_by_its_label_in_any_case(vault: Vault) -> None:
    given_part(vault)
    revision = given_revision(vault)
    history = reader_of(vault).part("BRK-204")
    assert resolve_revision(history, "c") == resolve_revision(history, revision.id.lower()) == revision


def test_an_unknown_label_lists_those_that_there_are(vault: Vault) -> None:
    given_part(vault)
    given(vault, a_revision("A"), a_revision("B"))
    with pytest.raises(NotFound, match=r"BRK-204 has no rev D; recorded are: A, B$"):
        resolve_revision(reader_of(vault).part("BRK-204"), "D")


def test_a_label_on_two_files_waits_for_the_customers_answer(vault: Vault) -> None:
    given_part(vault)
    other = a_revision("C", id=ulid("other C"), files=(a_file("other.stl"),))
    given(vault, a_revision("C"), other)
    history = reader_of(vault).part("BRK-204")
    with pytest.raises(Clash, match=r"2 different files \(C/1, C/2\).*partstead settle BRK-204@C --which SHA"):
        resolve_revision(history, "C")
    assert {resolve_revision(history, "C/1").id, resolve_revision(history, "C/2").id} == {ulid("rev C"), other.id}
    answer = made(
        LabelAnswer, {}, id=ulid("answer"), part="BRK-204", label="C", revision=other.id, answered_by="P. Holm",
        answered_on=vault.today, evidence=some_evidence(),
    )  # fmt: skip
    given(vault, answer)
    assert resolve_revision(reader_of(vault).part("BRK-204"), "C") == other
