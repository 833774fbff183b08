"""package.json: everything in a reprint package, in one value that needs no register to be read."""

from typing import ClassVar

from vault.model.base import Line, Record, WireText
from vault.model.cards import Box, Furnace, Machine, Material
from vault.model.decisions import Acceptance, Concession, Permit, Release
from vault.model.design import Requirements, Revision
from vault.model.findings import Finding
from vault.model.orders import Order
from vault.model.packaging import BoxPlan
from vault.model.settings import Settings
from vault.model.shape import MeasuredShape
from vault.model.words import Criticality


class PackageSheet(Record):
    """The contents of `data/package.json`. `by` and `at` say who made the package and when."""

    KIND: ClassVar[str] = "package-sheet"
    package: Line
    register_id: Line
    register_name: Line
    source_commit: Line
    basis: WireText
    valid_until: Line
    watermark: Line | None
    customer_name: Line
    customer_number: Line
    description: Line
    criticality: Criticality
    order: Order
    quantity_to_start: int
    revision: Revision
    measured: MeasuredShape
    mass_g: float
    release: Release
    acceptance: Acceptance | None
    requirements: Requirements | None
    settings: Settings
    material: Material
    machine: Machine
    box: Box
    furnaces: tuple[Furnace, ...]
    plan: BoxPlan
    findings: tuple[Finding, ...]
    concessions: tuple[Concession, ...]
    permits: tuple[Permit, ...]
    versions: dict[str, WireText]
