"""Files written by a program outside ours: trimesh."""

import trimesh

from tests.shapes import Mesh


def by_trimesh(mesh: Mesh, kind: str) -> bytes:
    """A mesh in a file of one of trimesh's formats; GLB in metres, as its standard says."""
    scale = 0.001 if kind == "glb" else 1.0
    content = trimesh.Trimesh(mesh[0] * scale, mesh[1], process=False).export(file_type=kind)
    return content if isinstance(content, bytes) else content.encode()
