"""Reading STL: ASCII, binary, and binary that begins with the word "solid"."""

import re
import struct
import warnings

import numpy as np

from vault.errors import BadInput
from vault.geometry.mesh import FloatArray, Limits, ReadFile, ReadPart
from vault.geometry.sniff import obeys_size_law

_FACET = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])

_NAME_LINE = re.compile(rb"(?im)^[ \t]*(?:end)?solid\b[^\r\n]*$")
_NORMAL = re.compile(rb"(?i)facet\s+normal(?:\s+\S+){3}")
_FACETS = re.compile(
    rb"(?i)(?:\s*facet\s+normal(?:\s+\S++){3}\s+outer\s+loop(?:\s+vertex(?:\s+\S++){3}){3}\s+endloop\s+endfacet)*+\s*"
)
_WORDS = re.compile(rb"(?i)[a-z]{4,}\s*(?:loop)?")


def read_stl(data: bytes, limits: Limits) -> ReadFile:
    """Read the corners of an STL file; the file has no unit and shares no corners.

    Raises:
        BadInput: The file is neither a whole binary nor a whole ASCII STL, or has too many triangles.
    """
    if obeys_size_law(data):
        corners = _binary_corners(data, limits)
    elif data[:256].removeprefix(b"\xef\xbb\xbf").lstrip()[:5].lower() == b"solid":
        corners = _ascii_corners(data.removeprefix(b"\xef\xbb\xbf"), limits)
    elif len(data) < 84:
        raise BadInput(f"is cut short: {len(data)} bytes, and an STL file has at least 84")
    else:
        count = int(struct.unpack_from("<I", data, 80)[0])
        needs = 84 + 50 * count
        raise BadInput(f"is damaged: it announces {count} triangles, which take {needs} bytes, and has {len(data)}")
    faces = np.arange(len(corners) * 3, dtype=np.int64).reshape(-1, 3)
    return ReadFile((ReadPart(corners.reshape(-1, 3), faces),), "own STL reader")


def _binary_corners(data: bytes, limits: Limits) -> FloatArray:
    count = (len(data) - 84) // 50
    if count > limits.max_triangles:
        raise BadInput(f"has {count} triangles; more than {limits.max_triangles} are not read")
    facets = np.frombuffer(data, dtype=_FACET, count=count, offset=84)
    return facets["corners"].astype(np.float64)


def _ascii_corners(data: bytes, limits: Limits) -> FloatArray:
    if not re.search(rb"(?i)endsolid", data[-4096:]):
        raise BadInput("is cut short: an ASCII STL ends with the line endsolid")
    body = _NAME_LINE.sub(b"", data)
    count = len(re.findall(rb"(?i)\bendfacet\b", body))
    if count > limits.max_triangles:
        raise BadInput(f"has {count} triangles; more than {limits.max_triangles} are not read")
    if not _FACETS.fullmatch(body):
        raise BadInput("is damaged: not every facet is a normal and one loop of three corners")
    numbers = _WORDS.sub(b" ", _NORMAL.sub(b" ", body.lower().replace(b"nan", b"?").replace(b"inf", b"?")))
    return _parse_numbers(numbers, count * 9).reshape(-1, 3, 3)


def _parse_numbers(text: bytes, expected: int) -> FloatArray:
    if b"?" in text:
        raise BadInput("holds a coordinate that is not a finite number")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", DeprecationWarning)  # numpy's way to say that it stopped early
            values = np.fromstring(text.decode("ascii"), dtype=np.float64, sep=" ")
    except (DeprecationWarning, ValueError):
        raise BadInput("is damaged: a coordinate is no number") from None
    if len(values) != expected:
        raise BadInput("is damaged: a coordinate is no number")
    return values
