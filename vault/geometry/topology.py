"""How the triangles of a mesh hang together: edges, shells, winding."""

import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components

from vault.geometry.mesh import IntArray
from vault.model.shape import Topology


def directed_edges(faces: IntArray) -> IntArray:
    """Return the (3 m, 2) edges of the faces, each in the direction in which its face runs round."""
    return np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])


def edge_numbers(faces: IntArray) -> tuple[IntArray, IntArray]:
    """Return the edge of each of the (3 m) directed edges, and how many faces meet at each edge."""
    edges = directed_edges(faces)
    key = edges.min(axis=1) * (int(faces.max()) + 1) + edges.max(axis=1)
    _, number, count = np.unique(key, return_inverse=True, return_counts=True)
    return number.reshape(-1), count


def is_closed(faces: IntArray) -> bool:
    """Say whether exactly two triangles meet at every edge (3MF core 4.1)."""
    return bool(len(faces)) and bool((edge_numbers(faces)[1] == 2).all())


def face_shells(faces: IntArray) -> tuple[int, IntArray]:
    """Return the number of shells and the shell of each face; faces that share an edge are of one shell."""
    number, count = edge_numbers(faces)
    owner = np.tile(np.arange(len(faces)), 3)
    size = len(faces) + len(count)  # a graph of faces and edges
    links = coo_matrix((np.ones(len(owner), dtype=np.int8), (owner, number + len(faces))), shape=(size, size))
    total, label = connected_components(links, directed=False)
    return int(total), label[: len(faces)].astype(np.int64)


def measure_topology(faces: IntArray) -> Topology:
    """Count and check; the Euler number is vertices - edges + faces, over vertices that a face uses."""
    number, count = edge_numbers(faces)
    edges = directed_edges(faces)
    forward = np.bincount(number, weights=edges[:, 0] < edges[:, 1], minlength=len(count))
    consistent = bool(((forward <= 1) & (count - forward <= 1)).all())
    vertices = len(np.unique(faces))
    shells, _ = face_shells(faces)
    return Topology(
        triangles=len(faces),
        vertices=vertices,
        shells=shells,
        closed=bool((count == 2).all()),
        winding_consistent=consistent,
        euler_number=vertices - len(count) + len(faces),
    )
