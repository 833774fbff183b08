"""Named meshes whose numbers are known in closed form, and writers that put them into files of every format.

A mesh is (vertices, faces): (n, 3) float64 in mm, (m, 3) int64 seen counter-clockwise from outside.
"""

import struct
from pathlib import Path

import manifold3d
import numpy as np

from vault.geometry.mesh import FloatArray, IntArray, Shape

Mesh = tuple[FloatArray, IntArray]

NO_DIGEST = "0" * 64


def as_shape(mesh: Mesh) -> Shape:
    """A mesh as the value that the geometry room works with."""
    return Shape(*mesh, format="made for a test", unit="mm", unit_basis="given by the test", file_sha256=NO_DIGEST)


def box(x: float, y: float, z: float, centre: tuple[float, float, float] = (0.0, 0.0, 0.0)) -> Mesh:
    """A box: V = xyz, A = 2 (xy + yz + zx)."""
    corners = np.array([[i, j, k] for i in (-0.5, 0.5) for j in (-0.5, 0.5) for k in (-0.5, 0.5)])
    quads = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]
    faces = np.array([triangle for a, b, c, d in quads for triangle in ((a, b, c), (a, c, d))], dtype=np.int64)
    return corners * (x, y, z) + centre, faces


def cube_10mm() -> Mesh:
    """A cube of 10 mm with one corner at the origin: V 1000, A 600."""
    return box(10, 10, 10, centre=(5, 5, 5))


def cube_with_hole(sides: int = 64) -> Mesh:
    """A cube of 20 mm with a hole of 6 mm diameter through it, a regular polygon: V = 8000 - 20 n/2 r^2 sin(2 pi/n)."""
    return from_manifold(cube(20, 20, 20) - cylinder(30, 3, sides))


def two_shells() -> Mesh:
    """Two cubes of 10 mm side by side, 5 mm apart: V 2000, two shells."""
    return together(box(10, 10, 10), box(10, 10, 10, centre=(15, 0, 0)))


def open_box() -> Mesh:
    """A cube of 10 mm that lacks the two triangles of its top."""
    vertices, faces = cube_10mm()
    return vertices, faces[(vertices[faces][:, :, 2] < 10).any(axis=1)]


def bracket(wall_mm: float = 0.0, hole_mm: float = 6.0, sides: int = 96, shift_mm: float = 0.0) -> Mesh:
    """An angle bracket with two holes and no mirror plane; `wall_mm` makes its foot longer, `shift_mm` moves a hole."""
    body = manifold3d.Manifold.cube((40 + wall_mm, 30, 6)) + manifold3d.Manifold.cube((6, 30, 25))
    body -= cylinder(20, hole_mm / 2, sides).translate((28 + shift_mm, 12, 3))
    body -= cylinder(20, 2, sides).rotate((0, 90, 0)).translate((3, 20, 16))
    return from_manifold(body)


def mirrored_bracket() -> Mesh:
    """The other hand of the bracket."""
    return mirrored(bracket())


def empty() -> Mesh:
    """Nothing at all."""
    return np.empty((0, 3)), np.empty((0, 3), dtype=np.int64)


def prism(sides: int, radius: float, height: float) -> Mesh:
    """A regular prism: V = n/2 r^2 sin(2 pi/n) h."""
    return from_manifold(cylinder(height, radius, sides))


def icosphere(radius: float, level: int) -> Mesh:
    """An icosahedron, each triangle cut in four `level` times, all corners on the sphere (independent of trimesh)."""
    golden = (1 + 5**0.5) / 2
    ring = [(0.0, a, b) for a in (-1.0, 1.0) for b in (-golden, golden)]
    vertices = np.array([np.roll(point, turn) for turn in range(3) for point in ring])
    length = np.linalg.norm(vertices[:, None] - vertices[None], axis=2)
    near = length < 2.1
    faces = [
        (a, b, c) for a in range(12) for b in range(a) for c in range(b) if near[a, b] and near[b, c] and near[a, c]
    ]
    corners = vertices[np.array(faces)]
    outward = np.einsum("ij,ij->i", np.cross(corners[:, 0], corners[:, 1]), corners[:, 2]) > 0
    corners = np.where(outward[:, None, None], corners, corners[:, ::-1])
    for _ in range(level):
        a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
        ab, bc, ca = (unit(a + b), unit(b + c), unit(c + a))
        a, b, c = unit(a), unit(b), unit(c)
        corners = np.concatenate([np.stack(t, axis=1) for t in ((a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca))])
    flat, faces_of = np.unique(np.round(unit(corners.reshape(-1, 3)), 12), axis=0, return_inverse=True)
    return unit(flat) * radius, faces_of.reshape(-1, 3).astype(np.int64)


def unit(points: FloatArray) -> FloatArray:
    """Points pushed onto the unit sphere."""
    return points / np.linalg.norm(points, axis=1, keepdims=True)


