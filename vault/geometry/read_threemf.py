"""Reading 3MF: units, components, transforms and several objects, from packages that may be hostile.

Follows the core specification 1.4.0 and, for objects in other model parts, the production extension 1.2.
"""

import io
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from xml.parsers import expat

import numpy as np

from vault.errors import BadInput
from vault.geometry.mesh import FloatArray, Limits, ReadFile, ReadPart
from vault.geometry.threemf_xml import ModelObject, ModelPart, ObjectKey, Placed, Transform, parse_model

_START_TYPE = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"
_MAX_DEPTH = 32
_KEEP_RATIO_UNDER = 1 << 20  # small parts may be packed as tightly as they like
_BOOK_BYTES = 1 << 20
_ZIP_FAULTS = (zipfile.BadZipFile, ValueError, EOFError, NotImplementedError, OSError, LookupError)

_UNITS = {"micron": "micron", "millimeter": "mm", "centimeter": "cm", "inch": "inch", "foot": "foot", "meter": "m"}
_NOT_BUILT = {"support", "solidsupport", "other"}


def read_threemf(data: bytes, limits: Limits) -> ReadFile:
    """Read every body that the file's build names, each where the build places it.

    Raises:
        BadInput: The package or its XML is damaged, hostile, too big, or needs an extension that is not read.
    """
    package = _Package(data, limits)
    root = package.start_part()
    models: dict[str, ModelPart] = {}
    _load_models(package, root, models, limits)
    model = models[root]
    if not model.items:
        raise BadInput("names no object to build")
    builder = _Builder(models, limits)
    parts: list[ReadPart] = []
    cautions: list[str] = []
    for item in model.items:
        kind = builder.object_type(item.key)
        if kind in _NOT_BUILT:
            cautions.append(f"an object of type {kind!r} was left out")
            continue
        parts += builder.flatten(item)
    if not parts:
        raise BadInput("holds no triangles")
    return ReadFile(tuple(parts), "own 3MF reader", _unit(model), welded=True, cautions=tuple(cautions))


def _unit(model: ModelPart) -> str:
    if model.unit not in _UNITS:
        raise BadInput(f"is drawn in {model.unit!r}, which is no unit of 3MF")
    return _UNITS[model.unit]


def _load_models(package: "_Package", root: str, models: dict[str, ModelPart], limits: Limits) -> None:
    """Parse the root model part and the parts that its objects point to."""
    waiting = [root]
    room = limits.max_triangles
    while waiting:
        name = waiting.pop()
        if name in models:
            continue
        models[name] = parse_model(package.read(name, limits.max_bytes), name, room)
        room -= sum(len(obj.faces) for obj in models[name].objects.values())
        waiting += sorted(models[name].other_parts())


class _Package:
    """The ZIP file around the model, opened with suspicion."""

    def __init__(self, data: bytes, limits: Limits) -> None:
        try:
            self._zip = zipfile.ZipFile(io.BytesIO(data))
        except _ZIP_FAULTS as problem:
            raise BadInput(f"is a damaged ZIP package ({problem})") from None
        entries = self._zip.infolist()
        if len(entries) > limits.max_zip_entries:
            raise BadInput(f"holds {len(entries)} files; more than {limits.max_zip_entries} in one package are refused")
        if sum(entry.file_size for entry in entries) > limits.max_bytes:
            raise BadInput(f"unpacks to more than {limits.max_bytes} bytes, which is refused")
        self._entries: dict[str, zipfile.ZipInfo] = {}
        for entry in entries:
            self._admit(entry, limits)

    def _admit(self, entry: zipfile.ZipInfo, limits: Limits) -> None:
        if entry.file_size > max(_KEEP_RATIO_UNDER, limits.max_zip_ratio * entry.compress_size):
            raise BadInput(f"is packed more than {limits.max_zip_ratio} times too tightly to be a shape; refused")
        if entry.flag_bits & 1:
            raise BadInput("is locked with a password")
        key = entry.filename.lower()
        if key in self._entries:
            raise BadInput("holds two files of one name")
        self._entries[key] = entry

    def read(self, name: str, limit: int) -> bytes:
        """Return the bytes of one part, never more than `limit`, whatever the directory declares."""
        entry = self._entries.get(name.lstrip("/").lower())
        if entry is None:
            raise BadInput(f"lacks its part {name!r}")
        try:
            with self._zip.open(entry) as stream:
                data = stream.read(min(limit, entry.file_size) + 1)
        except (*_ZIP_FAULTS, zlib.error, RuntimeError) as problem:
            raise BadInput(f"is a damaged ZIP package ({problem})") from None
        if len(data) != entry.file_size:
            raise BadInput("is a damaged ZIP package (a part has another size than declared)")
        return data

    def start_part(self) -> str:
        """Return the name of the model part that the package's relationships point to."""
        found: list[str] = []

        def start(tag: str, attributes: dict[str, str]) -> None:
            if tag.endswith("Relationship") and attributes.get("Type") == _START_TYPE and "Target" in attributes:
                found.append(attributes["Target"])

        if "_rels/.rels" not in self._entries:
            raise BadInput("is a ZIP package, but no 3MF file")
        parser = expat.ParserCreate()
        parser.StartElementHandler = start
        parser.StartDoctypeDeclHandler = _refuse_doctype
        try:
            parser.Parse(self.read("_rels/.rels", _BOOK_BYTES), True)
        except expat.ExpatError:
            raise BadInput("is damaged: the list of its parts is no XML") from None
        if not found:
            raise BadInput("is a ZIP package, but no 3MF file")
        return "/" + found[0].lstrip("/")


