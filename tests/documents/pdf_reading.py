"""Read a PDF back with an independent library (pypdf)."""

import io

from pypdf import PdfReader
from pypdf.generic import DictionaryObject


def squeezed(text: str) -> str:
    """Remove white space and break marks: where a line is broken does not matter here."""
    return "".join(text.replace("\u200b", "").split())


def pages(pdf: bytes) -> list[str]:
    """Return the text of every page, squeezed."""
    return [squeezed(page.extract_text()) for page in PdfReader(io.BytesIO(pdf)).pages]


def inside(parent: DictionaryObject, key: str) -> DictionaryObject:
    """Return a dictionary of the PDF that lies in another, wherever it is really kept."""
    found = parent[key].get_object()
    assert isinstance(found, DictionaryObject)
    return found


def fonts(pdf: bytes) -> set[str]:
    """Return the names of the fonts in the PDF, without the tag of the subset."""
    found = set()
    for page in PdfReader(io.BytesIO(pdf)).pages:
        kept = inside(inside(page, "/Resources"), "/Font")
        for name in kept:
            base = str(inside(kept, name)["/BaseFont"])
            found.add(base.rpartition("+")[2].lstrip("/").removesuffix("-Identity-H"))
    return found
