"""From a shape file to a Shape in millimetres, or to one clear sentence why not.

This parses foreign bytes in this very process; actions go through `measure.measure_file`, which has a child process
do it.
"""

import hashlib
import stat
from collections.abc import Callable
from pathlib import Path

import numpy as np

from vault.errors import BadInput
from vault.geometry.mesh import (
    LARGEST_COORDINATE_MM,
    FloatArray,
    IntArray,
    Limits,
    ReadFile,
    Shape,
    ShapePart,
    check_mesh,
    drop_unused,
    weld,
    without_doubled_corners,
)
from vault.geometry.read_glb import read_glb
from vault.geometry.read_ply import read_ply
from vault.geometry.read_step import read_step
from vault.geometry.read_stl import read_stl
from vault.geometry.read_text import read_obj, read_off
from vault.geometry.read_threemf import read_threemf
from vault.geometry.sniff import TITLES, decide_format
from vault.geometry.topology import is_closed
from vault.geometry.units import settle_unit
from vault.units import file_size

_READERS: dict[str, Callable[[bytes, Limits], ReadFile]] = {
    "stl": read_stl,
    "3mf": read_threemf,
    "obj": read_obj,
    "ply": read_ply,
    "off": read_off,
    "glb": read_glb,
    "step": read_step,
}

DEFAULT_LIMITS = Limits()


def load_shape(path: Path, unit: str | None = None, limits: Limits = DEFAULT_LIMITS) -> Shape:
    """Read a shape file: STL, 3MF, OBJ, PLY, OFF, GLB or STEP.

    `unit` is what a person said ("mm", "inch", ...; see vault.units); a file that states its own unit may not
    contradict it.

    Raises:
        BadInput: The file cannot be read as a shape; the sentence names the file.
    """
    name = "".join(char if char.isprintable() else "?" for char in path.name)
    try:
        data = _read_bytes(path, limits)
        kind = decide_format(data, name)
        return _assemble(_READERS[kind](data, limits), TITLES[kind], unit, hashlib.sha256(data).hexdigest())
    except BadInput as problem:
        raise BadInput(f"{name}: {problem}") from None
    except MemoryError:
        raise BadInput(f"{name}: needs more memory to read than is allowed") from None


def _read_bytes(path: Path, limits: Limits) -> bytes:
    try:
        status = path.stat()
        if stat.S_ISDIR(status.st_mode):
            raise BadInput("is a folder, not a shape file")
        if not stat.S_ISREG(status.st_mode):
            raise BadInput("is no plain file")
        if status.st_size > limits.max_bytes:
            raise BadInput(f"is {file_size(status.st_size)} big; more than {file_size(limits.max_bytes)} is not read")
        with path.open("rb") as stream:
            data = stream.read(limits.max_bytes + 1)
    except FileNotFoundError:
        raise BadInput("there is no such file") from None
    except (OSError, ValueError) as problem:
        raise BadInput(f"cannot be opened ({getattr(problem, 'strerror', None) or problem})") from None
    if len(data) > limits.max_bytes:
        raise BadInput(f"is too big; more than {file_size(limits.max_bytes)} is not read")
    if not data:
        raise BadInput("is empty")
    return data


def _assemble(read: ReadFile, title: str, given_unit: str | None, digest: str) -> Shape:
    """Put the bodies of a file together, in millimetres."""
    for part in read.parts:
        check_mesh(part.vertices, part.faces)
    extent = max(float(np.ptp(part.vertices, axis=0).max()) for part in read.parts)
    settled = settle_unit(read, title, given_unit, extent)
    vertices: list[FloatArray] = []
    faces: list[IntArray] = []
    parts: list[ShapePart] = []
    vertex_count = face_count = doubled = 0
    for part in read.parts:
        points, corners, left_out = _clean(part.vertices, part.faces, read.welded)
        doubled += left_out
        if not len(corners):
            continue
        parts.append(ShapePart(part.name[:200], part.part_number[:200], face_count, len(corners)))
        vertices.append(_in_mm(points, settled.mm_per_unit))
        faces.append(corners + vertex_count)
        vertex_count += len(points)
        face_count += len(corners)
    if not parts:
        raise BadInput("holds no triangles with an area")
    cautions = [*read.cautions, *settled.cautions]
    if doubled:
        cautions.append(f"{doubled} of its triangles have two equal corners and were left out")
    return Shape(
        np.concatenate(vertices),
        np.concatenate(faces),
        title,
        settled.unit,
        settled.basis,
        digest,
        read.reader,
        tuple(parts),
        read.tessellation_mm,
        tuple(cautions),
    )


def _clean(vertices: FloatArray, faces: IntArray, shared: bool) -> tuple[FloatArray, IntArray, int]:
    """Weld corners where the file does not share them, drop what no face uses; also return the triangles left out.

    A file that shares corners by number says itself what hangs together, so two bodies may touch. Where that leaves the
    surface open, its writer did not share them after all.
    """
    before = len(faces)
    if not shared or not is_closed(without_doubled_corners(faces)):
        vertices, faces = weld(vertices, faces)
    faces = without_doubled_corners(faces)
    vertices, faces = drop_unused(vertices, faces)
    return vertices, faces, before - len(faces)


def _in_mm(points: FloatArray, mm_per_unit: float) -> FloatArray:
    if not float(np.abs(points).max()) * mm_per_unit <= LARGEST_COORDINATE_MM:
        raise BadInput("has coordinates beyond a kilometre; the file is damaged or its unit is wrong")
    return points * mm_per_unit
