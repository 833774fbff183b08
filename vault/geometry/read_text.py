"""Reading OBJ and OFF, the two formats that are lines of text without a unit."""

from collections.abc import Iterator

import numpy as np

from vault.errors import BadInput
from vault.geometry.mesh import FloatArray, Limits, ReadFile, ReadPart
from vault.geometry.polygons import to_triangles

_OBJ_NO_SHAPE = frozenset(("vn", "vt", "vp", "g", "o", "s", "usemtl", "mtllib", "usemap", "maplib", "l", "p"))
_OBJ_NO_SHAPE |= frozenset(("lod", "bevel", "c_interp", "d_interp", "shadow_obj", "trace_obj"))


def read_obj(data: bytes, limits: Limits) -> ReadFile:
    """Read points and faces of an OBJ file; colours, textures, lines and loose points are no part of a shape.

    Raises:
        BadInput: A line is not understood, a number is none, or the faces are no mesh.
    """
    points: list[tuple[float, ...]] = []
    corners: list[int] = []
    sizes: list[int] = []
    for number, words in _obj_lines(data):
        try:
            if words[0] == "v":
                points.append(_three(words[1:]))
            elif words[0] == "f":
                corners += [_obj_corner(word, len(points)) for word in words[1:]]
                sizes.append(len(words) - 1)
            elif words[0] not in _OBJ_NO_SHAPE:
                raise ValueError
        except ValueError:
            raise BadInput(f"line {number} is not understood: {' '.join(words)[:40]!r}") from None
        if sum(sizes[-1:]) and len(corners) - 2 * len(sizes) > limits.max_triangles:
            raise BadInput(f"has more than {limits.max_triangles} triangles, which are not read")
    return _read_file(points, corners, sizes, "own OBJ reader")


def _obj_lines(data: bytes) -> Iterator[tuple[int, list[str]]]:
    """Yield (line number, words) of lines that say something."""
    text = _decode(data).replace("\\\r\n", " ").replace("\\\n", " ")
    for number, line in enumerate(text.splitlines(), start=1):
        if words := line.partition("#")[0].split():
            yield number, words


def _obj_corner(word: str, known: int) -> int:
    """Turn "7/1/3" into 6, and "-1" into the newest point."""
    index = int(word.partition("/")[0])
    if index == 0 or index < -known:
        raise ValueError
    return index - 1 if index > 0 else known + index


def read_off(data: bytes, limits: Limits) -> ReadFile:
    """Read points and faces of an ASCII OFF file (also COFF, NOFF and CNOFF, whose further columns are left out).

    Raises:
        BadInput: The file has fewer or more lines than it announces, a number is none, or the faces are no mesh.
    """
    lines = [words for line in _decode(data).splitlines() if (words := line.partition("#")[0].split())]
    if not lines or lines[0][0] not in {"OFF", "COFF", "NOFF", "CNOFF"}:
        raise BadInput("is a kind of OFF file that is not read; export plain OFF")
    lines[0] = lines[0][1:]
    lines = lines if lines[0] else lines[1:]
    try:
        point_count, face_count = int(lines[0][0]), int(lines[0][1])
    except (IndexError, ValueError):
        raise BadInput("is damaged: the line with the numbers of points and faces is missing") from None
    if face_count > limits.max_triangles:
        raise BadInput(f"has {face_count} faces; more than {limits.max_triangles} are not read")
    body = lines[1:]
    if point_count < 0 or face_count < 0 or len(body) != point_count + face_count:
        announced = f"{point_count} points and {face_count} faces"
        raise BadInput(f"is damaged: it announces {announced}, but has {len(body)} lines")
    return _off_mesh(body[:point_count], body[point_count:])


def _off_mesh(point_lines: list[list[str]], face_lines: list[list[str]]) -> ReadFile:
    try:
        points = [_three(words) for words in point_lines]
        sizes = [int(words[0]) for words in face_lines]
        corners: list[int] = []
        for size, words in zip(sizes, face_lines, strict=True):
            if size < 0 or len(words) <= size:
                raise ValueError
            corners += map(int, words[1 : size + 1])
    except ValueError:
        raise BadInput("is damaged: a point or a face is not understood") from None
    return _read_file(points, corners, sizes, "own OFF reader")


def _three(words: list[str]) -> tuple[float, ...]:
    if len(words) < 3:
        raise ValueError
    return tuple(map(float, words[:3]))


def _decode(data: bytes) -> str:
    return data.removeprefix(b"\xef\xbb\xbf").decode("utf-8", errors="replace")


def _read_file(points: list[tuple[float, ...]], corners: list[int], sizes: list[int], reader: str) -> ReadFile:
    vertices: FloatArray = np.array(points, dtype=np.float64).reshape(-1, 3)
    try:
        corner_numbers = np.array(corners, dtype=np.int64)
    except OverflowError:
        raise BadInput("names a corner that cannot be") from None
    faces = to_triangles(vertices, corner_numbers, np.array(sizes, dtype=np.int64))
    return ReadFile((ReadPart(vertices, faces),), reader)