def _refuse_doctype(*_: object) -> None:
    raise BadInput("declares XML entities, which no shape needs; refused")


@dataclass
class _Builder:
    """Turns objects and their components into meshes in place; counts before it builds."""

    models: dict[str, ModelPart]
    limits: Limits
    _counts: dict[ObjectKey, tuple[int, int]] = field(default_factory=dict)
    _spent: list[int] = field(default_factory=lambda: [0, 0])

    def object_type(self, key: ObjectKey) -> str:
        """Return what kind of object this is: model, support, ..."""
        return self._object(key).kind

    def flatten(self, item: Placed) -> Iterator[ReadPart]:
        """Yield every mesh below a build item, transformed into the build; its part number wins over the objects'.

        A point is a row: p' = p M, component first, then what holds it (core specification 3.3).
        """
        instances, triangles = self._count(item.key, ())
        self._spent = [self._spent[0] + instances, self._spent[1] + triangles]
        if self._spent[0] > self.limits.max_instances or self._spent[1] > self.limits.max_triangles:
            raise BadInput("repeats its objects too often to be read")
        for part in self._walk(item.key, item.transform):
            yield replace(part, part_number=item.part_number or part.part_number)

    def _object(self, key: ObjectKey) -> ModelObject:
        model = self.models.get(key[0])
        if model is None or key[1] not in model.objects:
            raise BadInput(f"refers to object {key[1]!r}, which it does not hold")
        return model.objects[key[1]]

    def _count(self, key: ObjectKey, above: tuple[ObjectKey, ...]) -> tuple[int, int]:
        """Return (instances, triangles) below an object without building any."""
        if key in above:
            raise BadInput(f"object {key[1]!r} contains itself")
        if len(above) > _MAX_DEPTH:
            raise BadInput(f"nests objects more than {_MAX_DEPTH} deep")
        if key not in self._counts:
            obj = self._object(key)
            below = [self._count(component.key, (*above, key)) for component in obj.components]
            instances = sum(count for count, _ in below) + (1 if len(obj.faces) else 0)
            self._counts[key] = (instances, sum(count for _, count in below) + len(obj.faces))
        return self._counts[key]

    def _walk(self, key: ObjectKey, transform: Transform) -> Iterator[ReadPart]:
        obj = self._object(key)
        if len(obj.faces):
            vertices = transform_rows(obj.vertices, transform)
            turned = np.linalg.det(transform[:3]) < 0  # a mirror: turn the faces so that outside stays outside
            yield ReadPart(vertices, obj.faces[:, ::-1] if turned else obj.faces, obj.name, obj.part_number)
        for component in obj.components:
            yield from self._walk(component.key, compose(component.transform, transform))


def transform_rows(points: FloatArray, transform: Transform) -> FloatArray:
    """Return p M for rows p; written out, so that equal points stay exactly equal whatever their place in the array."""
    x, y, z = points.T
    columns = [x * m[0] + y * m[1] + z * m[2] + m[3] for m in transform.T]
    return np.stack(columns, axis=1)


def compose(first: Transform, then: Transform) -> Transform:
    """Return the (4, 3) transform that does `first` and afterwards `then`."""
    moved: FloatArray = first @ then[:3]
    moved[3] += then[3]
    return moved
