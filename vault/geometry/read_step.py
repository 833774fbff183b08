"""Reading STEP through cascadio, which says nothing when it fails: the checks before and after are here."""

import re

from vault.errors import BadInput
from vault.geometry.mesh import Limits, ReadFile
from vault.geometry.read_glb import LIBRARY_FAULTS, glb_parts
from vault.geometry.topology import face_shells

TESSELLATION_MM = 0.01
"""Largest distance between a flat triangle and the curved face it stands for, mm. Kept with the shape."""

TESSELLATION_RAD = 0.1
"""Largest angle between neighbouring triangles on a curved face."""

_TEXT = re.compile(rb"'(?:[^']|'')*'|/\*.*?\*/", re.DOTALL)
_DEFINED = re.compile(rb"(?m)(?:^|;)\s*#(\d+)\s*=")
_SOLID = re.compile(rb"\b(?:MANIFOLD_SOLID_BREP|BREP_WITH_VOIDS|FACETED_BREP)\s*\(")
_USED = re.compile(rb"#(\d+)")
_CONTEXT = re.compile(rb"GLOBAL_UNIT_ASSIGNED_CONTEXT\s*\(\s*\(([^)]*)\)")
_SI_LENGTH = re.compile(rb"SI_UNIT\s*\(\s*(\$|\.\w+\.)\s*,\s*\.METRE\.\s*\)")
_OTHER_LENGTH = re.compile(rb"CONVERSION_BASED_UNIT\s*\(\s*'([^']*)'")
_PREFIXES = {b"$": "m", b".MILLI.": "mm", b".CENTI.": "cm", b".MICRO.": "micron"}
_NAMES = {"INCH": "inch", "IN": "inch", "FOOT": "foot", "FT": "foot", "FEET": "foot", "MM": "mm", "MILLIMETRE": "mm"}


def read_step(data: bytes, limits: Limits) -> ReadFile:
    """Turn the bodies of a STEP file into triangles within TESSELLATION_MM of the true faces.

    Raises:
        BadInput: The file is cut short, refers to what it does not hold, or its bodies cannot be turned into triangles.
    """
    import cascadio  # slow to import, and this runs in a child process
    import trimesh

    if b"END-ISO-10303-21" not in data[-4096:]:
        raise BadInput("is cut short: a STEP file ends with END-ISO-10303-21")
    _check_references(data)
    unit = stated_unit(data)
    try:
        glb = cascadio.load(data, file_type="step", tol_linear=TESSELLATION_MM, tol_angular=TESSELLATION_RAD)
    except LIBRARY_FAULTS as problem:
        raise BadInput(f"cannot be read ({type(problem).__name__} in the STEP reader)") from None
    placed = tuple(part for group, _ in glb_parts(glb).values() for part in group) if glb else ()
    if not placed:
        raise BadInput("holds no body that can be read; export it again as STEP AP214 or AP242 with solids")
    if sum(len(part.faces) for part in placed) > limits.max_triangles:
        raise BadInput(f"becomes more than {limits.max_triangles} triangles, which are not read")
    cautions = [f"curved faces were turned into triangles within {TESSELLATION_MM} mm, in 32-bit numbers"]
    solids, bodies = len(_SOLID.findall(data)), sum(face_shells(part.faces)[0] for part in placed)
    if bodies < solids:  # the STEP reader leaves out without a word what it does not understand
        cautions.append(f"the file describes {solids} solids, but only {bodies} bodies could be read")
    return ReadFile(
        placed,
        f"cascadio {cascadio.__version__}, trimesh {trimesh.__version__}",
        unit,
        mm_per_unit=1000.0,  # cascadio gives metres, whatever the file's unit
        welded=True,
        tessellation_mm=TESSELLATION_MM,
        cautions=tuple(cautions),
    )


def _check_references(data: bytes) -> None:
    """Refuse a file that names a record it does not hold: the STEP reader would leave out what hangs on it."""
    plain = _TEXT.sub(b"''", data)
    missing = set(_USED.findall(plain)) - set(_DEFINED.findall(plain))
    if missing:
        raise BadInput(f"is damaged: it refers to record #{min(missing, key=int).decode()}, which it does not hold")


def stated_unit(data: bytes) -> str | None:
    """Return the length unit that a STEP file states for its shapes, or None where it states none.

    Raises:
        BadInput: It states several, or one that is not known.
    """
    records = dict(re.findall(rb"(?s)#(\d+)\s*=\s*(.*?);", data))
    units = set()
    for context in _CONTEXT.findall(data):
        for number in _USED.findall(context):
            record = records.get(number, b"")
            if b"LENGTH_UNIT" in record:
                units.add(_unit_of(record))
    if len(units) > 1:
        raise BadInput(f"mixes the units {' and '.join(sorted(units))}; export it in one")
    return units.pop() if units else None


def _unit_of(record: bytes) -> str:
    if found := _SI_LENGTH.search(record):
        unit = _PREFIXES.get(found[1])
    else:
        name = _OTHER_LENGTH.search(record)
        unit = _NAMES.get(name[1].decode("ascii", "replace").strip().upper()) if name else None
    if unit is None:
        raise BadInput("is drawn in a unit that is not known; export it in millimetres")
    return unit
