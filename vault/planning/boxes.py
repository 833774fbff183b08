"""Counting pieces per box by a grid of their green bounding boxes: nesting packs closer, this promises no more."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from vault.errors import Refused
from vault.model.base import Vector3
from vault.model.cards import Box
from vault.model.packaging import BoxPlan
from vault.model.settings import Settings
from vault.model.shape import MeasuredShape

METHOD = "grid of bounding boxes in the proven orientation; closer nesting may fit more"
_SLACK = 1e-9


@dataclass(frozen=True)
class Grid:
    """Pieces along box x, y and z."""

    x: int
    y: int
    z: int

    @property
    def count(self) -> int:
        """Pieces in the box."""
        return self.x * self.y * self.z


def green_size_mm(settings: Settings, size_mm: Vector3) -> Vector3:
    """Return the edges (3, mm) of the green part in the box: turned for printing, then scaled per axis."""
    x, y, z = settings.print_orientation.turned_size_mm(size_mm)
    return (x * settings.scale.x, y * settings.scale.y, z * settings.scale.z)


def grid_in(box: Box, green_mm: Vector3, clearance_mm: float) -> Grid:
    """Return how many pieces fit along each axis, clear of the walls and of each other."""
    room = [edge - 2 * box.wall_margin_mm for edge in box.size_mm]
    return Grid(
        *(math.floor((r + clearance_mm) / (g + clearance_mm) + _SLACK) for r, g in zip(room, green_mm, strict=True))
    )


def layers_of(height_mm: float, layer_um: float) -> int:
    """Return the layers of a height: ceil(height / layer), not fooled by the last digit of a product."""
    return math.ceil(height_mm * 1000 / layer_um - 1e-6)


def plan_boxes(boxes: Sequence[Box], settings: Settings, design: MeasuredShape, quantity: int) -> BoxPlan:
    """Choose the box that makes the quantity in the least printing time, and count.

    What is counted is the shape that is printed: the near-net shape where the settings have one, else the design.
    Box time follows from height alone, so a low box that is full beats a high one that is not.

    Raises:
        Refused: The part fits into none of the boxes.
    """
    green = green_size_mm(settings, settings.shape_to_print(design).size_mm)
    plans = [plan for box in boxes if (plan := plan_in(box, settings, green, quantity)) is not None]
    if not plans:
        edges = " x ".join(f"{edge:.1f}" for edge in green)
        raise Refused(f"TOO_BIG_FOR_EVERY_BOX as printed the part is {edges} mm, and no box holds that")
    return min(plans, key=lambda plan: (plan.boxes * plan.box_min, plan.boxes, plan.box))


def plan_in(box: Box, settings: Settings, green_mm: Vector3, quantity: int) -> BoxPlan | None:
    """Plan a quantity in one kind of box; None where the part does not fit."""
    grid = grid_in(box, green_mm, settings.clearance_mm)
    if grid.count < 1:
        return None
    layers = layers_of(box.size_mm[2], settings.printing.layer_um)
    return BoxPlan(
        box=box.id,
        method=METHOD,
        per_box=grid.count,
        boxes=math.ceil(quantity / grid.count),
        layers=layers,
        box_min=box.fixed_min + layers * box.layer_s / 60,
        green_size_mm=green_mm,
        grid=(grid.x, grid.y, grid.z),
    )


def quantity_to_start(quantity: int, extra_fraction: float) -> int:
    """Return how many pieces to start so that losses are covered: the policy's plain share, rounded up."""
    return math.ceil(quantity * (1 + extra_fraction) - _SLACK)
