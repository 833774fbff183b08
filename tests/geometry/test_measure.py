"""Numbers of shapes against closed forms."""

import math

import numpy as np
import pytest

from tests.shapes import (
    Mesh,
    as_shape,
    box,
    bracket,
    cube_10mm,
    cube_with_hole,
    empty,
    icosphere,
    inside_out,
    mirrored_bracket,
    moved,
    open_box,
    prism,
    together,
    two_shells,
)
from vault.errors import BadInput
from vault.geometry.measure import measure

# Analytic solids in closed form: volume and area.
SOLIDS: dict[str, tuple[Mesh, float, float]] = {
    "box 30 x 20 x 10": (box(30, 20, 10), 6000.0, 2200.0),
    "64-gon prism r 1 h 8": (prism(64, 1.0, 8.0), 25.092387924, 56.518395492),
    "icosahedron r 1": (icosphere(1.0, 0), 2.536151, 9.574541),
}


@pytest.mark.parametrize("name", SOLIDS)
def test_volume_and_area_of_solids_in_closed_form(name: str) -> None:
    mesh, volume, area = SOLIDS[name]
    measured = measure(as_shape(mesh))
    assert measured.volume_mm3 == pytest.approx(volume, rel=1e-6)
    assert measured.area_mm2 == pytest.approx(area, rel=1e-6)
    assert measured.topology.closed


# Icospheres of radius 1 by level: vertices, faces, volume, area. Computed outside; level 3 agrees with the file
# unit_sphere.STL of the trimesh project: 642 / 1280, V 4.15274, A 12.5065.
ICOSPHERES = [
    (1, 42, 80, 3.658712, 11.665931),
    (2, 162, 320, 4.047045, 12.329849),
    (3, 642, 1280, 4.152741, 12.506493),
    (4, 2562, 5120, 4.179739, 12.551354),
]


@pytest.mark.parametrize(("level", "vertices", "faces", "volume", "area"), ICOSPHERES)
def test_tessellated_spheres(level: int, vertices: int, faces: int, volume: float, area: float) -> None:
    measured = measure(as_shape(icosphere(1.0, level)))
    assert (measured.topology.vertices, measured.topology.triangles) == (vertices, faces)
    assert measured.volume_mm3 == pytest.approx(volume, abs=1e-6)
    assert measured.area_mm2 == pytest.approx(area, abs=1e-6)
    assert measured.topology.euler_number == 2


def test_a_hole_takes_its_volume_and_makes_a_handle() -> None:
    measured = measure(as_shape(cube_with_hole(64)))
    assert measured.volume_mm3 == pytest.approx(8000 - 20 * 32 * 9 * math.sin(2 * math.pi / 64), rel=1e-12)
    assert measured.topology.euler_number == 0  # 2 - 2 g, one handle


def test_centre_of_mass_of_the_corner_tetrahedron_is_a_quarter() -> None:
    corners = np.array([[0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1.0]])
    faces = np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]])
    measured = measure(as_shape((corners, faces)))
    assert measured.volume_mm3 == pytest.approx(1 / 6, rel=1e-12)
    assert measured.area_mm2 == pytest.approx(2.366025, abs=1e-6)
    assert measured.centre_of_mass_mm == pytest.approx((0.25, 0.25, 0.25), rel=1e-12)


@pytest.mark.parametrize("offset_mm", [3700.0, 100_000.0])
def test_a_part_far_from_the_origin_loses_no_digits(offset_mm: float) -> None:
    near, far = measure(as_shape(bracket())), measure(as_shape(moved(bracket(), (offset_mm, -offset_mm, offset_mm))))
    assert far.volume_mm3 == pytest.approx(near.volume_mm3, rel=1e-9)
    assert far.centre_of_mass_mm[0] - offset_mm == pytest.approx(near.centre_of_mass_mm[0], abs=1e-8)


def test_two_bodies_are_two_shells() -> None:
    measured = measure(as_shape(two_shells()))
    assert (measured.volume_mm3, measured.topology.shells, measured.topology.euler_number) == (2000.0, 2, 4)


def test_a_void_is_taken_off() -> None:
    measured = measure(as_shape(together(box(20, 20, 20), inside_out(box(10, 10, 10)))))
    assert measured.volume_mm3 == pytest.approx(7000.0)


def test_the_other_hand_has_the_same_volume_and_faces_outwards() -> None:
    left, right = measure(as_shape(mirrored_bracket())), measure(as_shape(bracket()))
    assert left.volume_mm3 == pytest.approx(right.volume_mm3, rel=1e-12)
    assert left.cautions == ()


def test_an_open_shape_says_that_its_volume_means_little() -> None:
    measured = measure(as_shape(open_box()))
    assert not measured.topology.closed
    assert any("not closed" in caution for caution in measured.cautions)


def test_an_inside_out_shape_has_a_negative_volume_and_a_caution() -> None:
    measured = measure(as_shape(inside_out(cube_10mm())))
    assert measured.volume_mm3 == -1000.0
    assert any("inside out" in caution for caution in measured.cautions)


def test_one_turned_triangle_is_noticed() -> None:
    vertices, faces = cube_10mm()
    turned = faces.copy()
    turned[0] = turned[0, ::-1]
    assert not measure(as_shape((vertices, turned))).topology.winding_consistent


def test_nothing_is_no_shape() -> None:
    with pytest.raises(BadInput, match="no triangles"):
        as_shape(empty())


def test_a_line_is_no_shape() -> None:
    with pytest.raises(BadInput, match="no surface"):
        measure(as_shape((np.array([[0, 0, 0], [1, 0, 0], [2, 0, 0.0]]), np.array([[0, 1, 2]]))))
