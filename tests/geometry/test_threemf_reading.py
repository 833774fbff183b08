"""Reading 3MF by the core specification 1.4.0: units, components, transforms, and packages that mean harm."""

from pathlib import Path

import pytest

from tests.geometry.packages import PRODUCTION, TETRAHEDRON, model, one_object, package
from tests.shapes import write
from vault.errors import BadInput
from vault.geometry.load import load_shape
from vault.geometry.measure import measure
from vault.geometry.mesh import Limits, Shape

IN_MM = [
    ("micron", 1e-3),
    ("millimeter", 1.0),
    ("centimeter", 10.0),
    ("inch", 25.4),
    ("foot", 304.8),
    ("meter", 1000.0),
]


def load(folder: Path, content: str | bytes, limits: Limits | None = None, **parts: bytes) -> Shape:
    return load_shape(write(folder, "part.3mf", package(content, **parts)), None, limits or Limits())


@pytest.mark.parametrize(("unit", "factor"), IN_MM)
def test_every_unit_of_the_specification_is_turned_into_millimetres(tmp_path: Path, unit: str, factor: float) -> None:
    measured = measure(load(tmp_path, one_object(unit=unit)))
    assert measured.volume_mm3 == pytest.approx(36 * factor**3)
    assert measured.unit_basis == "given by the file"


def test_an_unknown_unit_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="cubit"):
        load(tmp_path, one_object(unit="cubit"))


def test_a_transform_is_for_row_vectors_and_moves_by_its_last_three(tmp_path: Path) -> None:
    # Core 3.3: (1, 2, 3) with 0 1 0 -1 0 0 0 0 1 10 20 30 goes to (8, 21, 33); reading columns gives (12, 19, 33).
    text = one_object('<item objectid="1" transform="0 1 0 -1 0 0 0 0 1 10 20 30"/>')
    moved = load(tmp_path, text.replace('<vertex x="0" y="0" z="0"/>', '<vertex x="1" y="2" z="3"/>'))
    assert (moved.vertices == [8, 21, 33]).all(axis=1).any()


def test_a_mirroring_transform_does_not_make_the_volume_negative(tmp_path: Path) -> None:
    measured = measure(load(tmp_path, one_object('<item objectid="1" transform="-1 0 0 0 1 0 0 0 1 0 0 0"/>')))
    assert measured.volume_mm3 == pytest.approx(36.0)


def test_components_are_placed_inside_what_holds_them_first(tmp_path: Path) -> None:
    # Turned and moved by its component, then doubled by the item: (6, 0, 0) -> (0, 6, 0) + (1, 0, 0) -> (2, 12, 0).
    text = model(
        f'<object id="1" name="tip">{TETRAHEDRON}</object><object id="2" partnumber="N-1"><components>'
        '<component objectid="1" transform="0 1 0 -1 0 0 0 0 1 1 0 0"/><component objectid="1"/></components></object>',
        '<item objectid="2" transform="2 0 0 0 2 0 0 0 2 0 0 0"/>',
    )
    shape = load(tmp_path, text)
    assert (shape.vertices == [2, 12, 0]).all(axis=1).any()
    assert measure(shape).volume_mm3 == pytest.approx(2 * 36 * 8)
    assert [part.name for part in shape.parts] == ["tip", "tip"]


def test_two_items_are_two_bodies_with_their_part_numbers(tmp_path: Path) -> None:
    items = (
        '<item objectid="1" partnumber="A-1"/><item objectid="1" transform="1 0 0 0 1 0 0 0 1 6 0 0" partnumber="A-2"/>'
    )
    shape = load(tmp_path, one_object(items))
    assert [part.part_number for part in shape.parts] == ["A-1", "A-2"]
    assert measure(shape).topology.shells == 2  # they touch, but corners are shared inside an object only


def test_supports_are_left_out_with_a_caution(tmp_path: Path) -> None:
    objects = f'<object id="1">{TETRAHEDRON}</object><object id="2" type="support">{TETRAHEDRON}</object>'
    shape = load(tmp_path, model(objects, '<item objectid="1"/><item objectid="2"/>'))
    assert len(shape.parts) == 1
    assert any("support" in caution for caution in shape.cautions)


