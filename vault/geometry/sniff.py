"""Which format a shape file has: by its content where that says so, else by its ending; never by guessing."""

import re
import struct

from vault.errors import BadInput

ENDINGS = {
    "stl": "stl", "3mf": "3mf", "obj": "obj", "ply": "ply", "off": "off", "glb": "glb", "step": "step", "stp": "step",
    "p21": "step",
}  # fmt: skip
"""Format by the ending of a file's name."""

TITLES = {"stl": "STL", "3mf": "3MF", "obj": "OBJ", "ply": "PLY", "off": "OFF", "glb": "GLB", "step": "STEP"}

_OFF = re.compile(rb"\s*(?:#[^\n]*\n\s*)*(?:ST)?C?N?4?n?OFF\b")
_OBJ_VERTEX = re.compile(rb"(?m)^v[ \t]+[-+.\d]")
_HEAD = 1 << 16


def obeys_size_law(data: bytes) -> bool:
    """Say whether `data` is exactly as long as a binary STL with its own count n of facets: 84 + 50 n bytes."""
    return len(data) >= 84 and len(data) == 84 + 50 * int(struct.unpack_from("<I", data, 80)[0])


def by_content(data: bytes) -> str | None:
    """Return the format that the bytes themselves show, or None.

    The size law comes before the word "solid": real binary STL files begin with that word too.
    """
    head = data[:_HEAD].removeprefix(b"\xef\xbb\xbf").lstrip()
    if data.startswith(b"glTF"):
        return "glb"
    if data.startswith(b"PK\x03\x04"):
        return "3mf"
    if head.startswith(b"ISO-10303-21"):
        return "step"
    if obeys_size_law(data):
        return "stl"
    if head.startswith((b"ply\n", b"ply\r")):
        return "ply"
    if _OFF.match(head):
        return "off"
    if head[:5].lower() == b"solid" and b"facet" in head.lower():
        return "stl"
    return "obj" if _OBJ_VERTEX.search(head) else None


def decide_format(data: bytes, file_name: str) -> str:
    """Return one of the keys of TITLES.

    Raises:
        BadInput: Neither content nor ending tells, or they contradict each other.
    """
    ending = file_name.rpartition(".")[2].lower() if "." in file_name else ""
    named, found = ENDINGS.get(ending), by_content(data)
    if named and found and named != found:
        raise BadInput(f"its name says {TITLES[named]}, but its content is {TITLES[found]}; is it the right file?")
    kind = found or named
    if kind is None:
        raise BadInput(f"is no shape file we can read; readable are {', '.join(TITLES.values())}")
    return kind
