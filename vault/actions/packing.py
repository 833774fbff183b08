"""What a reprint package is made of, gathered from the records of one commit: to make one, and to make it again."""

import tempfile
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from vault.actions.context import Vault
from vault.actions.reading import Reader
from vault.actions.shapes import bring_out, recorded_shape
from vault.errors import Damaged, NotFound, Refused
from vault.model.base import Record
from vault.model.design import KeptFile, Revision
from vault.model.findings import Finding
from vault.model.orders import Order
from vault.model.package_sheet import PackageSheet
from vault.model.packaging import BoxPlan
from vault.model.settings import Settings
from vault.model.words import FileRole
from vault.records.codec import make
from vault.rules.history import PartHistory

if TYPE_CHECKING:
    from vault.geometry.mesh import Shape
    from vault.packages.contents import Originals

WATERMARK = "DEMO: invented settings, do not sinter"


@dataclass(frozen=True)
class Decided:
    """Everything about a package that time or a person decided; frozen in its record."""

    package: str
    by: str
    at: datetime
    order: str
    settings: str
    quantity_to_start: int
    valid_until: date
    basis: str
    plan: BoxPlan
    findings: tuple[Finding, ...]
    versions: dict[str, str]


_AS_DECIDED = ("by", "at", "package", "basis", "quantity_to_start", "plan", "findings", "versions")


def sheet_of(reader: Reader, decided: Decided) -> PackageSheet:
    """Gather the sheet of a package from the records of the reader's commit. The index is not asked.

    Raises:
        NotFound: Something the order needs is not recorded at that commit.
    """
    order = reader.order(decided.order).order
    history = reader.part(order.part)
    revision, settings = _revision(history, order), history.settings_with(decided.settings)
    release = history.release_of(revision.id)
    shape = history.measured.get(revision.id)
    if settings is None or release is None or shape is None:
        raise NotFound(f"{decided.order}: its settings, release or measured shape are not recorded at this commit")
    register, material = reader.register(), reader.material(settings.material)
    furnaces = dict.fromkeys((settings.debind.furnace, settings.sinter.furnace))
    return make(
        PackageSheet,
        **{name: getattr(decided, name) for name in _AS_DECIDED},
        register_id=register.id,
        register_name=register.name,
        source_commit=str(reader.snapshot.commit),
        valid_until=decided.valid_until.isoformat(),
        watermark=WATERMARK if settings.invented_for_demo or register.demo else None,
        customer_name=reader.customer(order.customer).name,
        customer_number=history.card.customer_number,
        description=history.card.description,
        criticality=history.card.criticality,
        order=order,
        revision=revision,
        measured=shape,
        mass_g=mass_g(shape.volume_mm3, material.sintered_density_g_cm3),
        release=release,
        acceptance=history.acceptance_of(revision.id),
        requirements=history.requirements.get(revision.id),
        settings=settings,
        material=material,
        machine=reader.machine(settings.machine),
        box=reader.box(decided.plan.box),
        furnaces=tuple(reader.furnace(furnace) for furnace in furnaces),
        concessions=tuple(c for c in history.concessions if c.revision == revision.id),
        permits=tuple(p for p in history.permits if p.revision == revision.id),
    )


def mass_g(volume_mm3: float, density_g_cm3: float) -> float:
    """Return the mass of a part, g."""
    from vault.process.density import mass_g as mass

    return mass(volume_mm3, density_g_cm3)


def _revision(history: PartHistory, order: Order) -> Revision:
    revision = history.revision(order.revision) if order.revision else None
    if revision is None:
        raise Refused(f"PO_NAMES_NO_REVISION order {order.id} names no recorded revision, so there is nothing to make")
    return revision


@dataclass(frozen=True)
class Computed:
    """What takes seconds to make and does not depend on the package's id: originals, green shape, picture."""

    revision: str
    settings: str
    originals: "Originals"


def computed(vault: Vault, reader: Reader, revision: Revision, settings: Settings) -> Computed:
    """Bring the originals out, scale the shape to print and draw it.

    The design, or the near-net shape where there is one, is turned into the print orientation first and scaled per
    axis of the box after that.
    """
    from vault.geometry.picture import picture_png
    from vault.geometry.threemf import write_3mf
    from vault.geometry.transform import green_shape
    from vault.packages.contents import Originals

    with tempfile.TemporaryDirectory(prefix="partstead-") as scratch:
        folder = Path(scratch)
        files = _originals(reader, revision, settings, folder)
        shape = _shape_to_print(vault, reader, revision, settings, folder)
    scale = (settings.scale.x, settings.scale.y, settings.scale.z)
    green = green_shape(shape, settings.print_orientation, scale)
    metadata = {"Description": f"{revision.part} rev {revision.label}, settings {settings.number}, scaled to print"}
    if settings.invented_for_demo:
        metadata["Description"] = f"{WATERMARK}. {metadata['Description']}"
    name = f"{revision.part} rev {revision.label}"
    green_3mf = write_3mf(on_the_floor(green.shape), name=name, part_number=revision.part, metadata=metadata)
    return Computed(revision.id, settings.id, Originals(files, green_3mf, picture_png(shape)))


def on_the_floor(shape: "Shape") -> "Shape":
    """Return a shape moved so that its lowest corner lies at the origin: a 3MF object lies in the positive octant."""
    return replace(shape, vertices=shape.vertices - shape.vertices.min(axis=0))


def _shape_to_print(vault: Vault, reader: Reader, revision: Revision, settings: Settings, folder: Path) -> "Shape":
    if settings.near_net is None:
        return recorded_shape(vault, reader, revision, folder)
    return vault.shapes.measured(bring_out(reader, settings, settings.near_net.file, folder), None)[0]


_FOLDER_OF = {
    FileRole.DESIGN: "design",
    FileRole.DRAWING: "design",
    FileRole.DOCUMENT: "design",
    FileRole.NEAR_NET: "near-net",
    FileRole.SETTER: "setter",
}


def _originals(reader: Reader, revision: Revision, settings: Settings, folder: Path) -> dict[str, bytes]:
    """Return the originals by their place in the package. Raises Damaged where one is not as recorded."""
    owners: list[tuple[Record, KeptFile]] = [(revision, kept) for kept in revision.files]
    owners += [(settings, kept) for kept in settings.files]
    files: dict[str, bytes] = {}
    for record, kept in owners:
        place = f"{_FOLDER_OF[kept.role]}/{revision.part}-{kept.role}-{kept.sha256[:8]}.{kept.ending}"
        files[place] = bring_out(reader, record, kept, folder).read_bytes()
    if not files:
        raise Damaged(f"{revision.part} rev {revision.label} has no files")
    return files
