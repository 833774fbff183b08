"""Revision labels: the letters of ASME Y14.35 as reproduced second-hand, and what is read into a PO."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vault.model.words import LabelScheme
from vault.rules.labels import PoLabel, fault_of_label, following, label_at, ordinal, read_po_label, same_label, warning

# ASME Y14.35 as reproduced by a public summary: I, O, Q, S, X and Z are skipped, "-" is the first issue, AA follows Y.
FOLLOWERS = {"-": "A", "H": "J", "N": "P", "P": "R", "R": "T", "W": "Y", "Y": "AA", "AY": "BA", "BH": "BJ"}


@pytest.mark.parametrize(("label", "next_label"), FOLLOWERS.items())
def test_letters_follow_each_other_without_those_that_read_as_digits(label: str, next_label: str) -> None:
    assert following(label, LabelScheme.LETTERS) == next_label


@pytest.mark.parametrize(
    ("label", "place"), [("A", 1), ("H", 8), ("J", 9), ("Y", 20), ("AA", 21), ("AY", 40), ("YY", 420)]
)
def test_a_letter_label_has_its_place(label: str, place: int) -> None:
    assert ordinal(label) == place


def test_nothing_follows_the_last_of_the_420_labels() -> None:
    assert following("YY", LabelScheme.LETTERS) is None


@given(st.integers(0, 420))
def test_place_and_label_belong_together(place: int) -> None:
    assert ordinal(label_at(place)) == place


@pytest.mark.parametrize("label", ["I", "O", "Q", "S", "X", "Z", "AI", "AAA", "", "a1"])
def test_labels_outside_the_letters_have_no_place(label: str) -> None:
    assert ordinal(label) is None


NAMES_NONE = [
    *(None, "", "  ", "latest", "LATEST", "rev latest", "current", "Rev: newest", "TBD", "T.B.D.", "Rev", "REV:"),
    *("latest rev", "Latest revision", "latest issue, please", "no rev", "No revision.", "last rev", "any rev."),
]


@pytest.mark.parametrize("written", NAMES_NONE)
def test_a_po_that_says_latest_names_no_revision(written: str | None) -> None:
    assert read_po_label(written).reads_as is PoLabel.NAMES_NONE


@pytest.mark.parametrize(
    "written", ["NC", "N/C", "IR", "none", "blank", "rev NC", "N.C.", "I.R.", "\u2013", "rev \u2014"]
)
def test_words_for_a_first_issue_wait_for_a_person(written: str) -> None:
    read = read_po_label(written)
    assert (read.reads_as, read.label) == (PoLabel.MAY_BE_FIRST_ISSUE, "-")


@pytest.mark.parametrize(
    ("written", "label"),
    [
        ("C", "C"),
        ("rev C", "C"),
        ("Rev. C", "C"),
        ("REVISION: AA", "AA"),
        ("-", "-"),
        ("rev -", "-"),
        ("02", "02"),
        ("revC", "revC"),
        ("REV-B", "B"),
        ("Rev - 02", "02"),
        ("rev\u2013B", "B"),
        ("B-2", "B-2"),
        ("No. 3", "No. 3"),
        ("1.0", "1.0"),
    ],
)
def test_a_label_on_a_po_is_read_as_written(written: str, label: str) -> None:
    read = read_po_label(written)
    assert (read.reads_as, read.label) == (PoLabel.NAMES_ONE, label)


@pytest.mark.parametrize("label", ["Rev C", "rev. B", "REV-B", "N/C", "none", "latest", "TBD"])
def test_a_label_that_a_po_would_say_otherwise_is_not_recorded(label: str) -> None:
    assert fault_of_label(label) is not None


@pytest.mark.parametrize("label", ["-", "A", "AA", "02", "R4b", "2025-03", "X1", "R2b"])
def test_a_label_as_it_stands_on_a_drawing_is_recorded(label: str) -> None:
    assert fault_of_label(label) is None


def test_case_does_not_make_another_revision_and_a_zero_does() -> None:
    assert same_label("c", "C")
    assert not same_label("2", "02")


def test_a_scheme_warns_and_never_names() -> None:
    assert warning("D", "B", LabelScheme.LETTERS) == "label D follows B; by the scheme C would follow"
    assert warning("O", "N", LabelScheme.LETTERS) is not None
    assert warning("C", "B", LabelScheme.LETTERS) is None
    assert warning("P3-final", "P2", LabelScheme.FREE) is None
    assert following("P3", LabelScheme.FREE) is None
