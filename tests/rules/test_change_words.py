"""What changed is said in one sentence with numbers and units, and what was not compared is said too."""

import pytest

from tests.builders import a_change, some_requirements
from vault.model.design import RequirementChange
from vault.model.shape import ShapeVerdict
from vault.rules.change_words import change_sentences, shape_words


def test_a_changed_shape_is_told_with_its_numbers() -> None:
    change = a_change(
        0.8, max_a_to_b_mm=0.2, volume_a_mm3=12380.0, volume_b_mm3=12770.0, size_b_mm=(30.0, 20.8, 10.0),
        uncertainty_mm=0.01,
    )  # fmt: skip
    assert shape_words(change) == (
        "Largest deviation 0.800 mm to within 0.010 mm; volume 12.77 cm3, was 12.38 cm3 (+3.15 %); "
        "size along y 20.80 mm, was 20.00 mm."
    )


def test_the_larger_of_both_directions_counts() -> None:
    # A boss that was added is far from the old shape, while the old shape is everywhere near the new one.
    assert shape_words(a_change(0.0, max_b_to_a_mm=4.0)).startswith("Largest deviation 4.000 mm;")


def test_less_metal_has_a_minus_and_a_hole_is_said_in_words() -> None:
    words = shape_words(a_change(5.0, volume_b_mm3=5700.0, same_topology=False))
    assert "volume 5.70 cm3, was 6.00 cm3 (-5.00 %); holes, voids or bodies were added or removed." in words


@pytest.mark.parametrize(
    ("verdict", "words"),
    [
        (ShapeVerdict.SAME, "The shape is the same."),
        (ShapeVerdict.WITHIN_RESOLUTION, "The shape is the same within 0.001 mm, the resolution of the meshes."),
    ],
)
def test_a_shape_that_did_not_change_gets_no_numbers_of_a_change(verdict: ShapeVerdict, words: str) -> None:
    assert shape_words(a_change(verdict=verdict)) == words


def test_a_volume_that_is_none_has_no_percentage() -> None:
    assert "%" not in shape_words(a_change(volume_a_mm3=0.0))


def test_a_drawing_that_nobody_compared_is_never_passed_over() -> None:
    for required in (None, some_requirements(drawing_compared=False)):
        [sentence] = change_sentences(a_change(), required, "B")
        assert sentence.startswith("Since rev B: Largest deviation")
        assert sentence.endswith("(Shape only; drawing requirements not compared.)")


def test_what_a_person_read_from_the_drawing_stands_beside_the_measurement() -> None:
    tightened = RequirementChange(what="limit tightened", characteristic="3", words="bore 10.00 to 10.05 mm")
    sentences = change_sentences(a_change(), some_requirements(changes_since=(tightened,)), "B")
    assert sentences[1:] == ("Limit tightened (3): bore 10.00 to 10.05 mm",)
    assert change_sentences(a_change(), some_requirements(), "B")[1:] == (
        "Drawing compared by a person: no requirement changed.",
    )


def test_what_the_numbers_leave_open_is_told_with_them() -> None:
    change = a_change(cautions=("one of the shapes is not closed",))
    assert "one of the shapes is not closed" in change_sentences(change, None, "B")


def test_a_first_issue_and_an_unmeasured_step_say_so() -> None:
    assert change_sentences(None, None, None) == ("First issue here; there is nothing to compare with.",)
    assert change_sentences(None, some_requirements(), "B") == (
        "The change since rev B was not measured; drawing requirements not compared.",
    )