def cube(x: float, y: float, z: float) -> manifold3d.Manifold:
    """A box about the origin, for cutting."""
    return manifold3d.Manifold.cube((x, y, z), True)


def cylinder(height: float, radius: float, sides: int) -> manifold3d.Manifold:
    """A regular prism about the z axis, for cutting."""
    return manifold3d.Manifold.cylinder(height, radius, radius, sides, True)


def from_manifold(solid: manifold3d.Manifold) -> Mesh:
    """The mesh of a solid, in 64 bits."""
    made = solid.to_mesh64()
    return np.array(made.vert_properties, dtype=np.float64)[:, :3], np.array(made.tri_verts, dtype=np.int64)


def together(*meshes: Mesh) -> Mesh:
    """Several meshes in one; nothing is cut or joined."""
    starts = np.cumsum([0, *(len(vertices) for vertices, _ in meshes)])
    return (
        np.concatenate([vertices for vertices, _ in meshes]),
        np.concatenate([faces + start for (_, faces), start in zip(meshes, starts[:-1], strict=True)]),
    )


def moved(mesh: Mesh, by_mm: tuple[float, float, float]) -> Mesh:
    """A mesh somewhere else."""
    return mesh[0] + by_mm, mesh[1]


def scaled(mesh: Mesh, factor: float | tuple[float, float, float]) -> Mesh:
    """A mesh bigger or smaller about the origin."""
    return mesh[0] * factor, mesh[1]


def mirrored(mesh: Mesh) -> Mesh:
    """The other hand, faces turned so that outside stays outside."""
    return mesh[0] * (-1.0, 1.0, 1.0), mesh[1][:, ::-1]


def inside_out(mesh: Mesh) -> Mesh:
    """All faces turned over."""
    return mesh[0], mesh[1][:, ::-1]


def stl_bytes(mesh: Mesh, header: bytes = b"made for a test") -> bytes:
    """A binary STL: 84 + 50 n bytes."""
    corners = mesh[0][mesh[1]].astype("<f4")
    facets = b"".join(bytes(12) + corner.tobytes() + b"\0\0" for corner in corners)
    return header.ljust(80, b"\0")[:80] + struct.pack("<I", len(corners)) + facets


def ascii_stl_bytes(mesh: Mesh) -> bytes:
    """An ASCII STL with 32-bit numbers, as most programs write it."""
    lines = ["solid made for a test"]
    for corners in mesh[0][mesh[1]].astype(np.float32):
        points = [f"      vertex {x:.9g} {y:.9g} {z:.9g}" for x, y, z in corners]
        lines += ["  facet normal 0 0 0", "    outer loop", *points, "    endloop", "  endfacet"]
    return "\n".join([*lines, "endsolid made for a test", ""]).encode()


def obj_bytes(mesh: Mesh) -> bytes:
    """An OBJ file."""
    points = [f"v {x!r} {y!r} {z!r}" for x, y, z in mesh[0].tolist()]
    faces = [f"f {a} {b} {c}" for a, b, c in (mesh[1] + 1).tolist()]
    return "\n".join(["# made for a test", *points, *faces, ""]).encode()


def off_bytes(mesh: Mesh) -> bytes:
    """An OFF file."""
    points = [f"{x!r} {y!r} {z!r}" for x, y, z in mesh[0].tolist()]
    faces = [f"3 {a} {b} {c}" for a, b, c in mesh[1].tolist()]
    return "\n".join(["OFF", f"{len(points)} {len(faces)} 0", *points, *faces, ""]).encode()


def ply_bytes(mesh: Mesh, form: str = "binary_little_endian") -> bytes:
    """A PLY file: form ascii, binary_little_endian or binary_big_endian."""
    header = (
        f"ply\nformat {form} 1.0\ncomment made for a test\nelement vertex {len(mesh[0])}\nproperty double x\n"
        f"property double y\nproperty double z\nelement face {len(mesh[1])}\n"
        "property list uchar int vertex_indices\nend_header\n"
    )
    if form == "ascii":
        points = [f"{x!r} {y!r} {z!r}" for x, y, z in mesh[0].tolist()]
        faces = [f"3 {a} {b} {c}" for a, b, c in mesh[1].tolist()]
        return header.encode() + "\n".join([*points, *faces, ""]).encode()
    order = "<" if "little" in form else ">"
    faces_packed = b"".join(struct.pack(f"{order}Biii", 3, *face) for face in mesh[1].tolist())
    return header.encode() + mesh[0].astype(f"{order}f8").tobytes() + faces_packed


def write(folder: Path, name: str, content: bytes) -> Path:
    """Put bytes into a file and return its path."""
    path = folder / name
    path.write_bytes(content)
    return path


def write_stl(folder: Path, name: str, mesh: Mesh) -> Path:
    """Put a mesh into a binary STL file and return its path."""
    return write(folder, name, stl_bytes(mesh))
