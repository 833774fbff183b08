"""Values of the trade with sane defaults: `a_part()`, `a_revision(label="D")`, `some_settings(machine="PRN-2")`.

An invented shop and invented customers. Every builder takes the model's fields by keyword; what is not given is sane.
Things on the floor, evidence and orders are in `tests.floor_builders`; writing them to a register is in `tests.given`.
"""

import hashlib
from datetime import date, datetime
from typing import Any, TypeVar

from tests.fakes import MORNING
from vault.actions.context import ulid_at
from vault.model.base import Record
from vault.model.cards import (
    Box,
    Customer,
    ExportControl,
    Furnace,
    Gauge,
    GaugeStudy,
    Machine,
    Material,
    Part,
    Person,
    Policy,
)
from vault.model.decisions import Acceptance, Release, StageMove
from vault.model.design import Characteristic, KeptFile, Receipt, Requirements, Revision
from vault.model.ids import Ulid
from vault.model.orientation import Orientation
from vault.model.settings import Cure, Cycle, Inspect, Printing, Scale, Segment, Setter, Settings
from vault.model.shape import MeasuredShape, ShapeChange, ShapeVerdict, Topology
from vault.model.words import (
    AcceptanceBasis,
    Answer,
    Atmosphere,
    Authority,
    ControlStatus,
    Criticality,
    Definition,
    FileRole,
    Role,
    Stage,
)
from vault.rules.history import PartHistory, fold

PART = "BRK-204"
MATERIAL = "17-4PH"
MACHINE = "PRN-1"
FURNACE = "FUR-1"
GAUGE = "CAL-3"
CUSTOMER = "NORTHFELL"

AnyRecord = TypeVar("AnyRecord", bound=Record)


def ulid(name: str, at: datetime = MORNING) -> Ulid:
    """Return the same ULID for the same name: `ulid("rev C")`."""
    return ulid_at(at, int(hashlib.sha256(name.encode()).hexdigest()[:19], 16))


def made(kind: type[AnyRecord], given: dict[str, Any], /, **usual: Any) -> AnyRecord:
    """Build a record: what is given wins over what is usual; by edda in the morning unless said."""
    return kind(**{"by": "edda", "at": MORNING, **usual, **given})


def content_of(name: str) -> bytes:
    """Return the bytes that a built file has: they follow from its name."""
    return f"bytes of {name}\n".encode()


def a_file(name: str = "bracket.stl", role: FileRole = FileRole.DESIGN) -> KeptFile:
    content = content_of(name)
    ending = name.rpartition(".")[2].lower()
    return KeptFile(
        name=name, role=role, sha256=hashlib.sha256(content).hexdigest(), size_bytes=len(content), ending=ending
    )


def some_evidence(name: str = "mail.eml") -> KeptFile:
    return a_file(name, FileRole.EVIDENCE)


# ---- cards


def a_person(handle: str = "edda", *roles: Role, **given: Any) -> Person:
    return made(Person, given, handle=handle, name=handle.title(), roles=roles or (Role.ENGINEER,))


def a_customer(**given: Any) -> Customer:
    return made(Customer, given, code=CUSTOMER, name="Northfell Pumps")


def a_part(**given: Any) -> Part:
    control = ExportControl(status=ControlStatus.NO_LICENCE_NEEDED, classified_by="ona", classified_on=date(2026, 1, 5))
    return made(
        Part, given, number=PART, customer=CUSTOMER, customer_number="NF-7781", description="Bracket, left",
        design_authority=Authority.CUSTOMER, criticality=Criticality.ORDINARY, material=MATERIAL, control=control,
    )  # fmt: skip


def a_material(**given: Any) -> Material:
    return made(
        Material, given, id=MATERIAL, name="Demo steel", alloy_family="precipitation-hardening steel",
        reference_density_g_cm3=7.80, reference_density_source="invented for tests", sintered_density_g_cm3=7.65,
        reactive=Answer.NO, contains_nickel=Answer.YES, setter_materials=("alumina",),
    )  # fmt: skip


def a_machine(**given: Any) -> Machine:
    return made(
        Machine, given, id=MACHINE, name="Printer one", site="Hall 1", materials=(MATERIAL,), firmware="4.1",
        print_preparation="prep 2.0", boxes=("BOX-S",),
    )  # fmt: skip


def a_box(**given: Any) -> Box:
    return made(Box, given, id="BOX-S", name="Small box", size_mm=(160.0, 65.0, 65.0), layer_s=20.0)


def a_furnace(**given: Any) -> Furnace:
    return made(
        Furnace, given, id=FURNACE, name="Furnace one", site="Hall 1", max_c=1450.0, hot_zone_mm=(300.0, 300.0, 300.0),
        trays=6, metal_limit_kg=40.0, binder_limit_kg=1.0, responsible="edda",
    )  # fmt: skip


def a_gauge(**given: Any) -> Gauge:
    study = GaugeStudy(percent_of_tolerance=12.0, studied_on=date(2026, 1, 10))
    return made(
        Gauge, given, id=GAUGE, name="Calliper 150 mm", resolution_mm=0.01, uncertainty_mm=0.02,
        calibrated_on=date(2026, 1, 8), calibration_due=date(2027, 1, 8), study=study,
    )  # fmt: skip


def a_policy(**given: Any) -> Policy:
    return made(Policy, given)


# ---- design


