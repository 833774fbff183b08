"""Files of the demo read back by a reference library (trimesh)."""

import io
import struct
from collections.abc import Callable

import numpy as np
import pytest
import trimesh

from demo_vault.parts import PartMesh, design, mesh
from demo_vault.writers import obj_text, ply_binary, stl_binary, stl_text

WRITERS = {"stl": stl_binary, "stl_ascii": stl_text, "obj": obj_text, "ply": ply_binary}


@pytest.fixture(scope="module")
def bracket() -> PartMesh:
    return mesh(design("GussetBracket"))


@pytest.mark.parametrize(("kind", "write"), WRITERS.items())
def test_a_file_read_back_is_the_same_body(
    kind: str, write: Callable[[PartMesh, str], bytes], bracket: PartMesh
) -> None:
    read = trimesh.load_mesh(io.BytesIO(write(bracket, "bracket rev A")), file_type=kind)
    sent = trimesh.Trimesh(bracket.vertices, bracket.faces, process=False)
    assert read.is_watertight
    assert len(read.faces) == len(bracket.faces)
    assert read.volume == pytest.approx(sent.volume, rel=1e-6)
    assert np.ptp(read.vertices, axis=0) == pytest.approx(np.ptp(bracket.vertices, axis=0), abs=1e-4)


def test_a_binary_stl_is_an_80_byte_title_a_count_and_50_bytes_a_triangle(bracket: PartMesh) -> None:
    # layout of the 1989 StereoLithography interface specification, from memory
    written = stl_binary(bracket, "bracket")
    assert len(written) == 84 + 50 * len(bracket.faces)
    assert struct.unpack_from("<I", written, 80) == (len(bracket.faces),)
    assert not written.startswith(b"solid")


def test_normals_of_a_binary_stl_point_out(bracket: PartMesh) -> None:
    facet = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])
    facets = np.frombuffer(stl_binary(bracket, "bracket"), dtype=facet, offset=84)
    sent = trimesh.Trimesh(bracket.vertices, bracket.faces, process=False)
    assert facets["normal"] == pytest.approx(sent.face_normals, abs=1e-4)


def test_the_same_mesh_gives_the_same_bytes(bracket: PartMesh) -> None:
    for write in WRITERS.values():
        assert write(bracket, "bracket") == write(bracket, "bracket")