def test_an_object_in_another_model_part_is_found(tmp_path: Path) -> None:
    other = model(f'<object id="7">{TETRAHEDRON}</object>', "").encode()
    component = '<component objectid="7" p:path="/3D/more.model"/>'
    text = model(f'<object id="1"><components>{component}</components></object>', '<item objectid="1"/>')
    assert PRODUCTION in text
    assert measure(load(tmp_path, text, **{"3D__more.model": other})).volume_mm3 == pytest.approx(36.0)


def test_corners_that_a_sloppy_writer_did_not_share_are_welded(tmp_path: Path) -> None:
    corners = [(0, 0, 0), (6, 0, 0), (0, 6, 0), (0, 0, 6)]
    faces = [(0, 2, 1), (0, 1, 3), (1, 2, 3), (0, 3, 2)]
    points = "".join('<vertex x="{}" y="{}" z="{}"/>'.format(*corners[corner]) for face in faces for corner in face)
    triangles = "".join(f'<triangle v1="{n}" v2="{n + 1}" v3="{n + 2}"/>' for n in range(0, 12, 3))
    mesh = f"<mesh><vertices>{points}</vertices><triangles>{triangles}</triangles></mesh>"
    assert measure(load(tmp_path, model(f'<object id="1">{mesh}</object>', '<item objectid="1"/>'))).topology.closed


def nested(levels: int, width: int) -> str:
    """Objects that each hold `width` of the one before: width ^ levels bodies in a kilobyte."""
    objects = [f'<object id="0">{TETRAHEDRON}</object>']
    for level in range(1, levels + 1):
        inner = f'<component objectid="{level - 1}"/>' * width
        objects.append(f'<object id="{level}"><components>{inner}</components></object>')
    return model("".join(objects), f'<item objectid="{levels}"/>')


WRONG = {
    "no build item": model(f'<object id="1">{TETRAHEDRON}</object>', ""),
    "no mesh": model('<object id="1"><mesh><vertices/><triangles/></mesh></object>', '<item objectid="1"/>'),
    "an object that is not there": one_object('<item objectid="9"/>'),
    "an object that contains itself": model(
        '<object id="1"><components><component objectid="1"/></components></object>', '<item objectid="1"/>'
    ),
    "a corner out of range": one_object().replace('v3="3"', 'v3="4"'),
    "a corner below zero": one_object().replace('v3="3"', 'v3="-1"'),
    "a coordinate that is not a number": one_object().replace('x="6"', 'x="six"'),
    "a coordinate that is NaN": one_object().replace('x="6"', 'x="nan"'),
    "a coordinate that is infinite": one_object().replace('x="6"', 'x="1e400"'),
    "a corner without z": one_object().replace(' z="6"', ""),
    "a transform of 11 numbers": one_object('<item objectid="1" transform="1 0 0 0 1 0 0 0 1 0 0"/>'),
    "a flat transform": one_object('<item objectid="1" transform="1 0 0 0 1 0 0 0 0 0 0 0"/>'),
    "an infinite transform": one_object('<item objectid="1" transform="1 0 0 0 1 0 0 0 1 inf 0 0"/>'),
    "two objects with one id": model(f'<object id="1">{TETRAHEDRON}</object>' * 2, '<item objectid="1"/>'),
    "XML that breaks off": one_object()[:-30],
    "something else than a model": "<svg/>",
    "an extension that is not read": one_object(more='requiredextensions="x" xmlns:x="http://example.org/lattice"'),
    "an entity": one_object(before='<!DOCTYPE m [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]>'),
    "a foreign entity": one_object(before='<!DOCTYPE m SYSTEM "file:///etc/hostname">'),
    "a component bomb": nested(levels=9, width=10),
    "objects nested too deep": nested(levels=40, width=1),
    "a part that is not there": one_object('<item objectid="1" p:path="/3D/none.model"/>'),
}


@pytest.mark.parametrize("what", WRONG)
def test_what_is_wrong_is_refused_in_one_sentence(tmp_path: Path, what: str) -> None:
    with pytest.raises(BadInput, match=r"^part\.3mf: ") as refused:
        load(tmp_path, WRONG[what])
    assert "\n" not in str(refused.value)


def test_more_triangles_than_allowed_are_refused_before_they_are_built(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="too often"):
        load(tmp_path, nested(levels=2, width=10), Limits(max_triangles=399))
    with pytest.raises(BadInput, match="more triangles"):
        load(tmp_path, one_object(), Limits(max_triangles=3))
