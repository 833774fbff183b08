"""Pictures of parts for people: shaded, with edges, on white; drawn without a display and the same each time."""

import io
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from vault.errors import BadInput
from vault.geometry.mesh import FloatArray, IntArray, Shape
from vault.geometry.raster import NOTHING, Seen, outlines, see
from vault.geometry.smooth import corner_normals, smooth_patches
from vault.geometry.topology import measure_topology
from vault.model.base import Vector3

Pixels = NDArray[np.uint8]
Size = tuple[int, int]

VIEWS: dict[str, tuple[Vector3, Vector3]] = {
    "front": ((0.0, -1.0, 0.0), (0.0, 0.0, 1.0)),
    "back": ((0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
    "right": ((1.0, 0.0, 0.0), (0.0, 0.0, 1.0)),
    "left": ((-1.0, 0.0, 0.0), (0.0, 0.0, 1.0)),
    "top": ((0.0, 0.0, 1.0), (0.0, 1.0, 0.0)),
    "bottom": ((0.0, 0.0, -1.0), (0.0, 1.0, 0.0)),
    "iso": ((1.0, -1.3, 0.9), (0.0, 0.0, 1.0)),
}
"""Where the viewer stands and which way is up."""

FINE = 2  # pixels drawn for each pixel shown, along each side
_FILLED = 0.9  # of the picture
_JUMP_PIXELS = 6.0
_LIGHTS = (((-0.35, 0.60, 0.72), 0.62), ((0.75, 0.10, 0.45), 0.24))  # to the light, as the viewer sees it; strength
_AMBIENT = 0.26
_STEEL = (0.80, 0.83, 0.87)
_LINE = (0.16, 0.19, 0.24)
_LARGEST_PIXELS = 16_000_000


@dataclass(frozen=True, eq=False)
class Camera:
    """A direction of view with a scale: turns millimetres into fine pixels."""

    axes: FloatArray  # (3, 3) rows: right, up, towards the viewer
    middle: FloatArray  # what lies in the middle of the picture, mm
    pixels_per_mm: float
    size: Size  # fine pixels

    def project(self, points: FloatArray) -> FloatArray:
        """Return x, y (downwards) in fine pixels and the nearness z, in fine pixels too."""
        turned: FloatArray = np.einsum("...j,ij->...i", points - self.middle, self.axes) * self.pixels_per_mm
        turned[..., 0] += self.size[0] / 2
        turned[..., 1] = self.size[1] / 2 - turned[..., 1]
        return turned


def picture_png(shape: Shape, size_px: Size = (480, 360), view: str = "iso") -> bytes:
    """Return a PNG of a shape from one of VIEWS, fitted into the picture.

    Raises:
        BadInput: There is no such view, or the picture would be too small or too big.
    """
    return to_png(draw(shape, camera_for(shape, size_px, view)))


def three_views_png(shape: Shape, size_px: Size = (900, 700)) -> bytes:
    """Return a PNG with the top view over the front view, the right view beside it (to one scale), and a slanted one.

    Raises:
        BadInput: The picture would be too small or too big.
    """
    half = (size_px[0] // 2, size_px[1] // 2)
    places = (("top", 0, 0), ("iso", 0, 1), ("front", 1, 0), ("right", 1, 1))
    cameras = {view: camera_for(shape, half, view) for view, _, _ in places}
    scale = min(cameras[view].pixels_per_mm for view in ("top", "front", "right"))
    sheet = np.full((half[1] * 2, half[0] * 2, 3), 255, dtype=np.uint8)
    for view, row, column in places:
        camera = cameras[view]
        if view != "iso":
            camera = Camera(camera.axes, camera.middle, scale, camera.size)
        sheet[row * half[1] : (row + 1) * half[1], column * half[0] : (column + 1) * half[0]] = draw(shape, camera)
    return to_png(sheet)


def camera_for(shape: Shape, size_px: Size, view: str, right_margin: float = 0.0) -> Camera:
    """Return the camera of one of VIEWS that shows all of a shape; `right_margin` is a share of the width left free.

    Raises:
        BadInput: There is no such view, or the picture would be too small or too big.
    """
    if view not in VIEWS:
        raise BadInput(f"view {view!r} is not known; use one of {', '.join(VIEWS)}")
    width, height = size_px[0] * FINE, size_px[1] * FINE
    if min(size_px) < 16 or width * height > _LARGEST_PIXELS:
        raise BadInput(f"a picture of {size_px[0]} x {size_px[1]} pixels is too small or too big")
    toward, up = (np.array(vector, dtype=np.float64) for vector in VIEWS[view])
    toward = toward / np.sqrt(toward @ toward)
    right = np.cross(up, toward)
    right = right / np.sqrt(right @ right)
    axes = np.stack([right, np.cross(toward, right), toward])
    turned = np.einsum("nj,ij->ni", shape.vertices, axes)
    low, high = turned.min(axis=0), turned.max(axis=0)
    extent = np.maximum(high - low, 1e-9)
    scale = float(_FILLED * min(width * (1 - right_margin) / extent[0], height / extent[1]))
    middle = np.einsum("i,ij->j", (low + high) / 2, axes)
    return Camera(axes, middle + axes[0] * (right_margin * width / 2 / scale), scale, (width, height))


def draw(shape: Shape, camera: Camera, colours: FloatArray | None = None) -> Pixels:
    """Return (h, w, 3) pixels of a shaded shape.

    `colours`, (fine h, fine w, 3) from 0 to 1, takes the place of the colour of steel.
    """
    shown, seen = look(shape, camera)
    patch = smooth_patches(shape)
    normals = corner_normals(shape, patch)[shown]
    light = _light(seen, np.einsum("mcj,ij->mci", normals, camera.axes))
    base = np.array(_STEEL) if colours is None else colours
    fine = np.where((seen.triangle == NOTHING)[..., None], 1.0, light[..., None] * base)
    lines = outlines(seen, patch[shown], _JUMP_PIXELS)
    fine[lines] = np.array(_LINE)
    levels = np.round(np.round(np.clip(fine, 0.0, 1.0), 6) * 255).astype(np.int64)  # the same on every processor
    height, width = levels.shape[0] // FINE, levels.shape[1] // FINE
    summed = levels.reshape(height, FINE, width, FINE, 3).sum(axis=(1, 3))
    pixels: Pixels = ((summed + FINE * FINE // 2) // (FINE * FINE)).astype(np.uint8)
    return pixels


def look(shape: Shape, camera: Camera) -> tuple[IntArray, Seen]:
    """Return the numbers of the faces drawn, and what is seen in terms of these; hidden backs are left out."""
    projected = camera.project(shape.corners)
    topology = measure_topology(shape.faces)
    shown = np.arange(len(shape.faces))
    if topology.closed and topology.winding_consistent:
        a, b, c = projected[:, 0, :2], projected[:, 1, :2], projected[:, 2, :2]
        turns = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (c[:, 0] - a[:, 0]) * (b[:, 1] - a[:, 1])
        facing = turns < 0  # y runs downwards
        shown = shown[facing] if facing.any() else shown
    return shown, see(projected[shown], camera.size)


def _light(seen: Seen, normals: FloatArray) -> FloatArray:
    """Return (h, w) brightness: an even part and Lambert's cosine law for two lamps; both sides of a face are lit."""
    corner = normals[np.maximum(seen.triangle, 0)]
    normal = np.einsum("hwc,hwcj->hwj", seen.weights, corner)
    length = np.sqrt(np.einsum("hwj,hwj->hw", normal, normal))
    normal /= np.where(length > 0, length, 1.0)[..., None]
    normal *= np.where(normal[..., 2] < 0, -1.0, 1.0)[..., None]
    light = np.full(length.shape, _AMBIENT)
    for direction, strength in _LIGHTS:
        toward = np.array(direction) / np.sqrt(np.dot(direction, direction))
        light += strength * np.maximum(np.einsum("hwj,j->hw", normal, toward), 0.0)
    return light


def to_png(pixels: Pixels) -> bytes:
    """Return pixels as a PNG without any further words in it."""
    packed = io.BytesIO()
    Image.fromarray(pixels, mode=None).save(packed, format="PNG", compress_level=9)
    return packed.getvalue()
