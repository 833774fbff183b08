"""STL: the size law decides; ASCII, binary and binary beginning with "solid" say the same."""

import struct
from pathlib import Path

import numpy as np
import pytest

from tests.shapes import ascii_stl_bytes, cube_10mm, cube_with_hole, open_box, stl_bytes, write
from vault.errors import BadInput
from vault.geometry.load import load_shape
from vault.geometry.measure import measure
from vault.geometry.mesh import Limits
from vault.geometry.sniff import by_content, obeys_size_law


def test_a_binary_file_is_84_bytes_and_50_for_each_facet() -> None:
    # Size law of binary STL: 80 bytes of header, a count, 12 numbers and 2 bytes a facet.
    content = stl_bytes(cube_10mm())
    assert len(content) == 84 + 50 * 12
    assert obeys_size_law(content)
    assert not obeys_size_law(content + b"\0")


def test_a_binary_file_that_begins_with_solid_is_read_as_binary(tmp_path: Path) -> None:
    path = write(tmp_path, "part.stl", stl_bytes(cube_with_hole(), header=b"solid part facet normal"))
    assert measure(load_shape(path, "mm")).topology.triangles == len(cube_with_hole()[1])


def test_ascii_binary_and_solid_binary_give_the_same_shape(tmp_path: Path) -> None:
    mesh = cube_with_hole()
    contents = [ascii_stl_bytes(mesh), stl_bytes(mesh), stl_bytes(mesh, header=b"solid x")]
    shapes = [load_shape(write(tmp_path, f"{n}.stl", content), "mm") for n, content in enumerate(contents)]
    for shape in shapes[1:]:
        assert np.allclose(shape.vertices, shapes[0].vertices, rtol=0, atol=1e-7)  # 9 digits against 32 bits
        assert np.array_equal(shape.faces, shapes[0].faces)


def test_corners_are_welded_exactly_and_nothing_is_moved(tmp_path: Path) -> None:
    shape = load_shape(write(tmp_path, "cube.stl", stl_bytes(cube_10mm())), "mm")
    assert len(shape.vertices) == 8
    assert measure(shape).volume_mm3 == 1000.0


def test_minus_zero_and_zero_are_one_corner(tmp_path: Path) -> None:
    vertices, faces = cube_10mm()
    content = stl_bytes((np.where(vertices == 0, -0.0, vertices), faces[:6]))
    other = stl_bytes((vertices, faces[6:]))
    both = content[:80] + struct.pack("<I", 12) + content[84:] + other[84:]
    assert len(load_shape(write(tmp_path, "cube.stl", both), "mm").vertices) == 8


def test_corners_that_differ_in_the_last_bit_stay_apart(tmp_path: Path) -> None:
    content = bytearray(stl_bytes(cube_10mm()))
    x = struct.unpack_from("<f", content, 84 + 12)[0]
    struct.pack_into("<f", content, 84 + 12, float(np.nextafter(np.float32(x), np.float32(99))))
    assert not measure(load_shape(write(tmp_path, "cube.stl", bytes(content)), "mm")).topology.closed


@pytest.mark.parametrize("normal", ["nan nan nan", "-nan(ind) 0 0", "0 0 0"])
def test_normals_are_not_believed_and_may_be_nonsense(tmp_path: Path, normal: str) -> None:
    content = ascii_stl_bytes(cube_10mm()).replace(b"normal 0 0 0", b"normal " + normal.encode())
    assert measure(load_shape(write(tmp_path, "cube.stl", content), "mm")).volume_mm3 == 1000.0


def test_a_name_line_may_hold_any_words(tmp_path: Path) -> None:
    content = ascii_stl_bytes(cube_10mm()).replace(b"made for a test", b"vertex 1 2 endfacet facet normal")
    assert measure(load_shape(write(tmp_path, "cube.stl", content), "mm")).volume_mm3 == 1000.0


@pytest.mark.parametrize("kept", [0.3, 0.7, 0.95])
def test_a_file_cut_short_is_refused_and_never_half_read(tmp_path: Path, kept: float) -> None:
    for name, content in (("a.stl", ascii_stl_bytes(cube_10mm())), ("b.stl", stl_bytes(cube_10mm()))):
        path = write(tmp_path, name, content[: int(len(content) * kept)])
        with pytest.raises(BadInput, match=name):
            load_shape(path, "mm")


@pytest.mark.parametrize("bad", [float("nan"), float("inf")])
def test_a_coordinate_that_is_not_finite_is_refused_not_dropped(tmp_path: Path, bad: float) -> None:
    # trimesh drops such triangles without a word; a volume would come out wrong.
    content = bytearray(stl_bytes(cube_10mm()))
    struct.pack_into("<f", content, 84 + 12, bad)
    with pytest.raises(BadInput, match="finite"):
        load_shape(write(tmp_path, "part.stl", bytes(content)), "mm")
    text = ascii_stl_bytes(cube_10mm()).replace(b"vertex 0", f"vertex {bad}".encode(), 1)
    with pytest.raises(BadInput, match=r"finite|number"):
        load_shape(write(tmp_path, "text.stl", text), "mm")


@pytest.mark.parametrize("word", [b"1,5", b"0x10", b"one", b"1.5.2", b"--3"])
def test_an_ascii_coordinate_that_is_no_number_is_refused(tmp_path: Path, word: bytes) -> None:
    content = ascii_stl_bytes(cube_10mm()).replace(b"vertex 10", b"vertex " + word, 1)
    with pytest.raises(BadInput, match="number"):
        load_shape(write(tmp_path, "part.stl", content), "mm")


def test_more_triangles_than_allowed_are_refused(tmp_path: Path) -> None:
    for content in (stl_bytes(cube_10mm()), ascii_stl_bytes(cube_10mm())):
        with pytest.raises(BadInput, match="12 triangles"):
            load_shape(write(tmp_path, "part.stl", content), "mm", Limits(max_triangles=11))


def test_a_triangle_without_area_is_left_out_in_the_open(tmp_path: Path) -> None:
    vertices, faces = cube_10mm()
    shape = load_shape(write(tmp_path, "part.stl", stl_bytes((vertices, np.vstack([faces, [[0, 0, 1]]])))), "mm")
    assert measure(shape).topology.closed
    assert any("two equal corners" in caution for caution in shape.cautions)


def test_an_open_file_is_measured_and_says_so(tmp_path: Path) -> None:
    measured = measure(load_shape(write(tmp_path, "part.stl", stl_bytes(open_box())), "mm"))
    assert not measured.topology.closed
    assert any("not closed" in caution for caution in measured.cautions)


def test_content_is_recognised_without_an_ending(tmp_path: Path) -> None:
    content = stl_bytes(cube_10mm())
    assert by_content(content) == "stl"
    assert load_shape(write(tmp_path, "part", content), "mm").format == "STL"
