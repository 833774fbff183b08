"""OBJ, PLY, OFF and GLB: every value that the file announces, or a refusal. trimesh writes some, from outside."""

import json
import struct
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh

from tests.geometry.outside import by_trimesh
from tests.shapes import (
    Mesh,
    as_shape,
    bracket,
    cube_10mm,
    cube_with_hole,
    obj_bytes,
    off_bytes,
    ply_bytes,
    stl_bytes,
    two_shells,
    write,
)
from vault.errors import BadInput
from vault.geometry.load import load_shape
from vault.geometry.measure import measure

OWN_WRITERS = {
    "part.obj": obj_bytes,
    "part.off": off_bytes,
    "ascii.ply": lambda mesh: ply_bytes(mesh, "ascii"),
    "little.ply": lambda mesh: ply_bytes(mesh, "binary_little_endian"),
    "big.ply": lambda mesh: ply_bytes(mesh, "binary_big_endian"),
}


@pytest.mark.parametrize("kind", ["stl", "obj", "ply", "off", "glb", "3mf"])
@pytest.mark.parametrize("make", [cube_with_hole, two_shells, bracket])
def test_what_another_program_writes_is_read_with_all_its_numbers(
    tmp_path: Path, kind: str, make: Callable[[], Mesh]
) -> None:
    truth = measure(as_shape(make()))
    read = measure(load_shape(write(tmp_path, f"part.{kind}", by_trimesh(make(), kind)), None))
    assert read.topology == truth.topology
    assert read.volume_mm3 == pytest.approx(truth.volume_mm3, rel=1e-5)
    assert read.area_mm2 == pytest.approx(truth.area_mm2, rel=1e-5)
    assert read.centre_of_mass_mm == pytest.approx(truth.centre_of_mass_mm, abs=1e-4)


@pytest.mark.parametrize("name", OWN_WRITERS)
def test_exact_numbers_stay_exact(tmp_path: Path, name: str) -> None:
    mesh = bracket()
    shape = load_shape(write(tmp_path, name, OWN_WRITERS[name](mesh)), "mm")
    assert np.array_equal(
        np.sort(shape.corners.reshape(-1, 9), axis=0), np.sort(mesh[0][mesh[1]].reshape(-1, 9), axis=0)
    )


@pytest.mark.parametrize("name", [name for name in OWN_WRITERS if name != "part.obj"])  # OBJ announces nothing
@pytest.mark.parametrize("kept", [0.2, 0.6, 0.9])
def test_a_file_cut_short_is_refused_and_never_half_read(tmp_path: Path, name: str, kept: float) -> None:
    content = OWN_WRITERS[name](cube_with_hole())
    with pytest.raises(BadInput, match=name):
        load_shape(write(tmp_path, name, content[: int(len(content) * kept)]), "mm")


def test_a_truncated_obj_is_at_least_seen_to_be_open(tmp_path: Path) -> None:
    content = obj_bytes(cube_with_hole())
    cut = content[: content.rindex(b"\n", 0, len(content) - 60) + 1]
    assert not measure(load_shape(write(tmp_path, "part.obj", cut), "mm")).topology.closed


@pytest.mark.parametrize("name", ["part.obj", "part.off", "ascii.ply", "little.ply", "big.ply"])
@pytest.mark.parametrize("index", [8, 2**31 - 1, -9])
def test_a_corner_out_of_range_is_refused(tmp_path: Path, name: str, index: int) -> None:
    vertices, faces = cube_10mm()
    wrong = faces.copy()
    wrong[3, 1] = index if name != "part.obj" or index > 0 else -20
    with pytest.raises(BadInput, match=name):
        load_shape(write(tmp_path, name, OWN_WRITERS[name]((vertices, wrong))), "mm")


@pytest.mark.parametrize("bad", ["nan", "inf", "1e400"])
@pytest.mark.parametrize("name", ["part.obj", "part.off", "ascii.ply"])
def test_a_coordinate_that_is_not_finite_is_refused(tmp_path: Path, name: str, bad: str) -> None:
    content = OWN_WRITERS[name](cube_10mm()).replace(b"10.0", bad.encode(), 1)
    with pytest.raises(BadInput, match="finite"):
        load_shape(write(tmp_path, name, content), "mm")


@pytest.mark.parametrize("name", OWN_WRITERS)
def test_a_file_without_triangles_is_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(BadInput, match="no triangles"):
        load_shape(write(tmp_path, name, OWN_WRITERS[name]((cube_10mm()[0], np.empty((0, 3), dtype=np.int64)))), "mm")


def test_quadrangles_are_cut_and_keep_the_volume(tmp_path: Path) -> None:
    corners = [f"v {x} {y} {z}" for x in (0, 10) for y in (0, 10) for z in (0, 10)]
    quads = [
        "f 1 2 4 3",
        "f 5 7 8 6",
        "f 1 5 6 2",
        "f -6//1 -5//1 -1//1 -2//1",
        "f 1/1/1 3/1/1 7/1/1 5/1/1",
        "f 2 6 8 4",
    ]
    content = "\r\n".join([*corners, "g side", *quads, ""]).encode()
    assert measure(load_shape(write(tmp_path, "part.obj", content), "mm")).volume_mm3 == 1000.0


