"""Writing 3MF: millimetres, exact numbers, and the same bytes on every machine.

Follows the 3MF core specification 1.4.0 (ISO/IEC 25422:2025); a transform is 12 numbers for row vectors, the last
three move.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from xml.sax.saxutils import quoteattr

import numpy as np

from vault.errors import BadInput
from vault.geometry.mesh import Shape
from vault.geometry.threemf_xml import CORE
from vault.records.stored_zip import stored_zip

_CONTENT_TYPES = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
    '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
    '<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>\n'
)
_RELATIONSHIPS = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
    '<Relationship Id="rel0" Target="/3D/3dmodel.model" '
    'Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>\n'
)
_NOT_XML = re.compile("[\x00-\x08\x0b-\x1f\ud800-\udfff\ufffe\uffff]")
_OWN_PREFIX = "ps"
_OWN_NAMESPACE = "urn:partstead:3mf:1"
_KNOWN_METADATA = frozenset(("Title", "Designer", "Description", "Copyright", "LicenseTerms", "Rating"))
_KNOWN_METADATA |= frozenset(("CreationDate", "ModificationDate", "Application"))

AS_PLACED = (1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0)
"""The transform that changes nothing."""

Transform12 = tuple[float, float, float, float, float, float, float, float, float, float, float, float]


@dataclass(frozen=True, eq=False)
class BuildObject:
    """A mesh that the build may place more than once."""

    shape: Shape
    name: str
    part_number: str = ""


@dataclass(frozen=True)
class BuildItem:
    """One placing of an object: which (from 0), how (12 numbers, row vectors, mm), and as what."""

    object_index: int
    transform: Transform12 = AS_PLACED
    part_number: str = ""

    @classmethod
    def moved(cls, object_index: int, by_mm: tuple[float, float, float], part_number: str = "") -> "BuildItem":
        """Return an item that only moves its object."""
        return cls(object_index, (*AS_PLACED[:9], *by_mm), part_number)


def write_3mf(shape: Shape, *, name: str, part_number: str = "", metadata: Mapping[str, str] | None = None) -> bytes:
    """Return a 3MF file of one shape, placed once where it is.

    Raises:
        BadInput: A text cannot be written as XML.
    """
    item = BuildItem(0, AS_PLACED, part_number)
    return write_build_3mf([BuildObject(shape, name, part_number)], [item], {"Title": name, **(metadata or {})})


def write_build_3mf(
    objects: Sequence[BuildObject], items: Sequence[BuildItem], metadata: Mapping[str, str] | None = None
) -> bytes:
    """Return a 3MF file of several objects and their placings.

    `metadata` may use the names of the specification ("Title", "Designer", ...); any other is put in our own namespace.
    Coordinates are printed in the fewest digits that read back as the same number.

    Raises:
        BadInput: An item names no object or would mirror or flatten it, nothing is placed, or a text cannot be
            written as XML.
    """
    if not items:
        raise BadInput("a build file needs at least one placing")
    for item in items:
        _check_item(item, len(objects))
    meshes = [_object(number, one) for number, one in enumerate(objects, start=1)]
    model = "".join([_head(metadata or {}), *meshes, _build(items), "</model>\n"])
    files = {"[Content_Types].xml": _CONTENT_TYPES, "_rels/.rels": _RELATIONSHIPS, "3D/3dmodel.model": model}
    return stored_zip({path: text.encode() for path, text in files.items()})


def _check_item(item: BuildItem, object_count: int) -> None:
    if not 0 <= item.object_index < object_count:
        raise BadInput(f"a placing names object {item.object_index}, but there are {object_count}")
    numbers = np.array(item.transform, dtype=np.float64)
    if numbers.shape != (12,) or not np.isfinite(numbers).all():
        raise BadInput("a placing needs 12 finite numbers")
    if not np.linalg.det(numbers[:9].reshape(3, 3)) > 1e-12:
        raise BadInput("a placing would mirror or flatten the part")


def _head(metadata: Mapping[str, str]) -> str:
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<model unit="millimeter" xml:lang="en-US" xmlns="{CORE}" xmlns:{_OWN_PREFIX}="{_OWN_NAMESPACE}">\n'
    ]
    for key in sorted(metadata):
        name = key if key in _KNOWN_METADATA else f"{_OWN_PREFIX}:{_word(key)}"
        lines.append(f'<metadata name="{name}">{_text(metadata[key])}</metadata>\n')
    return "".join([*lines, "<resources>\n"])


def _object(number: int, one: BuildObject) -> str:
    coordinates = list(map(repr, (one.shape.vertices + 0.0).ravel().tolist()))
    corners = list(map(str, one.shape.faces.ravel().tolist()))
    return "".join(
        [
            f'<object id="{number}" type="model" name={_attribute(one.name)}{_part_number(one.part_number)}>',
            "<mesh>\n<vertices>\n",
            *map('<vertex x="{}" y="{}" z="{}"/>\n'.format, coordinates[0::3], coordinates[1::3], coordinates[2::3]),
            "</vertices>\n<triangles>\n",
            *map('<triangle v1="{}" v2="{}" v3="{}"/>\n'.format, corners[0::3], corners[1::3], corners[2::3]),
            "</triangles>\n</mesh></object>\n",
        ]
    )


def _build(items: Sequence[BuildItem]) -> str:
    lines = ["</resources>\n<build>\n"]
    for item in items:
        numbers = " ".join(repr(float(value) + 0.0) for value in item.transform)
        transform = "" if item.transform == AS_PLACED else f' transform="{numbers}"'
        lines.append(f'<item objectid="{item.object_index + 1}"{transform}{_part_number(item.part_number)}/>\n')
    return "".join([*lines, "</build>\n"])


def _part_number(text: str) -> str:
    return f" partnumber={_attribute(text)}" if text else ""


def _word(text: str) -> str:
    if not text.isascii() or not text.replace("_", "").replace("-", "").isalnum() or text[0] in "-0123456789":
        raise BadInput(f"{text!r} is no name for metadata; use letters, digits, - and _")
    return text


def _text(text: str) -> str:
    """Write text between tags, where & < > matter."""
    return _printable(text).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _attribute(text: str) -> str:
    return quoteattr(_printable(text))


def _printable(text: str) -> str:
    if _NOT_XML.search(text):
        raise BadInput(f"{text!r} holds a character that XML cannot hold")
    return text
