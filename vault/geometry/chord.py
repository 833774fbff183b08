"""How far a mesh may be from the smooth surface that it stands for, estimated from the mesh itself."""

import math

import numpy as np

from vault.geometry.mesh import FloatArray, Shape
from vault.geometry.topology import directed_edges, edge_numbers

_CREASE_RAD = math.radians(35)  # a sharper bend is meant as an edge
_FLAT_RAD = 1e-4
_SHARE = 0.625  # of the narrower neighbour; measured to cover uneven strips


def chord_bounds(shape: Shape) -> FloatArray:
    """Return per face (m,) an estimate of the gap to its curved surface, mm; 0 where the part is flat.

    Over a smooth edge where two faces of width w meet at the angle theta, the sagitta of the arc that both touch is
    w/2 tan(theta/4). The width counts across the edge, the smaller of both, and a share of it is added for faces of
    unequal width. The gaps over a face's edges add up: a sphere bends across all three.
    """
    corners, faces = shape.corners, shape.faces
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    twice_area = np.sqrt(np.einsum("ij,ij->i", normal, normal))
    normal = normal / np.maximum(twice_area, 1e-300)[:, None]
    edges = directed_edges(faces)
    number, count = edge_numbers(faces)
    order = np.argsort(number, kind="stable")
    first = (np.cumsum(count) - count)[count == 2]
    one, other = order[first], order[first + 1]
    face_one, face_other = one % len(faces), other % len(faces)
    cosine = np.clip(np.einsum("ij,ij->i", normal[face_one], normal[face_other]), -1.0, 1.0)
    angle = np.arccos(cosine)
    length = np.linalg.norm(shape.vertices[edges[one, 0]] - shape.vertices[edges[one, 1]], axis=1)
    width = np.minimum(twice_area[face_one], twice_area[face_other]) / np.maximum(length, 1e-300)
    smooth = (angle > _FLAT_RAD) & (angle < _CREASE_RAD)
    gap = np.where(smooth, _SHARE * width * np.tan(angle / 4), 0.0)
    bound = np.zeros(len(faces)) + np.bincount(face_one, gap, len(faces)) + np.bincount(face_other, gap, len(faces))
    flat = angle <= _FLAT_RAD  # the two triangles of one flat strip of a curved surface share its bound
    both = np.maximum(bound[face_one[flat]], bound[face_other[flat]])
    np.maximum.at(bound, face_one[flat], both)
    np.maximum.at(bound, face_other[flat], both)
    return bound
