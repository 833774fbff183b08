"""STEP through cascadio: exact sizes in, triangles within a known distance out, and no silence about damage."""

import math
from pathlib import Path

import pytest

from tests.geometry.step_text import box_step, cylinder_step
from tests.shapes import write
from vault.errors import BadInput
from vault.geometry.load import load_shape
from vault.geometry.measure import measure
from vault.geometry.read_step import TESSELLATION_MM


@pytest.mark.parametrize(("unit", "size"), [("mm", 1.0), ("m", 0.001), ("inch", 1 / 25.4)])
def test_a_box_has_its_exact_volume_whatever_its_unit(tmp_path: Path, unit: str, size: float) -> None:
    path = write(tmp_path, "part.stp", box_step(30 * size, 20 * size, 10 * size, unit))
    measured = measure(load_shape(path))
    assert measured.volume_mm3 == pytest.approx(6000.0, rel=1e-6)  # 32-bit numbers on the way
    assert measured.area_mm2 == pytest.approx(2200.0, rel=1e-6)
    assert measured.topology.closed
    assert measured.tessellation_mm == TESSELLATION_MM


def test_a_cylinder_is_cut_within_the_tolerance_that_is_kept_with_it(tmp_path: Path) -> None:
    # Closed form: V = pi r^2 h = 1570.796327. Chords within t of a circle cut off less than a ring 2 pi r t.
    measured = measure(load_shape(write(tmp_path, "part.step", cylinder_step(5.0, 20.0))))
    exact = math.pi * 25 * 20
    assert exact - 2 * math.pi * 5 * TESSELLATION_MM * 20 <= measured.volume_mm3 <= exact
    assert measured.topology.closed
    assert any("curved faces" in caution for caution in measured.cautions)


@pytest.mark.parametrize("kept", [0.1, 0.5, 0.9, 0.99])
def test_a_file_cut_short_is_refused(tmp_path: Path, kept: float) -> None:
    # cascadio gives back nothing or a part of the solid, and says neither.
    content = box_step(30.0, 20.0, 10.0)
    with pytest.raises(BadInput, match=r"part\.step"):
        load_shape(write(tmp_path, "part.step", content[: int(len(content) * kept)]))


def test_a_record_that_is_missing_is_named(tmp_path: Path) -> None:
    lines = box_step(30.0, 20.0, 10.0).splitlines(keepends=True)
    with pytest.raises(BadInput, match="record #47, which it does not hold"):
        load_shape(write(tmp_path, "part.step", b"".join(line for line in lines if not line.startswith(b"#47="))))


def test_a_file_without_a_solid_is_refused(tmp_path: Path) -> None:
    content = box_step(30.0, 20.0, 10.0).replace(b"MANIFOLD_SOLID_BREP", b"MANIFOLD_SOLID_BLURB")
    with pytest.raises(BadInput, match="holds no body"):
        load_shape(write(tmp_path, "part.step", content))


def test_text_that_looks_like_a_reference_is_no_reference(tmp_path: Path) -> None:
    content = box_step(30.0, 20.0, 10.0).replace(b"PRODUCT('part','part'", b"PRODUCT('part #99999','it''s #88888'")
    assert measure(load_shape(write(tmp_path, "part.step", content))).topology.closed
