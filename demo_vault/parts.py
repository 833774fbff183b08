"""The demo's parts: every design by name, and how a design becomes a mesh that can be sent to a shop."""

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np
from manifold3d import Error
from numpy.typing import NDArray

from demo_vault.shapes import (
    brackets,
    catches,
    clamps,
    coolers,
    fittings,
    flanges,
    fluids,
    gears,
    hardware,
    housings,
    instruments,
    levers,
    rotors,
)
from demo_vault.shapes.solids import Design

GRID_MM = 1e-4
"""Coordinates are rounded to this, so that the last bits of a platform's arithmetic do not reach the files."""

_SHORTEST_EDGE_MM = 1e-3

DESIGNS: Mapping[str, type[Design]] = {
    family.__name__: family
    for family in (
        brackets.GussetBracket,
        brackets.ClevisBracket,
        brackets.BearingPedestal,
        brackets.SensorArm,
        brackets.MotorMount,
        brackets.SpiderMount,
        flanges.HubFlange,
        flanges.FlangedElbow,
        flanges.RotorAdapter,
        flanges.JawCoupling,
        flanges.BlankCap,
        gears.SpurGear,
        gears.HelicalPinion,
        gears.BevelGear,
        gears.RatchetWheel,
        gears.ChainSprocket,
        gears.SplineSleeve,
        rotors.PumpImpeller,
        rotors.AxialWheel,
        rotors.GuideVaneRing,
        rotors.MixingScrew,
        levers.BellCrank,
        levers.JointYoke,
        levers.ShiftFork,
        catches.LatchHook,
        levers.ClevisRod,
        levers.HandCrank,
        catches.HingeKnuckle,
        instruments.ForcepsJaw,
        catches.CaliperBridge,
        fluids.PortManifold,
        fluids.ValveBody,
        fluids.NozzleBlock,
        fittings.CableGland,
        fittings.HoseBarb,
        fittings.SwirlInjector,
        fittings.FilterBasket,
        fluids.PneumaticTee,
        hardware.KnurlKnob,
        housings.SensorHousing,
        housings.GearCaseCover,
        housings.ConnectorShell,
        coolers.PinFinSpreader,
        coolers.FinnedCooler,
        housings.LidWithHinge,
        instruments.SpacerFrame,
        clamps.TubeClamp,
        clamps.ShaftCollar,
        clamps.ToolHolder,
        clamps.GripFinger,
        hardware.CastleNut,
        hardware.BayonetCap,
    )
}
"""Every family of designs by its name."""


class PartMesh(NamedTuple):
    """A closed triangle mesh: vertices (n, 3) float64 in mm, faces (m, 3) int64, outward by the right-hand rule."""

    vertices: NDArray[np.float64]
    faces: NDArray[np.int64]


def design(name: str, dimensions: Mapping[str, float | int | bool] | None = None) -> Design:
    """Return the design of that name with some of its dimensions changed.

    Raises:
        KeyError: There is no such design.
        TypeError: The design has no such dimension.
    """
    return DESIGNS[name](**(dimensions or {}))


def mesh(of: Design) -> PartMesh:
    """Return the mesh of a design on a grid of 0.0001 mm, in an order that depends on its shape alone.

    Raises:
        ValueError: The dimensions do not make one closed body.
    """
    solid = of.solid()
    if solid.status() != Error.NoError or solid.is_empty():
        raise ValueError(f"{of} does not make a solid: {solid.status().name}")
    raw = solid.simplify(_SHORTEST_EDGE_MM).to_mesh64()
    steps = np.rint(np.asarray(raw.vert_properties)[:, :3] / GRID_MM).astype(np.int64)
    corners, renamed = np.unique(steps, axis=0, return_inverse=True)
    faces: NDArray[np.int64] = renamed.reshape(-1)[np.asarray(raw.tri_verts, dtype=np.int64)]
    vertices: NDArray[np.float64] = corners / round(1.0 / GRID_MM)
    return PartMesh(vertices, _in_order(_without_collapsed(faces)))


def _without_collapsed(faces: NDArray[np.int64]) -> NDArray[np.int64]:
    """Drop triangles that rounding has folded to an edge, and pairs that it has laid back to back."""
    a, b, c = faces.T
    faces = faces[(a != b) & (b != c) & (c != a)]
    _, which, count = np.unique(np.sort(faces, axis=1), axis=0, return_inverse=True, return_counts=True)
    kept: NDArray[np.int64] = faces[count[which.reshape(-1)] == 1]
    return kept


def _in_order(faces: NDArray[np.int64]) -> NDArray[np.int64]:
    """Turn every triangle to begin at its lowest corner and sort the triangles."""
    first = faces.argmin(axis=1)
    turned: NDArray[np.int64] = faces[np.arange(len(faces))[:, None], (first[:, None] + np.arange(3)) % 3]
    ordered: NDArray[np.int64] = turned[np.lexsort(turned.T[::-1])]
    return ordered
