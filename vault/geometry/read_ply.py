"""Reading PLY, ASCII and binary, with every row the header announces or not at all."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vault.errors import BadInput
from vault.geometry.mesh import IntArray, Limits, ReadFile, ReadPart
from vault.geometry.polygons import to_triangles

_TYPES = {
    "char": "i1", "uchar": "u1", "short": "i2", "ushort": "u2", "int": "i4", "uint": "u4", "float": "f4", "double":
    "f8", "int8": "i1", "uint8": "u1", "int16": "i2", "uint16": "u2", "int32": "i4", "uint32": "u4", "float32": "f4",
    "float64": "f8",
}  # fmt: skip
_ORDERS = {"ascii": "", "binary_little_endian": "<", "binary_big_endian": ">"}
_FACE_LISTS = ("vertex_indices", "vertex_index")

Column = tuple[NDArray[np.float64], IntArray]
"""The values of one property in all rows, one after the other, and how many each row has."""


@dataclass(frozen=True)
class _Property:
    name: str
    kind: str
    count_kind: str | None = None  # set where the property is a list


@dataclass
class _Element:
    name: str
    rows: int
    properties: list[_Property]


def read_ply(data: bytes, limits: Limits) -> ReadFile:
    """Read points and faces of a PLY file; all other properties are left out.

    Raises:
        BadInput: The header is not understood, rows are missing or left over, or the faces are no mesh.
    """
    order, elements, start = _header(data)
    if any(element.rows > limits.max_triangles for element in elements):
        raise BadInput(f"announces more than {limits.max_triangles} rows, which are not read")
    rows = _AsciiRows(data[start:]) if order == "" else _BinaryRows(data[start:], order)
    tables = {element.name: rows.read(element) for element in elements}
    rows.finish()
    vertex, face = tables.get("vertex", {}), tables.get("face", {})
    lists = [face[name] for name in _FACE_LISTS if name in face]
    if not {"x", "y", "z"} <= vertex.keys() or not lists:
        raise BadInput("holds no triangles")
    vertices = np.stack([vertex[axis][0] for axis in "xyz"], axis=1)
    corners, sizes = lists[0]
    if not np.isfinite(corners).all() or np.abs(corners).max(initial=0) > 2**53:
        raise BadInput("names a corner that cannot be")
    return ReadFile((ReadPart(vertices, to_triangles(vertices, corners.astype(np.int64), sizes)),), "own PLY reader")


def _header(data: bytes) -> tuple[str, list[_Element], int]:
    """Return byte order ("" for ASCII), the elements, and where the rows start."""
    end = data.find(b"end_header", 0, 1 << 20)
    line_end = data.find(b"\n", end) + 1 if end >= 0 else 0
    if not line_end:
        raise BadInput("is cut short: the header of the PLY file has no end")
    lines = data[:end].decode("ascii", errors="replace").split("\n")
    elements: list[_Element] = []
    order: str | None = None
    try:
        for words in (line.split() for line in lines[1:]):
            if not words or words[0] in {"comment", "obj_info"}:
                continue
            if words[0] == "format":
                order = _ORDERS[words[1]]
            elif words[0] == "element":
                elements.append(_Element(words[1], _row_count(words[2]), []))
            elif words[0] == "property":
                elements[-1].properties.append(_property(words))
            else:
                raise KeyError(words[0])
    except (LookupError, ValueError):
        raise BadInput("the header of the PLY file is not understood") from None
    if order is None or len({element.name for element in elements}) != len(elements):
        raise BadInput("the header of the PLY file is not understood")
    return order, elements, line_end


def _row_count(word: str) -> int:
    if not word.isdecimal():
        raise ValueError(word)
    return int(word)


def _property(words: list[str]) -> _Property:
    if words[1] == "list":
        return _Property(words[4], _TYPES[words[3]], _TYPES[words[2]])
    return _Property(words[2], _TYPES[words[1]])


def _too_short(element: _Element) -> BadInput:
    return BadInput(f"is cut short: it announces {element.rows} rows of {element.name!r} and has fewer")


class _AsciiRows:
    """Rows as words of text."""

    def __init__(self, data: bytes) -> None:
        self._words = data.split()
        self._at = 0

    def read(self, element: _Element) -> dict[str, Column]:
        """Read all rows of one element, word by word where it has lists."""
        if not element.rows or not element.properties:
            return {prop.name: _column([]) for prop in element.properties}
        if (columns := self._as_table(element)) is not None:
            return columns
        values: dict[str, list[NDArray[np.float64]]] = {prop.name: [] for prop in element.properties}
        for _ in range(element.rows):
            for prop in element.properties:
                count = 1 if prop.count_kind is None else self._list_length(element)
                values[prop.name].append(self._take(element, count))
        return {name: _column(rows) for name, rows in values.items()}

    def _as_table(self, element: _Element) -> dict[str, Column] | None:
        """Read all rows at once, or return None and read nothing where lists differ in length from the first row."""
        start, columns, counts, width = self._at, {}, {}, 0
        for prop in element.properties:
            length = 1
            if prop.count_kind is not None:
                self._at = start + width
                length = counts[width] = self._list_length(element)
                width += 1
            columns[prop.name] = slice(width, width + length)
            width += length
        self._at = start
        if start + element.rows * width > len(self._words):
            return None
        table = self._take(element, element.rows * width).reshape(element.rows, width)
        if any((table[:, column] != length).any() for column, length in counts.items()):
            self._at = start
            return None
        return {
            name: (table[:, where].ravel(), np.full(element.rows, where.stop - where.start, dtype=np.int64))
            for name, where in columns.items()
        }

    def _list_length(self, element: _Element) -> int:
        length = float(self._take(element, 1)[0])
        if not 0 <= length <= len(self._words) or length != int(length):
            raise BadInput("is damaged: a list in the PLY file has an impossible length")
        return int(length)

    def _take(self, element: _Element, count: int) -> NDArray[np.float64]:
        words = self._words[self._at : self._at + count]
        if len(words) != count:
            raise _too_short(element)
        self._at += count
        try:
            return np.array([float(word) for word in words], dtype=np.float64)
        except ValueError:
            raise BadInput("is damaged: a value in the PLY file is no number") from None

    def finish(self) -> None:
        """Refuse words that no element announced."""
        if self._at != len(self._words):
            raise BadInput(f"is damaged: {len(self._words) - self._at} values more than the header announces")


class _BinaryRows:
    """Rows as bytes."""

    def __init__(self, data: bytes, order: str) -> None:
        self._data = data
        self._order = order
        self._at = 0

    def read(self, element: _Element) -> dict[str, Column]:
        """Read all rows of one element, at once where every list is as long as in the first row."""
        if not element.rows or not element.properties:
            return {prop.name: _column([]) for prop in element.properties}
        table = self._as_table(element)
        if table is None:
            return self._row_by_row(element)
        columns: dict[str, Column] = {}
        for prop in element.properties:
            values = table[prop.name].astype(np.float64).reshape(element.rows, -1)
            sizes = np.full(element.rows, values.shape[1], dtype=np.int64)
            columns[prop.name] = (values.ravel(), sizes)
        return columns

    def _as_table(self, element: _Element) -> NDArray[np.void] | None:
        fields: list[tuple[str, str] | tuple[str, str, tuple[int]]] = []
        at, lengths = self._at, {}
        for prop in element.properties:
            if prop.count_kind is None:
                fields.append((prop.name, self._order + prop.kind))
                at += np.dtype(prop.kind).itemsize
                continue
            length = self._number(prop.count_kind, at, element)
            lengths[f"#{prop.name}"] = length
            fields.append((f"#{prop.name}", self._order + prop.count_kind))
            fields.append((prop.name, self._order + prop.kind, (length,)))
            at += np.dtype(prop.count_kind).itemsize + length * np.dtype(prop.kind).itemsize
        row = np.dtype(fields)
        if self._at + element.rows * row.itemsize > len(self._data):
            return None
        table = np.frombuffer(self._data, dtype=row, count=element.rows, offset=self._at)
        if any((table[name] != length).any() for name, length in lengths.items()):
            return None
        self._at += element.rows * row.itemsize
        return table

    def _row_by_row(self, element: _Element) -> dict[str, Column]:
        values: dict[str, list[NDArray[np.float64]]] = {prop.name: [] for prop in element.properties}
        for _ in range(element.rows):
            for prop in element.properties:
                count = 1
                if prop.count_kind is not None:
                    count = self._number(prop.count_kind, self._at, element)
                    self._at += np.dtype(prop.count_kind).itemsize
                size = count * np.dtype(prop.kind).itemsize
                if self._at + size > len(self._data):
                    raise _too_short(element)
                row = np.frombuffer(self._data, dtype=self._order + prop.kind, count=count, offset=self._at)
                values[prop.name].append(row.astype(np.float64))
                self._at += size
        return {name: _column(rows) for name, rows in values.items()}

    def _number(self, kind: str, at: int, element: _Element) -> int:
        if at + np.dtype(kind).itemsize > len(self._data):
            raise _too_short(element)
        length = float(np.frombuffer(self._data, dtype=self._order + kind, count=1, offset=at)[0])
        if not 0 <= length <= len(self._data):
            raise BadInput("is damaged: a list in the PLY file has an impossible length")
        return int(length)

    def finish(self) -> None:
        """Refuse bytes that no element announced; a line end is none."""
        if rest := self._data[self._at :].strip(b"\r\n"):
            raise BadInput(f"is damaged: {len(rest)} bytes more than the header announces")


def _column(rows: list[NDArray[np.float64]]) -> Column:
    sizes = np.array([len(row) for row in rows], dtype=np.int64)
    return (np.concatenate(rows) if rows else np.empty(0, dtype=np.float64)), sizes
