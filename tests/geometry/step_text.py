"""A small writer of STEP AP214 solids, planes and a cylinder, so that the reader of STEP meets exact shapes."""

from collections.abc import Sequence
from dataclasses import dataclass, field

Point = tuple[float, float, float]

MILLIMETRE = "(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.))"
METRE = "(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT($,.METRE.))"


@dataclass
class StepText:
    """Collects the records of a file; every method returns the number of the record it added."""

    records: list[str] = field(default_factory=list)

    def add(self, record: str) -> int:
        self.records.append(record)
        return len(self.records)

    def point(self, p: Point) -> int:
        return self.add(f"CARTESIAN_POINT('',({p[0]!r},{p[1]!r},{p[2]!r}))")

    def direction(self, p: Point) -> int:
        return self.add(f"DIRECTION('',({p[0]!r},{p[1]!r},{p[2]!r}))")

    def axes(self, at: Point, z: Point, x: Point) -> int:
        return self.add(f"AXIS2_PLACEMENT_3D('',#{self.point(at)},#{self.direction(z)},#{self.direction(x)})")

    def vertex(self, p: Point) -> int:
        return self.add(f"VERTEX_POINT('',#{self.point(p)})")

    def line_edge(self, a: int, b: int, start: Point, along: Point) -> int:
        vector = self.add(f"VECTOR('',#{self.direction(along)},1.)")
        line = self.add(f"LINE('',#{self.point(start)},#{vector})")
        return self.add(f"EDGE_CURVE('',#{a},#{b},#{line},.T.)")

    def circle_edge(self, vertex: int, at: Point, radius: float) -> int:
        circle = self.add(f"CIRCLE('',#{self.axes(at, (0.0, 0.0, 1.0), (1.0, 0.0, 0.0))},{radius!r})")
        return self.add(f"EDGE_CURVE('',#{vertex},#{vertex},#{circle},.T.)")

    def face(self, surface: int, loop: Sequence[tuple[int, bool]]) -> int:
        edges = [self.add(f"ORIENTED_EDGE('',*,*,#{edge},.{'T' if same else 'F'}.)") for edge, same in loop]
        bound = self.add(f"FACE_OUTER_BOUND('',#{self.add(f'EDGE_LOOP({quote()},({refs(edges)}))')},.T.)")
        return self.add(f"ADVANCED_FACE('',(#{bound}),#{surface},.T.)")

    def plane(self, at: Point, normal: Point, x: Point) -> int:
        return self.add(f"PLANE('',#{self.axes(at, normal, x)})")

    def unit(self, name: str) -> int:
        if name == "mm":
            return self.add(MILLIMETRE)
        if name == "m":
            return self.add(METRE)
        measure = self.add(f"LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE(25.4),#{self.add(MILLIMETRE)})")
        exponents = self.add("DIMENSIONAL_EXPONENTS(1.,0.,0.,0.,0.,0.,0.)")
        return self.add(f"(CONVERSION_BASED_UNIT('INCH',#{measure})LENGTH_UNIT()NAMED_UNIT(#{exponents}))")

    def finish(self, faces: Sequence[int], unit: str) -> bytes:
        """Close the solid, wrap it as a product and return the file."""
        solid = self.add(f"MANIFOLD_SOLID_BREP('solid',#{self.add(f'CLOSED_SHELL({quote()},({refs(faces)}))')})")
        angle = self.add("(NAMED_UNIT(*)PLANE_ANGLE_UNIT()SI_UNIT($,.RADIAN.))")
        solid_angle = self.add("(NAMED_UNIT(*)SI_UNIT($,.STERADIAN.)SOLID_ANGLE_UNIT())")
        length = self.unit(unit)
        known = self.add(
            f"UNCERTAINTY_MEASURE_WITH_UNIT(LENGTH_MEASURE(1.E-07),#{length},'distance_accuracy_value','')"
        )
        context = self.add(
            f"(GEOMETRIC_REPRESENTATION_CONTEXT(3)GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT((#{known}))"
            f"GLOBAL_UNIT_ASSIGNED_CONTEXT((#{length},#{angle},#{solid_angle}))REPRESENTATION_CONTEXT('','3D'))"
        )
        origin = self.axes((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0))
        shape = self.add(f"ADVANCED_BREP_SHAPE_REPRESENTATION('',(#{origin},#{solid}),#{context})")
        application = self.add("APPLICATION_CONTEXT('automotive design')")
        product_context = self.add(f"PRODUCT_CONTEXT('',#{application},'mechanical')")
        product = self.add(f"PRODUCT('part','part','',(#{product_context}))")
        formation = self.add(f"PRODUCT_DEFINITION_FORMATION('','',#{product})")
        design = self.add(f"PRODUCT_DEFINITION_CONTEXT('part definition',#{application},'design')")
        definition = self.add(f"PRODUCT_DEFINITION('design','',#{formation},#{design})")
        defined = self.add(f"PRODUCT_DEFINITION_SHAPE('','',#{definition})")
        self.add(f"SHAPE_DEFINITION_REPRESENTATION(#{defined},#{shape})")
        body = "".join(f"#{number}={record};\n" for number, record in enumerate(self.records, start=1))
        head = (
            "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION(('made for a test'),'2;1');\n"
            "FILE_NAME('part','2000-01-01T00:00:00',(''),(''),'','','');\n"
            "FILE_SCHEMA(('AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }'));\nENDSEC;\nDATA;\n"
        )
        return f"{head}{body}ENDSEC;\nEND-ISO-10303-21;\n".encode()


