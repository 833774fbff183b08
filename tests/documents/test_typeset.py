"""Paper is the same bytes for the same values, in our own fonts, whoever sets it and whenever."""

import hashlib
import io
import json
import os
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest
import typst
from PIL import ImageFont
from pypdf import PdfReader

from tests.documents.jobs import AT, an_everyday_job
from tests.documents.pdf_reading import fonts, pages, squeezed
from vault.documents.traveler import traveler_pdf
from vault.documents.typeset import FONTS, TEMPLATES, compile_pdf
from vault.errors import Fault

REPOSITORY = Path(__file__).parents[2]
GOLDEN = "83ad6f92af65ccc7f2d682d4ce2608ef4f240e949837ae1530306faab394a808"


def test_a_traveler_is_the_same_bytes_in_another_process_folder_and_time_zone(tmp_path: Path) -> None:
    script = (
        "import sys; from tests.documents.jobs import *; from vault.documents.traveler import traveler_pdf;"
        "sys.stdout.buffer.write(traveler_pdf(an_everyday_job(), AT))"
    )
    environment = {
        **os.environ,
        "TZ": "Pacific/Kiritimati",
        "LC_ALL": "C",
        "PYTHONHASHSEED": "7",
        "PYTHONPATH": str(REPOSITORY),
    }
    made = subprocess.run(
        [sys.executable, "-c", script], cwd=tmp_path, env=environment, capture_output=True, check=True, timeout=60
    )
    assert made.stdout == traveler_pdf(an_everyday_job(), AT)


def test_a_traveler_has_not_moved_since_this_version_of_typst_was_fixed() -> None:
    # Our own golden value for typst 0.15.2 and the templates as they are: a change is looked at, then fixed anew.
    assert hashlib.sha256(traveler_pdf(an_everyday_job(), AT)).hexdigest() == GOLDEN


def test_the_date_of_a_document_is_the_date_of_its_record() -> None:
    metadata = PdfReader(io.BytesIO(traveler_pdf(an_everyday_job(), AT))).metadata
    assert metadata is not None
    assert metadata.creation_date == AT


def test_a_document_without_a_time_zone_is_refused() -> None:
    with pytest.raises(Fault, match="time zone"):
        compile_pdf("traveler", {}, datetime(2026, 3, 9))  # noqa: DTZ001 - the point of the test


def test_only_our_own_fonts_are_on_the_paper() -> None:
    assert fonts(traveler_pdf(an_everyday_job(), AT)) <= {"Inter-Regular", "Inter-SemiBold", "Inter-Bold"}


def measured_pt(words: str, root: Path) -> float:
    """Return the width of `words` at 100 pt in the style of our paper, in points."""
    for source in TEMPLATES.glob("*.typ"):
        (root / source.name).write_bytes(source.read_bytes())
    width = "measure(text(size: 100pt, sys.inputs.words)).width.pt()"
    probe = f'#import "paper.typ": *\n#show: paper\n#context [#metadata({width})<width>]'
    (root / "probe.typ").write_text(probe)
    inputs = {"data": "{}", "words": words}
    compiler = typst.Compiler(
        root / "probe.typ", root=root, font_paths=[FONTS], ignore_system_fonts=True, sys_inputs=inputs
    )
    return float(json.loads(compiler.query("<width>", field="value", one=True)))


def test_the_paper_is_set_in_inter_by_the_widths_of_its_letters(tmp_path: Path) -> None:
    # FreeType (through Pillow) reads the advance width from the font file itself; H and H do not kern
    font = ImageFont.truetype(FONTS / "Inter-Regular.otf", size=1000, layout_engine=ImageFont.Layout.BASIC)
    assert measured_pt("HHHH", tmp_path) == pytest.approx(font.getlength("HHHH") / 10, rel=2e-3)


def test_figures_stand_in_columns(tmp_path: Path) -> None:
    assert measured_pt("1111111111", tmp_path) == pytest.approx(measured_pt("0123456789", tmp_path))


def test_letters_that_the_font_lacks_are_boxed_and_the_page_says_so() -> None:
    page = pages(traveler_pdf(an_everyday_job().model_copy(update={"description": "支架 K2"}), AT))[0]
    assert "\u25a1\u25a1K2" in page
    assert squeezed("stands for a letter that this paper's font lacks") in page.replace("’", "'")


def test_a_template_that_asks_for_what_nobody_gave_is_a_fault() -> None:
    with pytest.raises(Fault, match="cannot be set"):
        compile_pdf("traveler", {"shop": "no more than this"}, datetime(2026, 3, 9, tzinfo=UTC))


def test_no_template_fetches_a_package() -> None:
    assert [
        path.name for path in TEMPLATES.glob("*.typ") if "@preview" in path.read_text() or "@local" in path.read_text()
    ] == []


def test_the_licence_lies_beside_the_fonts_and_all_is_small() -> None:
    assert "SIL OPEN FONT LICENSE" in (FONTS / "OFL.txt").read_text()
    assert sum(path.stat().st_size for path in FONTS.iterdir()) < 2_000_000
