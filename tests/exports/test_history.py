"""A customer's history is one value in three renderings that say the same, and nothing in it runs or phones home."""

import json
import re
from collections.abc import Iterator
from datetime import timedelta
from itertools import pairwise

import pytest

from tests.documents.pdf_reading import pages, squeezed
from tests.exports.reading import read
from tests.exports.views import AT, HOSTILE, a_hostile_view, a_view
from vault.exports.history import render_html, render_json, render_pdf
from vault.model.customer_view import CustomerView


def leaves(value: object) -> Iterator[str]:
    """Yield every text and number of a view."""
    if isinstance(value, dict):
        for inner in value.values():
            yield from leaves(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from leaves(inner)
    elif isinstance(value, str | int) and not isinstance(value, bool):
        yield str(value)


def texts_of(view: CustomerView) -> set[str]:
    """Return everything that a rendering has to show; time and state of the register are shown shortened."""
    shown = view.model_dump(mode="json")
    return set(leaves(shown)) - {shown["generated_at"], shown["head"]}


def test_the_page_shows_every_value_of_the_view() -> None:
    text = squeezed(read(render_html(a_view())).text)
    assert [words for words in texts_of(a_view()) if squeezed(words) not in text] == []
    assert squeezed("As recorded on 2026-03-09 14:02 UTC, state 1f0c1f0c1f0c") in text


def test_the_paper_shows_every_value_of_the_view() -> None:
    text = "".join(pages(render_pdf(a_view(), AT)))
    assert [words for words in texts_of(a_view()) if squeezed(words) not in text] == []


def test_the_data_is_the_view_itself() -> None:
    written = render_json(a_view())
    assert CustomerView.model_validate_json(written) == a_view()
    assert written.endswith(b"}\n")
    assert json.loads(written)["parts"][0]["revisions"][0]["label"] == "C"


def test_hostile_text_is_shown_letter_by_letter_and_never_becomes_an_element() -> None:
    hostile, harmless = read(render_html(a_hostile_view())), read(render_html(a_view()))
    assert hostile.text.count(HOSTILE) >= 6
    assert {tag for tag, _ in hostile.elements} <= {tag for tag, _ in harmless.elements}
    assert all(name not in attributes for _, attributes in hostile.elements for name in ("onerror", "onclick", "src"))


def test_hostile_text_is_printed_letter_by_letter() -> None:
    assert "".join(pages(render_pdf(a_hostile_view(), AT))).count(squeezed(HOSTILE)) >= 6


def test_the_page_needs_no_network_and_no_script() -> None:
    page = read(render_html(a_view()))
    assert not {tag for tag, _ in page.elements} & {
        "script",
        "link",
        "img",
        "iframe",
        "object",
        "embed",
        "form",
        "base",
    }
    assert all((link["href"] or "").startswith("#") for link in page.named("a"))
    assert not re.search(r"url\(|@import|https?:", "".join(page.styles))
    assert any("default-src 'none'" in (meta.get("content") or "") for meta in page.named("meta"))


def test_the_page_has_landmarks_a_language_and_headings_in_order() -> None:
    page = read(render_html(a_view()))
    assert page.named("html")[0]["lang"] == "en"
    assert all(len(page.named(tag)) == 1 for tag in ("main", "h1", "nav", "title"))
    assert all("aria-label" in nav for nav in page.named("nav"))
    levels = [int(tag[1]) for tag, _ in page.elements if re.fullmatch("h[1-6]", tag)]
    assert all(after <= before + 1 for before, after in pairwise(levels))
    assert all("scope" in header for header in page.named("th"))


def test_links_inside_the_page_lead_somewhere_and_names_are_unique() -> None:
    page = read(render_html(a_view(parts=4)))
    names = [attributes["id"] for _, attributes in page.elements if "id" in attributes]
    assert len(names) == len(set(names))
    assert {(link["href"] or "")[1:] for link in page.named("a")} <= set(names)


def luminance(colour: str) -> float:
    """Relative luminance of #rrggbb or #rgb, by WCAG 2.2."""
    digits = colour.lstrip("#")
    digits = digits if len(digits) == 6 else "".join(digit * 2 for digit in digits)
    parts = [int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@pytest.mark.parametrize("name", ["ink", "quiet"])
def test_every_ink_stands_out_from_white_paper(name: str) -> None:
    # WCAG 2.2, success criterion 1.4.3 (AA): at least 4.5 to 1
    colour = re.search(rf"--{name}: (#[0-9a-f]+)", render_html(a_view()))
    assert colour is not None
    assert 1.05 / (luminance(colour[1]) + 0.05) >= 4.5


def test_the_same_view_and_date_give_the_same_paper() -> None:
    assert render_pdf(a_view(), AT) == render_pdf(a_view(), AT)
    assert render_pdf(a_view(), AT) != render_pdf(a_view(), AT + timedelta(days=1))


@pytest.mark.parametrize("parts", [0, 1])
def test_a_short_history_is_a_page_and_a_paper_too(parts: int) -> None:
    view = a_view(parts)
    page = read(render_html(view))
    assert page.named("nav") == []
    assert ("No part recorded." in page.text) is (parts == 0)
    assert ("Nopartrecorded." in pages(render_pdf(view, AT))[0]) is (parts == 0)


def test_a_demo_says_on_every_rendering_that_it_is_one() -> None:
    assert "DEMO: an invented shop" in read(render_html(a_hostile_view())).text
    assert all("DEMO:aninventedshop" in page for page in pages(render_pdf(a_hostile_view(), AT)))
    assert json.loads(render_json(a_hostile_view()))["demo"] is True


def test_an_acceptance_without_a_name_is_refused() -> None:
    revision = a_view().parts[0].revisions[0]
    with pytest.raises(ValueError, match="by whom"):
        type(revision).model_validate({**revision.model_dump(), "accepted_by": None})
