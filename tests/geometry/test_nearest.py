"""The closest point is exact: against brute force, and against an independent library."""

import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from trimesh.proximity import closest_point

from tests.shapes import Mesh, bracket, cube_10mm, icosphere
from vault.geometry.nearest import NearestTriangle, spread_points, squared_distances

SMALL = arrays(np.float64, (1, 3, 3), elements=st.floats(-10, 10, width=32))
POINT = arrays(np.float64, (1, 3), elements=st.floats(-10, 10, width=32))


@pytest.mark.parametrize("mesh", [cube_10mm(), bracket(), icosphere(10.0, 4)])
def test_distances_agree_with_brute_force_and_with_trimesh(mesh: Mesh) -> None:
    corners = mesh[0][mesh[1]]
    points = np.random.default_rng(2).uniform(-40, 60, (200, 3))
    distance, triangle = NearestTriangle(corners).query(points)
    each = np.stack([squared_distances(points, np.broadcast_to(one, (200, 3, 3))) for one in corners])
    assert np.allclose(distance, np.sqrt(each.min(axis=0)), rtol=0, atol=1e-12)
    assert np.allclose(np.sqrt(squared_distances(points, corners[triangle])), distance, rtol=0, atol=1e-12)
    _, outside, _ = closest_point(trimesh.Trimesh(*mesh, process=False), points)
    assert np.allclose(distance, outside, rtol=0, atol=1e-6)


@settings(max_examples=200, deadline=None)
@given(corners=SMALL, point=POINT)
def test_no_point_of_a_triangle_is_nearer_than_the_distance_says(corners: np.ndarray, point: np.ndarray) -> None:
    distance = float(np.sqrt(squared_distances(point, corners))[0])
    shares = np.random.default_rng(3).dirichlet((0.5, 0.5, 0.5), 400)
    sampled = np.linalg.norm(shares @ corners[0] - point[0], axis=1).min()
    assert distance <= sampled + 1e-6
    assert distance <= np.linalg.norm(corners[0] - point[0], axis=1).min() + 1e-6


@pytest.mark.parametrize("count", [1, 2, 3, 5, 9])
def test_few_triangles_are_enough_for_a_tree(count: int) -> None:
    corners = bracket()[0][bracket()[1]][:count]
    distance, triangle = NearestTriangle(corners).query(corners[:, 0])
    assert np.allclose(distance, 0.0, atol=1e-12)
    assert triangle.max() < count


def test_points_are_spread_evenly_and_the_same_each_time() -> None:
    corners = cube_10mm()[0][cube_10mm()[1]]
    points, owner = spread_points(corners, 6000)
    assert np.array_equal(points, spread_points(corners, 6000)[0])
    assert np.bincount(owner).tolist() == [500] * 12
    assert points.min() >= 0
    assert points.max() <= 10
    assert points.mean(axis=0) == pytest.approx((5, 5, 5), abs=0.05)