def quote() -> str:
    return "''"


def refs(numbers: Sequence[int]) -> str:
    return ",".join(f"#{number}" for number in numbers)


def box_step(x: float, y: float, z: float, unit: str = "mm") -> bytes:
    """A box from the origin: V = xyz."""
    text = StepText()
    corners = [(i * x, j * y, k * z) for i in (0, 1) for j in (0, 1) for k in (0, 1)]
    vertices = [text.vertex(corner) for corner in corners]
    edges: dict[tuple[int, int], int] = {}
    faces = []
    quads = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]
    for quad in quads:
        loop = []
        for a, b in zip(quad, (*quad[1:], quad[0]), strict=True):
            key = (min(a, b), max(a, b))
            if key not in edges:
                edges[key] = text.line_edge(vertices[key[0]], vertices[key[1]], corners[key[0]], step(corners, *key))
            loop.append((edges[key], key == (a, b)))
        first, second = step(corners, quad[0], quad[1]), step(corners, quad[1], quad[2])
        faces.append(text.face(text.plane(corners[quad[0]], cross(first, second), first), loop))
    return text.finish(faces, unit)


def cylinder_step(radius: float, height: float, unit: str = "mm") -> bytes:
    """A cylinder on the origin: V = pi r^2 h, a true circle."""
    text = StepText()
    low, high = (radius, 0.0, 0.0), (radius, 0.0, height)
    bottom, top = text.vertex(low), text.vertex(high)
    ring_low = text.circle_edge(bottom, (0.0, 0.0, 0.0), radius)
    ring_high = text.circle_edge(top, (0.0, 0.0, height), radius)
    seam = text.line_edge(bottom, top, low, (0.0, 0.0, 1.0))
    up, down, x = (0.0, 0.0, 1.0), (0.0, 0.0, -1.0), (1.0, 0.0, 0.0)
    side = text.add(f"CYLINDRICAL_SURFACE('',#{text.axes((0.0, 0.0, 0.0), up, x)},{radius!r})")
    faces = [
        text.face(side, [(ring_low, True), (seam, True), (ring_high, False), (seam, False)]),
        text.face(text.plane((0.0, 0.0, 0.0), down, x), [(ring_low, False)]),
        text.face(text.plane((0.0, 0.0, height), up, x), [(ring_high, True)]),
    ]
    return text.finish(faces, unit)


def step(corners: Sequence[Point], a: int, b: int) -> Point:
    """The unit vector from corner a to corner b."""
    d = [q - p for p, q in zip(corners[a], corners[b], strict=True)]
    length = sum(value * value for value in d) ** 0.5
    return (d[0] / length, d[1] / length, d[2] / length)


def cross(a: Point, b: Point) -> Point:
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])
