"""Damaged and hostile files of every format: one sentence with the file's name, exit code 5, and nothing else."""

import io
import os
import zipfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.geometry.outside import by_trimesh, refusal_of
from tests.geometry.packages import one_object, package
from tests.shapes import ascii_stl_bytes, cube_10mm, obj_bytes, off_bytes, ply_bytes, stl_bytes, write
from vault.errors import BadInput
from vault.geometry.load import load_shape
from vault.geometry.measure import measure
from vault.geometry.mesh import Limits

WHOLE = {
    "ascii.stl": ascii_stl_bytes(cube_10mm()),
    "binary.stl": stl_bytes(cube_10mm()),
    "part.obj": obj_bytes(cube_10mm()),
    "part.off": off_bytes(cube_10mm()),
    "ascii.ply": ply_bytes(cube_10mm(), "ascii"),
    "binary.ply": ply_bytes(cube_10mm()),
    "part.glb": by_trimesh(cube_10mm(), "glb"),
    "part.3mf": package(one_object()),
}
ENDINGS = ["stl", "obj", "off", "ply", "glb", "3mf", "step", "stp", "gltf", "txt"]


def reads_or_refuses(path: Path) -> None:
    """Load and measure a file; only a shape or one sentence of bad input may come out."""
    sentence = refusal_of(lambda: measure(load_shape(path, None)))
    assert sentence is None or sentence.startswith(f"{path.name}: ") or "no surface" in sentence
    assert sentence is None or "\n" not in sentence


@pytest.mark.parametrize("ending", ENDINGS)
@pytest.mark.parametrize("content", [b"", b"\0", b"solid", b"\xff" * 1000, b" \n" * 50, b"not a shape at all\n" * 9])
def test_nothing_and_nonsense_are_refused(tmp_path: Path, ending: str, content: bytes) -> None:
    with pytest.raises(BadInput, match=rf"^part\.{ending}: "):
        load_shape(write(tmp_path, f"part.{ending}", content), "mm")


@pytest.mark.parametrize("name", WHOLE)
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_changed_bytes_make_a_shape_or_a_refusal(tmp_path: Path, name: str, data: st.DataObject) -> None:
    content = bytearray(WHOLE[name])
    for _ in range(data.draw(st.integers(1, 4))):
        content[data.draw(st.integers(0, len(content) - 1))] = data.draw(st.integers(0, 255))
    reads_or_refuses(write(tmp_path, name, bytes(content)))


@pytest.mark.parametrize("name", WHOLE)
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_a_file_cut_anywhere_makes_a_shape_or_a_refusal(tmp_path: Path, name: str, data: st.DataObject) -> None:
    reads_or_refuses(write(tmp_path, name, WHOLE[name][: data.draw(st.integers(0, len(WHOLE[name]) - 1))]))


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(ending=st.sampled_from(ENDINGS[:6]), content=st.binary(max_size=400))
def test_random_bytes_make_a_refusal_at_worst(tmp_path: Path, ending: str, content: bytes) -> None:
    reads_or_refuses(write(tmp_path, f"part.{ending}", content))


def test_a_zip_bomb_is_refused_before_it_is_unpacked(tmp_path: Path) -> None:
    bomb = package(b"0" * 30_000_000)
    assert len(bomb) < 100_000
    with pytest.raises(BadInput, match="too tightly"):
        load_shape(write(tmp_path, "part.3mf", bomb))
    with pytest.raises(BadInput, match="unpacks to more"):
        load_shape(write(tmp_path, "part.3mf", package(b"a" * 6000)), None, Limits(max_bytes=5500))


def test_a_directory_that_lies_about_a_size_is_refused(tmp_path: Path) -> None:
    content = bytearray(package(one_object()))
    at = content.rindex(b"PK\x01\x02")  # the last entry is the model
    content[at + 24 : at + 28] = (100).to_bytes(4, "little")  # its size when unpacked
    with pytest.raises(BadInput, match="damaged ZIP"):
        load_shape(write(tmp_path, "part.3mf", bytes(content)))


def test_too_many_files_in_a_package_are_refused(tmp_path: Path) -> None:
    content = package(one_object(), **{f"f{n}": b"" for n in range(30)})
    with pytest.raises(BadInput, match="holds 33 files"):
        load_shape(write(tmp_path, "part.3mf", content), None, Limits(max_zip_entries=32))


def test_a_zip_that_is_no_3mf_is_refused(tmp_path: Path) -> None:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr("letter.txt", "hello")
    with pytest.raises(BadInput, match="no 3MF"):
        load_shape(write(tmp_path, "part.3mf", packed.getvalue()))


def test_a_file_bigger_than_allowed_is_not_read(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="684 bytes big; more than 683 bytes"):
        load_shape(write(tmp_path, "part.stl", stl_bytes(cube_10mm())), None, Limits(max_bytes=683))


def test_a_folder_a_missing_file_and_a_pipe_are_refused(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="is a folder"):
        load_shape(tmp_path)
    with pytest.raises(BadInput, match="no such file"):
        load_shape(tmp_path / "none.stl")
    if hasattr(os, "mkfifo"):
        os.mkfifo(tmp_path / "pipe.stl")
        with pytest.raises(BadInput, match="no plain file"):
            load_shape(tmp_path / "pipe.stl")


def test_a_file_name_cannot_draw_on_the_terminal(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match=r"^\?\[31mred\.stl: ") as refused:
        load_shape(tmp_path / "\x1b[31mred.stl")
    assert "\x1b" not in str(refused.value)