def a_shape(size_mm: tuple[float, float, float] = (30.0, 20.0, 10.0), **given: Any) -> MeasuredShape:
    x, y, z = size_mm
    block = Topology(triangles=12, vertices=8, shells=1, closed=True, winding_consistent=True, euler_number=2)
    usual: dict[str, Any] = {
        "engine": "test 1", "file_sha256": a_file().sha256, "format": "STL", "unit": "mm",
        "unit_basis": "given by the person", "volume_mm3": x * y * z, "area_mm2": 2 * (x * y + y * z + z * x),
        "low_mm": (0.0, 0.0, 0.0), "high_mm": size_mm, "centre_of_mass_mm": (x / 2, y / 2, z / 2), "topology": block,
    }  # fmt: skip
    return MeasuredShape(**{**usual, **given})


def a_change(moved_mm: float = 0.3, **given: Any) -> ShapeChange:
    usual: dict[str, Any] = {
        "engine": "test 1", "a_sha256": "a" * 64, "b_sha256": "b" * 64, "verdict": ShapeVerdict.CHANGED,
        "resolution_mm": 0.001, "max_a_to_b_mm": moved_mm, "max_b_to_a_mm": moved_mm, "mean_a_to_b_mm": moved_mm / 10,
        "mean_b_to_a_mm": moved_mm / 10, "volume_a_mm3": 6000.0, "volume_b_mm3": 6000.0, "area_a_mm2": 2200.0,
        "area_b_mm2": 2200.0, "size_a_mm": (30.0, 20.0, 10.0), "size_b_mm": (30.0, 20.0, 10.0), "same_topology": True,
    }  # fmt: skip
    return ShapeChange(**{**usual, **given})


def a_receipt(**given: Any) -> Receipt:
    return made(
        Receipt, given, id=ulid("receipt"), part=PART, label="C", arrived_on=date(2026, 3, 1),
        sender="P. Holm, Northfell Pumps", files=(a_file(),),
    )  # fmt: skip


def a_revision(label: str = "C", **given: Any) -> Revision:
    return made(
        Revision, given, id=ulid(f"rev {label}"), part=PART, label=label, follows=None, receipt=None,
        files=(a_file(f"bracket-{label}.stl"),), definition=Definition.MODEL, reason="The customer's new issue",
        unit="mm", unit_basis="given by the person",
    )  # fmt: skip


def a_characteristic(number: str = "1", **given: Any) -> Characteristic:
    usual: dict[str, Any] = {
        "number": number, "name": "Length", "form": "variable", "nominal": 30.0, "lower": 29.9, "upper": 30.1,
        "unit": "mm", "key": True, "gauge": GAUGE,
    }  # fmt: skip
    return Characteristic(**{**usual, **given})


def an_attribute(number: str = "2", **given: Any) -> Characteristic:
    usual: dict[str, Any] = {"number": number, "name": "Thread", "form": "attribute", "requirement": "M6 go/no-go"}
    return Characteristic(**{**usual, **given})


def some_requirements(*characteristics: Characteristic, **given: Any) -> Requirements:
    return made(
        Requirements, given, id=ulid("requirements"), part=PART, revision=ulid("rev C"),
        characteristics=characteristics or (a_characteristic(), an_attribute()), drawing_compared=True,
    )  # fmt: skip


def a_release(label: str = "C", **given: Any) -> Release:
    return made(Release, given, id=ulid(f"release {label}"), part=PART, revision=ulid(f"rev {label}"))


def an_acceptance(label: str = "C", **given: Any) -> Acceptance:
    return made(
        Acceptance, given, id=ulid(f"acceptance {label}"), part=PART, revision=ulid(f"rev {label}"),
        basis=AcceptanceBasis.DRAWING, accepted_by="P. Holm", accepted_on=date(2026, 3, 2), evidence=some_evidence(),
        by="dana",
    )  # fmt: skip


def a_move(to: Stage = Stage.RAMP, **given: Any) -> StageMove:
    return made(
        StageMove, given, id=ulid(f"move to {to}"), part=PART, moved_from=Stage.PROTOTYPE, moved_to=to,
        reason="The gate was passed",
    )  # fmt: skip


# ---- settings


def a_cycle(name: str = "sinter A", peak_c: float = 1350.0, **given: Any) -> Cycle:
    segment = Segment(ramp_c_per_h=120.0, target_c=peak_c, hold_min=90.0, atmosphere=Atmosphere.ARGON)
    return Cycle(**{"name": name, "furnace": FURNACE, "segments": (segment,), **given})


def some_settings(number: str = "S1", **given: Any) -> Settings:
    printing = Printing(
        layer_um=50.0, binder="binder one", binder_of_pore_volume_percent=60.0, wait_after_jetting_s=5.0, drying_s=10.0,
        drying_c=45.0,
    )  # fmt: skip
    inspection = Inspect(characteristics=("1", "2"), how_many="sample", sample=5, gauge=GAUGE)
    return made(
        Settings, given, id=ulid(f"settings {number}"), number=number, part=PART, made_for=ulid("rev C"),
        machine=MACHINE, material=MATERIAL, powder_specification="demo powder spec 1", printing=printing,
        scale=Scale(x=1.21, y=1.2, z=1.22), print_orientation=Orientation.as_drawn(),
        sinter_orientation=Orientation.as_drawn(),
        cure=Cure(peak_c=180.0, hold_min=240.0, atmosphere=Atmosphere.AIR), depowdering="Brush and air",
        debind=a_cycle("debind A", 450.0), sinter=a_cycle(),
        setter=Setter(material="alumina", layout="flat, four by four", pieces_per_setter=16),
        inspection=(inspection,), reason="First settings",
    )  # fmt: skip


def a_history(*records: Record, card: Part | None = None) -> PartHistory:
    """Fold a part from its card and the records given: `a_history(a_revision(), a_release())`."""
    return fold((card or a_part(), *records))
