"""The small parts of paper: codes, cautions, pages."""

import re

import pytest

from vault.documents.cautions import gas_cautions, safety_cautions
from vault.documents.html import render
from vault.documents.qr import qr_svg
from vault.errors import Fault
from vault.model.words import Answer, Atmosphere


def modules(svg: str) -> int:
    """Return the side of a code in modules, without its quiet zone of four on each side."""
    size = re.search(r'viewBox="0 0 (\d+) (\d+)"', svg)
    assert size is not None
    assert size[1] == size[2]
    return int(size[1]) - 8


@pytest.mark.parametrize(
    ("text", "version"), [("partstead:R-26A0007", 2), ("A" * 61, 3), ("A" * 64, 4), ("A" * 90, 4), ("A" * 91, 5)]
)
def test_a_code_has_the_size_that_the_standard_gives(text: str, version: int) -> None:
    # ISO/IEC 18004: side 4v + 17; capacities at level M: 61 letters and digits in version 3, 90 in version 4
    # (version 2 holds 26 bytes at level M: from memory)
    assert modules(qr_svg(text)) == 4 * version + 17


def test_a_code_is_one_svg_element_without_outside_references() -> None:
    svg = qr_svg("partstead:R-26A0007")
    assert svg.startswith("<svg ")
    assert "href" not in svg


@pytest.mark.parametrize("answer", [Answer.YES, Answer.NOT_STATED])
def test_what_nobody_stated_is_cautioned_against(answer: Answer) -> None:
    words = " ".join(safety_cautions(answer, answer))
    assert "nickel" in words
    assert "never water" in words


def test_what_was_ruled_out_is_left_out() -> None:
    words = " ".join(safety_cautions(Answer.NO, Answer.NO))
    assert "nickel" not in words
    assert "never water" not in words
    assert "releases no parts" in words


@pytest.mark.parametrize("gas", [gas for gas in Atmosphere if gas is not Atmosphere.AIR])
def test_every_gas_but_air_asks_for_an_oxygen_reading(gas: Atmosphere) -> None:
    # limits of 29 CFR 1910.146: deficient under 19.5 %, enriched over 23.5 %
    words = " ".join(gas_cautions([Atmosphere.AIR, gas]))
    assert "19.5 %" in words
    assert "23.5 %" in words


def test_hydrogen_in_any_form_is_named_as_flammable() -> None:
    for gas in (Atmosphere.HYDROGEN, Atmosphere.FORMING_GAS, Atmosphere.PARTIAL_HYDROGEN):
        assert "burns in air" in " ".join(gas_cautions([gas]))
    assert "burns in air" not in " ".join(gas_cautions([Atmosphere.ARGON]))
    assert gas_cautions([Atmosphere.AIR]) == ()


def test_a_page_that_lacks_a_value_is_a_fault_and_not_a_blank() -> None:
    with pytest.raises(Fault, match="cannot be made"):
        render("history.html", {})
