"""Reading GLB through trimesh, with a check that nothing the file declares was left out on the way."""

import io
import json
import struct
from typing import Any

import numpy as np

from vault.errors import BadInput
from vault.geometry.mesh import FloatArray, Limits, ReadFile, ReadPart, weld

LIBRARY_FAULTS = (
    ArithmeticError, AssertionError, AttributeError, EOFError, LookupError, NotImplementedError, OSError,
    RuntimeError, TypeError, ValueError, struct.error,
)  # fmt: skip
"""What the libraries that parse foreign bytes raise on damaged ones."""

_TRIANGLES = 4
_HARMLESS = ("KHR_materials_", "KHR_texture_", "EXT_texture_", "KHR_lights_", "KHR_xmp", "KHR_mesh_quantization")


def read_glb(data: bytes, limits: Limits) -> ReadFile:
    """Read every mesh of the file where its scene places it; GLB is in metres by its standard.

    Raises:
        BadInput: The file is cut short or damaged, or holds something that is not read.
    """
    import trimesh  # here, not above: its import takes longer than reading most files

    declared = _declared_triangles(_header(data), limits)
    parts = glb_parts(data)
    if declared != sum(count for _, count in parts.values()):
        raise BadInput("is damaged: it declares other triangles than it holds")
    placed = tuple(part for group, _ in parts.values() for part in group)
    if not placed:
        raise BadInput("holds no triangles")
    if sum(len(part.faces) for part in placed) > limits.max_triangles or len(placed) > limits.max_instances:
        raise BadInput(f"has more than {limits.max_triangles} triangles, which are not read")
    basis = "given by the standard: GLB is in metres"
    return ReadFile(placed, f"trimesh {trimesh.__version__}", "m", basis, welded=True)


def glb_parts(data: bytes) -> dict[str, tuple[list[ReadPart], int]]:
    """Return, for each mesh in the file, its placed copies and its own number of triangles; metres, corners welded."""
    import trimesh

    try:
        scene = trimesh.load_scene(io.BytesIO(data), file_type="glb", process=False)
        meshes = {
            name: (np.asarray(mesh.vertices, dtype=np.float64), np.asarray(mesh.faces, dtype=np.int64))
            for name, mesh in ((str(key), value) for key, value in scene.geometry.items())
            if isinstance(mesh, trimesh.Trimesh)
        }
        nodes = [(*scene.graph[node], str(node)) for node in sorted(scene.graph.nodes_geometry)]
    except LIBRARY_FAULTS as problem:
        raise BadInput(f"is damaged ({type(problem).__name__} in the GLB reader)") from None
    welded = {name: weld(vertices, faces) for name, (vertices, faces) in meshes.items() if _is_whole(vertices, faces)}
    parts: dict[str, tuple[list[ReadPart], int]] = {name: ([], len(faces)) for name, (_, faces) in meshes.items()}
    for matrix, name, node in nodes:
        if name in welded:
            parts[str(name)][0].append(_placed(*welded[str(name)], np.asarray(matrix, dtype=np.float64), node))
    return parts


def _is_whole(vertices: FloatArray, faces: Any) -> bool:
    if not len(faces):
        return False
    if int(faces.min()) < 0 or int(faces.max()) >= len(vertices):
        raise BadInput("names a corner that it does not hold")
    return True


def _placed(vertices: FloatArray, faces: Any, matrix: FloatArray, name: str) -> ReadPart:
    """Apply a (4, 4) column-vector matrix; corners were welded before, as rounding could part equal points."""
    if not np.isfinite(matrix).all():
        raise BadInput("holds a transform that is not finite")
    x, y, z = vertices.T
    with np.errstate(over="ignore", invalid="ignore"):
        moved = np.stack([x * m[0] + y * m[1] + z * m[2] + m[3] for m in matrix[:3]], axis=1)
        mirrored = np.linalg.det(matrix[:3, :3]) < 0
    return ReadPart(moved, faces[:, ::-1] if mirrored else faces, name)


def _header(data: bytes) -> dict[str, Any]:
    """Return the JSON chunk after checking the lengths that the file declares (glTF 2.0, section 4.4)."""
    if len(data) < 20:
        raise BadInput("is cut short: a GLB file has at least 20 bytes")
    version, length = struct.unpack_from("<II", data, 4)
    chunk_length, chunk_type = struct.unpack_from("<II", data, 12)
    if version != 2:
        raise BadInput(f"is GLB version {version}; version 2 is read")
    if length != len(data) or chunk_type != 0x4E4F534A or 20 + chunk_length > len(data):
        raise BadInput(f"is damaged: it announces {length} bytes and has {len(data)}")
    try:
        header = json.loads(data[20 : 20 + chunk_length].decode("utf-8"))
    except (ValueError, RecursionError):
        raise BadInput("is damaged: its description is no JSON") from None
    if not isinstance(header, dict):
        raise BadInput("is damaged: its description is no JSON object")
    return header


def _declared_triangles(header: dict[str, Any], limits: Limits) -> int:
    """Return how many triangles the meshes declare; refuse what trimesh would leave out or misread without a word."""
    for name in header.get("extensionsRequired", []):
        if not str(name).startswith(_HARMLESS):
            raise BadInput(f"needs the extension {name!r}, which is not read; export it without compression")
    count = 0
    try:
        accessors = header.get("accessors", [])
        if any("sparse" in accessor for accessor in accessors) or header.get("skins"):
            raise BadInput("holds sparse or moving shapes, which are not read; export plain triangles")
        for mesh in header.get("meshes", []):
            for primitive in mesh["primitives"]:
                if primitive.get("mode", _TRIANGLES) != _TRIANGLES or primitive.get("targets"):
                    raise BadInput("holds something else than plain triangles, which is not read")
                index = primitive.get("indices", primitive["attributes"]["POSITION"])
                count += int(accessors[index]["count"]) // 3
    except (LookupError, TypeError, ValueError, AttributeError):
        raise BadInput("is damaged: its description lacks a mesh") from None
    if count <= 0:
        raise BadInput("holds no triangles")
    if count > limits.max_triangles:
        raise BadInput(f"has more than {limits.max_triangles} triangles, which are not read")
    return count
