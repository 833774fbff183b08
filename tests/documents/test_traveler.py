"""The traveler says what a person needs to make the part right, on page one, and nothing runs as a program."""

import pytest
from pydantic import ValidationError

from tests.documents.jobs import AT, a_brimful_job, a_picture, an_everyday_job
from tests.documents.pdf_reading import pages, squeezed
from vault.documents.traveler import Traveler, traveler_pdf
from vault.errors import BadInput

HOSTILE = '#panic("x") -> $x$ ]] <script> `raw` \\ @preview *bold* // comment'


def test_page_one_is_enough_to_make_the_part() -> None:
    first = pages(traveler_pdf(an_everyday_job(), AT, a_picture()))[0]
    needed = [
        "BRK-204",
        "NF-88-1204",
        "4500-7781",
        "210",
        "200",
        "2026-04-03",
        "PS-017",
        "S2",
        "1.18750",
        "120 C/h",
        "600 C",
        "BOX-A",
    ]
    assert [words for words in needed if squeezed(words) not in first] == []
    assert squeezed("62.000 x 40.000 x 18.500 mm") in first


def test_an_everyday_job_fits_two_pages() -> None:
    assert len(pages(traveler_pdf(an_everyday_job(), AT, a_picture()))) == 2


def test_every_page_says_when_it_is_valid_and_that_it_releases_nothing() -> None:
    for page in pages(traveler_pdf(a_brimful_job(), AT)):
        assert (
            squeezed(
                "Valid only if partstead package status R-26A0007 says so on the day of printing; void after 2026-04-08"
            )
            in page
        )
        assert squeezed("Readiness: ready by the records of 2026-03-09, 1f0c1f0c1f0c; not a release of parts.") in page


def test_the_furnace_recipe_and_its_gases_carry_their_cautions() -> None:
    first = pages(traveler_pdf(an_everyday_job(), AT))[0]
    assert squeezed("Recipe data for a trained person.") in first
    assert squeezed("Hydrogen burns in air") in first
    assert squeezed("nickel") in first
    assert squeezed("safety data sheets, the rules as locally adopted") in first


def test_nothing_of_a_brimful_job_is_lost() -> None:
    job = a_brimful_job()
    text = "".join(pages(traveler_pdf(job, AT, a_picture())))
    assert text.count(squeezed("GAU-07 plug gauge")) == 30
    assert text.count(squeezed("120 C/h")) == 24
    assert all(f"{operation.number}{squeezed(operation.name)}" in text for operation in job.operations)
    assert squeezed(job.part_number) in text
    assert squeezed(job.customer_number) in text
    assert text.count(squeezed("see entry stop")) == 3


def test_the_head_of_every_later_page_names_part_and_revision() -> None:
    job = a_brimful_job()
    for page in pages(traveler_pdf(job, AT))[1:]:
        assert squeezed(f"{job.part_number} rev {job.revision}") in page


def test_the_demo_watermark_is_on_every_page_and_nowhere_else() -> None:
    mark = squeezed("DEMO: invented settings, do not sinter")
    assert all(page.count(mark) >= 2 for page in pages(traveler_pdf(a_brimful_job(), AT)))
    assert not any(mark in page for page in pages(traveler_pdf(an_everyday_job(), AT)))


def test_boxes_of_several_customers_are_named_as_internal() -> None:
    assert squeezed("For this shop only") in pages(traveler_pdf(a_brimful_job(), AT))[0]


def test_a_traveler_without_a_picture_says_so() -> None:
    assert squeezed("No picture: compare with the drawing.") in pages(traveler_pdf(an_everyday_job(), AT))[0]


def test_text_of_people_is_printed_and_never_run() -> None:
    job = an_everyday_job().model_copy(update={"description": HOSTILE, "holds": (HOSTILE,), "picture_words": HOSTILE})
    assert pages(traveler_pdf(job, AT, a_picture()))[0].count(squeezed(HOSTILE)) == 3


@pytest.mark.parametrize("picture", [b"not a picture", b"\x89PNG\r\n\x1a\n broken"])
def test_a_picture_that_cannot_be_read_is_bad_input(picture: bytes) -> None:
    with pytest.raises(BadInput, match="picture"):
        traveler_pdf(an_everyday_job(), AT, picture)


@pytest.mark.parametrize(
    ("to_start", "to_deliver", "words"), [(211, 200, "boxes hold 210"), (190, 200, "cannot give 200")]
)
def test_quantities_that_contradict_each_other_are_refused(to_start: int, to_deliver: int, words: str) -> None:
    values = an_everyday_job().model_dump() | {"to_start": to_start, "to_deliver": to_deliver}
    with pytest.raises(ValidationError, match=words):
        Traveler.model_validate(values)
