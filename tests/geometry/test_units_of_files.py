"""Which unit a file is drawn in: said by the file, said by a person, or guessed in the open."""

from pathlib import Path

import pytest

from tests.geometry.step_text import box_step
from tests.shapes import Mesh, box, cube_10mm, obj_bytes, scaled, stl_bytes, write
from vault.errors import BadInput
from vault.geometry.load import load_shape
from vault.geometry.measure import measure
from vault.geometry.units import guess_unit


def test_a_person_may_say_the_unit_of_an_stl(tmp_path: Path) -> None:
    # CHECK: an inch read as a millimetre is wrong by the factor 25.4^3 = 16387.064 in volume (exact by definition).
    measured = measure(load_shape(write(tmp_path, "part.stl", stl_bytes(cube_10mm())), "inch"))
    assert measured.volume_mm3 == pytest.approx(1000 * 16387.064)
    assert (measured.unit, measured.unit_basis) == ("inch", "given by the person")
    assert measured.cautions == ()


def test_a_guess_shows_itself_as_a_caution(tmp_path: Path) -> None:
    measured = measure(load_shape(write(tmp_path, "part.obj", obj_bytes(cube_10mm()))))
    assert measured.unit == "mm"
    assert measured.unit_basis.startswith("guessed: ")
    assert any("--unit" in caution for caution in measured.cautions)


@pytest.mark.parametrize(
    ("extent", "unit"),
    [
        (42.0, "mm"),
        (2.0, "mm"),
        (1.0, "mm"),
        (1500.0, "mm"),
        (0.75, "inch"),
        (0.042, "m"),
        (42_000.0, "micron"),
        (1e9, "mm"),
    ],
)
def test_millimetres_are_guessed_unless_no_part_could_have_that_size(extent: float, unit: str) -> None:
    assert guess_unit(extent)[0] == unit


def test_the_unit_of_a_step_file_is_its_own(tmp_path: Path) -> None:
    path = write(tmp_path, "part.step", box_step(3.0, 2.0, 1.0, "inch"))
    measured = measure(load_shape(path))
    assert (measured.unit, measured.unit_basis) == ("inch", "given by the file")
    assert measured.volume_mm3 == pytest.approx(6 * 25.4**3, rel=1e-6)


def test_a_person_who_contradicts_the_file_is_stopped(tmp_path: Path) -> None:
    path = write(tmp_path, "part.step", box_step(3.0, 2.0, 1.0, "inch"))
    with pytest.raises(BadInput, match="is drawn in inch .given by the file., not in mm"):
        load_shape(path, "mm")
    assert load_shape(path, "in").unit == "inch"


def test_an_unknown_unit_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="furlong"):
        load_shape(write(tmp_path, "part.stl", stl_bytes(cube_10mm())), "furlong")


@pytest.mark.parametrize("mesh", [scaled(cube_10mm(), 1e6), box(1, 1, 1, centre=(2e6, 0, 0))])
def test_coordinates_beyond_a_kilometre_are_refused(tmp_path: Path, mesh: Mesh) -> None:
    with pytest.raises(BadInput, match="kilometre"):
        load_shape(write(tmp_path, "part.obj", obj_bytes(mesh)), "mm")


def test_a_step_file_without_a_unit_is_read_in_millimetres_with_a_caution(tmp_path: Path) -> None:
    content = box_step(30.0, 20.0, 10.0).replace(
        b"GLOBAL_UNIT_ASSIGNED_CONTEXT((#153,", b"GLOBAL_UNIT_ASSIGNED_CONTEXT(("
    )
    measured = measure(load_shape(write(tmp_path, "part.step", content)))
    assert measured.unit_basis.startswith("guessed: ")
    assert measured.volume_mm3 == pytest.approx(6000.0, rel=1e-6)
