"""Set a PDF from one of our templates: the same bytes for the same values, on every computer and at any time.

Text of people and customers enters as JSON data only, never as markup; fonts are those that lie beside the templates.
"""

import json
import re
import tempfile
from collections.abc import Mapping
from datetime import datetime
from functools import cache
from pathlib import Path

import typst

from vault.errors import BadInput, Fault

_HERE = Path(__file__).parent
TEMPLATES = _HERE / "templates"
FONTS = _HERE / "fonts"


@cache
def _fonts() -> typst.Fonts:
    """Our own fonts and no others: neither the system's nor those built into typst."""
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[FONTS])


def compile_pdf(
    template: str, data: Mapping[str, object], at: datetime, files: Mapping[str, bytes] | None = None
) -> bytes:
    """Return the PDF (PDF/A-2b) of `template` filled with `data`.

    Args:
        template: Name of a template in our folder, such as "traveler".
        data: What the template shows; JSON values only. The template reads it as plain text.
        at: Date of the document, aware; the clock is never asked.
        files: Pictures by the name under which `data` mentions them.

    Raises:
        BadInput: A picture cannot be read.
        Fault: The template itself is wrong, or a font is missing.
    """
    if at.tzinfo is None:
        raise Fault("a document needs a date with a time zone")
    with tempfile.TemporaryDirectory(prefix="partstead-paper-") as folder:
        root = Path(folder)
        for source in TEMPLATES.glob("*.typ"):
            (root / source.name).write_bytes(source.read_bytes())
        for name, content in (files or {}).items():
            (root / Path(name).name).write_bytes(content)
        return _compile_with_what_the_font_has(root, template, data, at)


def _compile_with_what_the_font_has(root: Path, template: str, data: Mapping[str, object], at: datetime) -> bytes:
    """Set the page; letters that our font lacks are shown as a box, and the page says so, rather than set nothing."""
    lacking: set[str] = set()
    while True:
        shown = {**data, "boxed": True} if lacking else data
        try:
            return _compile(root, template, json.dumps(_boxed(shown, lacking), ensure_ascii=False), at)
        except _LettersLacking as error:
            if error.letters <= lacking:
                raise Fault(f"the {template} cannot be set: its font lacks {sorted(error.letters)}") from error
            lacking |= error.letters


class _LettersLacking(Exception):
    """The font has no shape for these letters; PDF/A refuses to hide that."""

    def __init__(self, letters: set[str]) -> None:
        super().__init__()
        self.letters = letters


def _boxed(value: object, lacking: set[str]) -> object:
    """Replace the lacking letters in every text of `value`."""
    match value:
        case str():
            return "".join("\u25a1" if letter in lacking else letter for letter in value)
        case Mapping():
            return {key: _boxed(inner, lacking) for key, inner in value.items()}
        case list() | tuple():
            return [_boxed(inner, lacking) for inner in value]
        case _:
            return value


def _letters_lacking(error: typst.TypstError) -> set[str]:
    """Read from the diagnostics which letters could not be displayed."""
    pieces = re.findall(r'the text `"(.+?)"` could not be displayed', error.diagnostic)
    escaped = re.sub(r"\\u\{([0-9a-f]+)\}", lambda code: chr(int(code[1], 16)), "".join(pieces))
    return set(escaped) - {"\u25a1"}


def _compile(root: Path, template: str, data: str, at: datetime) -> bytes:
    try:
        pdf, warnings = typst.compile_with_warnings(
            root / f"{template}.typ",
            root=root,
            font_paths=_fonts(),
            ignore_system_fonts=True,
            sys_inputs={"data": data},
            package_path=root,
            package_cache_path=root,
            timestamp=at.replace(microsecond=0),  # a PDF dates to the second
            pdf_standards=["a-2b"],
            format="pdf",
        )
    except typst.TypstError as error:
        if letters := _letters_lacking(error):
            raise _LettersLacking(letters) from error
        if "failed to decode image" in error.message or "unknown image format" in error.message:
            raise BadInput(f"a picture for the {template} cannot be read: {error.message}") from error
        raise Fault(f"the {template} cannot be set: {error.message}") from error
    if warnings:
        raise Fault(f"the {template} cannot be set as meant: {warnings[0].message}")
    if not isinstance(pdf, bytes):
        raise Fault(f"the {template} was not set as one PDF")
    return pdf
