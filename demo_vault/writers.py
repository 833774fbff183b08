"""Small writers of the file formats that the demo's customers send: STL, OBJ and PLY."""

import numpy as np

from demo_vault.parts import PartMesh

_STL_FACET = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])


def stl_binary(mesh: PartMesh, title: str) -> bytes:
    """Write a binary STL: an 80-byte title, a count, then 50 bytes a triangle, little-endian."""
    facets = np.zeros(len(mesh.faces), dtype=_STL_FACET)
    corners = mesh.vertices[mesh.faces]
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.linalg.norm(across, axis=1, keepdims=True)
    facets["normal"] = np.round(across / np.where(length > 0.0, length, 1.0), 6)
    facets["corners"] = corners
    header = f"binary {title}".encode("ascii", "replace")[:80].ljust(80)
    return header + len(facets).to_bytes(4, "little") + facets.tobytes()


def stl_text(mesh: PartMesh, title: str) -> bytes:
    """Write a text STL as older CAD systems do."""
    lines = [f"solid {title}"]
    for corners in mesh.vertices[mesh.faces]:
        across = np.cross(corners[1] - corners[0], corners[2] - corners[0])
        x, y, z = across / (float(np.linalg.norm(across)) or 1.0)
        lines += [f"facet normal {x:.5f} {y:.5f} {z:.5f}", " outer loop"]
        lines += [f"  vertex {a:.4f} {b:.4f} {c:.4f}" for a, b, c in corners]
        lines += [" endloop", "endfacet"]
    return "\n".join([*lines, f"endsolid {title}", ""]).encode("ascii")


def obj_text(mesh: PartMesh, title: str) -> bytes:
    """Write a Wavefront OBJ: one object, faces counted from 1."""
    lines = [f"# {title}, millimetres", f"o {title.replace(' ', '_')}"]
    lines += [f"v {x:.4f} {y:.4f} {z:.4f}" for x, y, z in mesh.vertices]
    lines += [f"f {a} {b} {c}" for a, b, c in mesh.faces + 1]
    return "\n".join([*lines, ""]).encode("ascii")


def ply_binary(mesh: PartMesh, title: str) -> bytes:
    """Write a binary little-endian PLY with double coordinates."""
    header = [
        "ply",
        "format binary_little_endian 1.0",
        f"comment {title}, millimetres",
        f"element vertex {len(mesh.vertices)}",
        *(f"property double {axis}" for axis in "xyz"),
        f"element face {len(mesh.faces)}",
        "property list uchar int vertex_indices",
        "end_header",
        "",
    ]
    faces = np.zeros(len(mesh.faces), dtype=[("count", "u1"), ("corners", "<i4", 3)])
    faces["count"], faces["corners"] = 3, mesh.faces
    return "\n".join(header).encode("ascii") + mesh.vertices.astype("<f8").tobytes() + faces.tobytes()