def test_a_polygon_that_bends_inwards_is_cut_from_a_corner_that_sees_it_all(tmp_path: Path) -> None:
    # An arrowhead: only its notch and its tip see every other corner; area 4 by the shoelace formula.
    content = b"OFF\n4 1 0\n0 0 0\n4 0 0\n1 1 0\n0 4 0\n4 1 2 3 0\n"
    assert measure(load_shape(write(tmp_path, "part.off", content), "mm")).area_mm2 == pytest.approx(4.0)


def test_ply_with_mixed_polygons_and_other_properties_is_read(tmp_path: Path) -> None:
    header = (
        "ply\nformat ascii 1.0\nelement vertex 5\nproperty float x\nproperty uchar red\nproperty float y\n"
        "property float z\nelement face 5\nproperty uchar flag\nproperty list uchar int vertex_index\n"
        "element edge 1\nproperty int a\nend_header\n"
    )
    rows = "0 9 0 0\n6 9 0 0\n6 9 6 0\n0 9 6 0\n3 9 3 5\n7 4 3 2 1 0\n7 3 0 1 4\n7 3 1 2 4\n7 3 2 3 4\n7 3 3 0 4\n1\n"
    measured = measure(load_shape(write(tmp_path, "part.ply", (header + rows).encode()), "mm"))
    assert measured.volume_mm3 == pytest.approx(60.0)  # a pyramid: base times height by 3
    assert measured.topology.closed


@pytest.mark.parametrize(
    "line", ["element face 99999999999", "element face -1", "format brotli 1.0", "property list int"]
)
def test_an_impossible_ply_header_is_refused(tmp_path: Path, line: str) -> None:
    content = ply_bytes(cube_10mm(), "ascii").replace(b"element face 12", line.encode())
    with pytest.raises(BadInput, match=r"part\.ply"):
        load_shape(write(tmp_path, "part.ply", content), "mm")


@pytest.mark.parametrize("extra", [b"1 2 3\n", b"garbage\n"])
def test_rows_that_nobody_announced_are_refused(tmp_path: Path, extra: bytes) -> None:
    for name, content in (("a.ply", ply_bytes(cube_10mm(), "ascii")), ("b.off", off_bytes(cube_10mm()))):
        with pytest.raises(BadInput, match=name):
            load_shape(write(tmp_path, name, content + extra), "mm")


def test_a_line_that_obj_does_not_have_is_named(tmp_path: Path) -> None:
    content = obj_bytes(cube_10mm()) + b"curv 0 1 2\n"
    with pytest.raises(BadInput, match="line 22"):
        load_shape(write(tmp_path, "part.obj", content), "mm")


def test_glb_is_in_metres_and_mirrored_nodes_stay_outside_out(tmp_path: Path) -> None:
    scene = trimesh.Scene()
    cube = trimesh.Trimesh(cube_10mm()[0] * 0.001, cube_10mm()[1], process=False)
    scene.add_geometry(cube, transform=np.diag([-1.0, 1.0, 1.0, 1.0]))
    scene.add_geometry(cube, transform=trimesh.transformations.translation_matrix([0.02, 0, 0]))
    shape = load_shape(write(tmp_path, "part.glb", scene.export(file_type="glb")))
    measured = measure(shape)
    assert (measured.unit, len(shape.parts), measured.topology.shells) == ("m", 2, 2)
    assert measured.volume_mm3 == pytest.approx(2000.0, rel=1e-6)


def changed_glb(change: Callable[[Any], object]) -> bytes:
    """A GLB of a cube whose JSON was altered by `change`."""
    content = by_trimesh(cube_10mm(), "glb")
    length = struct.unpack_from("<I", content, 12)[0]
    header = json.loads(content[20 : 20 + length])
    change(header)
    text = json.dumps(header).encode()
    text += b" " * (-len(text) % 4)
    rest = content[20 + length :]
    return b"glTF" + struct.pack("<IIII", 2, 20 + len(text) + len(rest), len(text), 0x4E4F534A) + text + rest


@pytest.mark.parametrize(
    "change",
    [
        lambda h: h.update(extensionsRequired=["KHR_draco_mesh_compression"]),
        lambda h: h["meshes"][0]["primitives"][0].update(mode=1),
        lambda h: h["accessors"][0].update(count=3_000_000_000),
        lambda h: h["accessors"][0].update(sparse={}),
        lambda h: h["accessors"].clear(),
        lambda h: h["meshes"].clear(),
        lambda h: h["nodes"][0].update(matrix=[float("nan")] * 16),
        lambda h: h.update(accessors=7),
    ],
)
def test_a_glb_that_holds_what_is_not_read_is_refused(tmp_path: Path, change: Callable[[Any], object]) -> None:
    with pytest.raises(BadInput, match=r"part\.glb"):
        load_shape(write(tmp_path, "part.glb", changed_glb(change)))


def test_the_unchanged_glb_is_read(tmp_path: Path) -> None:
    assert load_shape(write(tmp_path, "part.glb", changed_glb(lambda h: None))).format == "GLB"


def test_a_name_that_contradicts_the_content_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="its name says OBJ, but its content is STL"):
        load_shape(write(tmp_path, "part.obj", stl_bytes(cube_10mm())))
