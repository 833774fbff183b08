"""What tests of foreign files share: files by a program outside ours, and refusals as text."""

from collections.abc import Callable

import trimesh

from tests.shapes import Mesh
from vault.errors import BadInput


def by_trimesh(mesh: Mesh, kind: str) -> bytes:
    """A mesh in a file of one of trimesh's formats; GLB in metres, as its standard says."""
    scale = 0.001 if kind == "glb" else 1.0
    content = trimesh.Trimesh(mesh[0] * scale, mesh[1], process=False).export(file_type=kind)
    return content if isinstance(content, bytes) else content.encode()


def refusal_of(call: Callable[[], object]) -> str | None:
    """The sentence with which a call was refused as bad input, or None where it was not; anything else is an error."""
    try:
        call()
    except BadInput as refused:
        return str(refused)
    return None
