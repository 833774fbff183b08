"""The XML of one 3MF model part, read by expat without entities, as objects and build items."""

import math
from array import array
from collections.abc import Callable
from dataclasses import dataclass, field
from xml.parsers import expat

import numpy as np

from vault.errors import BadInput
from vault.geometry.mesh import FloatArray, IntArray, check_mesh

CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
PRODUCTION = "http://schemas.microsoft.com/3dmanufacturing/production/2015/06"
_COLOURS = "http://schemas.microsoft.com/3dmanufacturing/material/2015/02"
_HARMLESS = {CORE, PRODUCTION, _COLOURS}  # colours change no shape

ObjectKey = tuple[str, str]
"""Model part and object id."""

Transform = FloatArray
"""(4, 3): three rows that turn and scale, and a last row that moves; points are rows."""

IDENTITY: Transform = np.vstack([np.eye(3), np.zeros(3)])
IDENTITY.flags.writeable = False


@dataclass(frozen=True, eq=False)
class Placed:
    """An object somewhere: a component of another object, or an item of the build."""

    key: ObjectKey
    transform: Transform
    part_number: str = ""


@dataclass(eq=False)
class ModelObject:
    """One object of a model part: a mesh, or components, or both empty."""

    name: str
    part_number: str
    kind: str
    vertices: FloatArray = field(default_factory=lambda: np.empty((0, 3)))
    faces: IntArray = field(default_factory=lambda: np.empty((0, 3), dtype=np.int64))
    components: list[Placed] = field(default_factory=list)


@dataclass
class ModelPart:
    """What one model part says."""

    name: str
    unit: str = "millimeter"
    objects: dict[str, ModelObject] = field(default_factory=dict)
    items: list[Placed] = field(default_factory=list)

    def other_parts(self) -> set[str]:
        """Return the names of the model parts that this one points to."""
        placed = [*self.items, *(c for obj in self.objects.values() for c in obj.components)]
        return {one.key[0] for one in placed} - {self.name}


def parse_model(data: bytes, name: str, max_triangles: int) -> ModelPart:
    """Read one model part.

    Raises:
        BadInput: The XML is damaged or declares entities, a value is missing or is no number, or there are too many
            triangles.
    """
    reader = _Reader(name, max_triangles)
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.buffer_text = True
    parser.StartElementHandler = reader.start
    parser.EndElementHandler = reader.end
    parser.StartNamespaceDeclHandler = reader.namespace
    parser.StartDoctypeDeclHandler = _refuse_entities
    parser.EntityDeclHandler = _refuse_entities
    try:
        parser.Parse(data, True)
    except expat.ExpatError as problem:
        raise BadInput(f"is damaged: its XML breaks off or is wrong in line {problem.lineno}") from None
    except KeyError as problem:
        raise BadInput(f"is damaged: a value {problem} is missing in its XML") from None
    except (ValueError, OverflowError):
        raise BadInput("is damaged: a value in its XML is no number") from None
    if not reader.is_model:
        raise BadInput("holds XML that is no 3MF model")
    return reader.model


def _refuse_entities(*_: object) -> None:
    raise BadInput("declares XML entities, which no shape needs; refused")


class _Reader:
    """Collects what expat finds; only elements of the core specification count."""

    def __init__(self, name: str, max_triangles: int) -> None:
        self.model = ModelPart(name)
        self.is_model = False
        self._max_triangles = max_triangles
        self._prefixes: dict[str, str] = {}
        self._object: ModelObject | None = None
        self._coordinates = array("d")
        self._corners = array("q")
        self._triangles_before = 0
        self._starts: dict[str, Callable[[dict[str, str]], None]] = {
            f"{CORE} vertex": self._vertex,
            f"{CORE} triangle": self._triangle,
            f"{CORE} model": self._model,
            f"{CORE} object": self._start_object,
            f"{CORE} component": self._component,
            f"{CORE} item": self._item,
        }

    def namespace(self, prefix: str | None, uri: str) -> None:
        """Remember what a prefix stands for."""
        self._prefixes[prefix or ""] = uri

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        """Take one start tag."""
        if handler := self._starts.get(tag):
            handler(attributes)

    def end(self, tag: str) -> None:
        """Take one end tag."""
        if tag == f"{CORE} mesh" and self._object is not None:
            self._close_mesh(self._object)

    def _vertex(self, attributes: dict[str, str]) -> None:
        self._coordinates.extend((float(attributes["x"]), float(attributes["y"]), float(attributes["z"])))

    def _triangle(self, attributes: dict[str, str]) -> None:
        self._corners.extend((int(attributes["v1"]), int(attributes["v2"]), int(attributes["v3"])))
        if len(self._corners) > 3 * (self._max_triangles - self._triangles_before):
            raise BadInput("has more triangles than are read")

    def _model(self, attributes: dict[str, str]) -> None:
        self.is_model = True
        self.model.unit = attributes.get("unit", "millimeter")  # the default of core 3.4
        for prefix in attributes.get("requiredextensions", "").split():
            uri = self._prefixes.get(prefix, prefix)
            if uri not in _HARMLESS:
                raise BadInput(f"needs the 3MF extension {uri!r}, which is not read; export it as plain triangles")

    def _start_object(self, attributes: dict[str, str]) -> None:
        key = attributes["id"]
        if key in self.model.objects:
            raise BadInput(f"holds two objects with the id {key!r}")
        name, part_number = attributes.get("name", ""), attributes.get("partnumber", "")
        self._object = self.model.objects[key] = ModelObject(name, part_number, attributes.get("type", "model"))

    def _component(self, attributes: dict[str, str]) -> None:
        if self._object is None:
            raise BadInput("is damaged: a component stands outside an object")
        self._object.components.append(self._placed(attributes))

    def _item(self, attributes: dict[str, str]) -> None:
        self.model.items.append(self._placed(attributes))

    def _placed(self, attributes: dict[str, str]) -> Placed:
        part = "/" + attributes.get(f"{PRODUCTION} path", self.model.name).lstrip("/")
        transform = _transform(attributes.get("transform"))
        return Placed((part, attributes["objectid"]), transform, attributes.get("partnumber", ""))

    def _close_mesh(self, obj: ModelObject) -> None:
        obj.vertices = np.array(self._coordinates, dtype=np.float64).reshape(-1, 3)
        obj.faces = np.array(self._corners, dtype=np.int64).reshape(-1, 3)
        self._triangles_before += len(obj.faces)
        self._coordinates, self._corners = array("d"), array("q")
        if len(obj.faces):
            check_mesh(obj.vertices, obj.faces)


def _transform(text: str | None) -> Transform:
    if text is None:
        return IDENTITY
    numbers = [float(word) for word in text.split()]
    if len(numbers) != 12 or not all(map(math.isfinite, numbers)):
        raise BadInput("holds a transform that is not 12 numbers")
    transform = np.array(numbers).reshape(4, 3)
    if not abs(transform).max() < 1e9 or not abs(np.linalg.det(transform[:3])) > 1e-30:
        raise BadInput("holds a transform that flattens its object")
    return transform
