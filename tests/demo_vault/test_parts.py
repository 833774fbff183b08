"""Every design of the demo is a body that a shop could print."""

from functools import cache

import numpy as np
import pytest
import trimesh

from demo_vault.parts import DESIGNS, GRID_MM, PartMesh, design, mesh
from demo_vault.scenario.catalogue import PARTS


@cache
def _mesh(name: str) -> PartMesh:
    return mesh(design(name))


def _checked(made: PartMesh) -> trimesh.Trimesh:
    return trimesh.Trimesh(made.vertices, made.faces, process=False)


@pytest.mark.parametrize("name", DESIGNS)
def test_a_design_is_one_closed_body_with_its_outside_out(name: str) -> None:
    made = _checked(_mesh(name))
    assert made.is_watertight
    assert made.is_winding_consistent
    assert made.volume > 0.0
    assert made.body_count == 1


@pytest.mark.parametrize("name", DESIGNS)
def test_a_design_has_as_many_passages_as_its_drawing(name: str) -> None:
    # Euler's formula for a closed surface of genus g: V - E + F = 2 - 2 g
    assert (2 - _checked(_mesh(name)).euler_number) // 2 == design(name).tunnels


@pytest.mark.parametrize("name", DESIGNS)
def test_a_design_has_the_size_and_fineness_of_a_small_metal_part(name: str) -> None:
    made = _mesh(name)
    size = np.ptp(made.vertices, axis=0)
    assert 500 <= len(made.faces) <= 20_000
    assert 8.0 <= size.max() <= 120.0
    assert size.min() >= 4.0
    assert _checked(made).area_faces.min() > 0.0


@pytest.mark.parametrize("name", ["GussetBracket", "AxialWheel", "PortManifold"])
def test_a_design_gives_the_same_mesh_twice(name: str) -> None:
    again = mesh(design(name))
    assert again.vertices.tobytes() == _mesh(name).vertices.tobytes()
    assert again.faces.tobytes() == _mesh(name).faces.tobytes()


@pytest.mark.parametrize("name", DESIGNS)
def test_vertices_lie_on_the_grid_in_order_and_all_are_used(name: str) -> None:
    made = _mesh(name)
    steps = made.vertices / GRID_MM
    assert np.abs(steps - np.rint(steps)).max() < 1e-6
    assert np.array_equal(np.lexsort(made.vertices.T[::-1]), np.arange(len(made.vertices)))
    assert len(np.unique(made.faces)) == len(made.vertices)


@pytest.mark.parametrize("number", [part.number for part in PARTS])
def test_every_revision_is_sound_and_differs_from_the_one_before(number: str) -> None:
    part = next(part for part in PARTS if part.number == number)
    before = None
    for revision in part.revisions:
        as_designed = part.design_at(revision.label)
        sent = mesh(as_designed)
        made = _checked(sent)
        assert made.is_watertight, revision.label
        assert (2 - made.euler_number) // 2 == as_designed.tunnels, revision.label
        assert sent.vertices.tobytes() != before, revision.label
        before = sent.vertices.tobytes()


def test_an_unknown_design_or_dimension_is_refused() -> None:
    with pytest.raises(KeyError):
        design("Sprocketwheel")
    with pytest.raises(TypeError):
        design("HubFlange", {"colour": 3.0})


def test_a_longer_bracket_is_longer() -> None:
    longer = mesh(design("GussetBracket", {"foot_mm": 50.0}))
    assert np.ptp(longer.vertices, axis=0)[0] == pytest.approx(np.ptp(_mesh("GussetBracket").vertices, axis=0)[0] + 6.0)
