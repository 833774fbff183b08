"""Writing 3MF: read back by lib3mf, the consortium's own library, and the same bytes each time."""

import io
import zipfile
from pathlib import Path

import lib3mf
import numpy as np
import pytest

from tests.shapes import as_shape, bracket, cube_with_hole, icosphere, moved, scaled, write
from vault.errors import BadInput
from vault.geometry.load import load_shape
from vault.geometry.measure import measure
from vault.geometry.threemf import AS_PLACED, BuildItem, BuildObject, Transform12, write_3mf, write_build_3mf

TURNED: Transform12 = (0.0, 1.0, 0.0, -1.0, 0.0, 0.0, 0.0, 0.0, 1.0, 10.0, 20.0, 30.0)


def by_lib3mf(folder: Path, content: bytes) -> lib3mf.Model:
    """The file as the consortium's library reads it, in strict mode."""
    model = lib3mf.get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromFile(str(write(folder, "part.3mf", content)))
    assert reader.GetWarningCount() == 0
    return model


def meshes_in(model: lib3mf.Model) -> list[tuple[np.ndarray, np.ndarray]]:
    found, objects = [], model.GetMeshObjects()
    while objects.MoveNext():
        one = objects.GetCurrentMeshObject()
        vertices = np.array([tuple(vertex.Coordinates) for vertex in one.GetVertices()], dtype=np.float64)
        faces = np.array([tuple(face.Indices) for face in one.GetTriangleIndices()], dtype=np.int64)
        found.append((vertices, faces))
    return found


@pytest.mark.parametrize("mesh", [cube_with_hole(), bracket(), icosphere(7.3, 3)])
def test_another_reader_finds_the_same_volume_in_millimetres(tmp_path: Path, mesh) -> None:  # type: ignore[no-untyped-def]
    model = by_lib3mf(tmp_path, write_3mf(as_shape(mesh), name="part", part_number="A-1"))
    assert model.GetUnit() == lib3mf.ModelUnit.MilliMeter
    (found,) = meshes_in(model)
    assert measure(as_shape(found)).volume_mm3 == pytest.approx(measure(as_shape(mesh)).volume_mm3, rel=1e-6)
    assert len(found[1]) == len(mesh[1])


def test_another_reader_finds_part_number_title_and_name(tmp_path: Path) -> None:
    shape = as_shape(bracket())
    content = write_3mf(shape, name='nut "8" <&>', part_number="N-1/é", metadata={"Designer": "a & b", "lot": "L-1"})
    model = by_lib3mf(tmp_path, content)
    items = model.GetBuildItems()
    assert items.MoveNext()
    assert items.GetCurrent().GetPartNumber() == "N-1/é"
    group = model.GetMetaDataGroup()
    found = {group.GetMetaData(n).GetName(): group.GetMetaData(n).GetValue() for n in range(group.GetMetaDataCount())}
    assert found == {"Title": 'nut "8" <&>', "Designer": "a & b", "lot": "L-1"}


def test_a_placing_moves_a_point_as_the_specification_says(tmp_path: Path) -> None:
    # Core 3.3, row vectors: (1, 2, 3) goes to (8, 21, 33).
    mesh = moved(scaled(cube_with_hole(), 0.1), (1, 2, 3))
    vertices = mesh[0].copy()
    vertices[0] = (1, 2, 3)
    content = write_build_3mf([BuildObject(as_shape((vertices, mesh[1])), "part")], [BuildItem(0, TURNED, "A-2")])
    items = by_lib3mf(tmp_path, content).GetBuildItems()
    assert items.MoveNext()
    rows = np.array([list(row) for row in items.GetCurrent().GetObjectTransform().Fields])
    assert np.array_equal(np.array([1, 2, 3]) @ rows[:3] + rows[3], [8, 21, 33])
    assert (load_shape(tmp_path / "part.3mf").vertices == [8, 21, 33]).all(axis=1).any()


def test_every_number_comes_back_exactly(tmp_path: Path) -> None:
    shape = as_shape(scaled(icosphere(7.3, 3), 1.2123))
    back = load_shape(write(tmp_path, "part.3mf", write_3mf(shape, name="part")))
    assert np.array_equal(back.vertices, shape.vertices)
    assert np.array_equal(back.faces, shape.faces)


def test_several_objects_are_placed_several_times(tmp_path: Path) -> None:
    objects = [
        BuildObject(as_shape(cube_with_hole()), "cube", "A-1"),
        BuildObject(as_shape(bracket()), "bracket", "B-1"),
    ]
    items = [BuildItem(0), BuildItem.moved(0, (40, 0, 0)), BuildItem.moved(1, (0, 60, 0), "B-1 of order 7")]
    content = write_build_3mf(objects, items, {"Title": "build"})
    assert len(meshes_in(by_lib3mf(tmp_path, content))) == 2
    shape = load_shape(tmp_path / "part.3mf")
    assert [part.part_number for part in shape.parts] == ["A-1", "A-1", "B-1 of order 7"]
    expected = 2 * measure(as_shape(cube_with_hole())).volume_mm3 + measure(as_shape(bracket())).volume_mm3
    assert measure(shape).volume_mm3 == pytest.approx(expected)


def test_the_same_shape_gives_the_same_bytes() -> None:
    first, second = (write_3mf(as_shape(bracket()), name="part", metadata={"b": "2", "a": "1"}) for _ in range(2))
    assert first == second
    other = write_3mf(as_shape(bracket()), name="part", metadata={"a": "1", "b": "2"})
    assert first == other
    entries = zipfile.ZipFile(io.BytesIO(first)).infolist()
    assert {(entry.compress_type, entry.date_time) for entry in entries} == {
        (zipfile.ZIP_STORED, (1980, 1, 1, 0, 0, 0))
    }


@pytest.mark.parametrize(
    "items",
    [
        [],
        [BuildItem(1)],
        [BuildItem(-1)],
        [BuildItem(0, (-1.0, *AS_PLACED[1:]))],  # the other hand
        [BuildItem(0, (0.0, *AS_PLACED[1:]))],
        [BuildItem(0, (float("nan"), *AS_PLACED[1:]))],
    ],
)
def test_a_build_that_cannot_be_meant_is_refused(items: list[BuildItem]) -> None:
    with pytest.raises(BadInput):
        write_build_3mf([BuildObject(as_shape(bracket()), "part")], items)


@pytest.mark.parametrize("bad", ["a\x00b", "a\x1bb", "\ud800", "\ufffe"])
def test_text_that_xml_cannot_hold_is_refused(bad: str) -> None:
    with pytest.raises(BadInput, match="XML"):
        write_3mf(as_shape(bracket()), name=bad)


def test_a_name_of_metadata_that_would_break_out_is_refused() -> None:
    with pytest.raises(BadInput, match="no name for metadata"):
        write_3mf(as_shape(bracket()), name="part", metadata={'a" b="': "x"})
