"""Everything that readiness is judged on, gathered before and handed in as plain values."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime

from vault.model.cards import Box, Gauge, Machine, Material, Policy
from vault.model.decisions import Hold
from vault.model.design import Revision
from vault.model.evidence import Nonconformance
from vault.model.floor import EquipmentEvent
from vault.model.orders import ContractReview
from vault.model.settings import Settings
from vault.rules.history import PartHistory
from vault.rules.labels import WrittenLabel


@dataclass(frozen=True)
class PoFacts:
    """What the customer's PO says, where the question is about an order."""

    written: WrittenLabel
    dash_confirmed: bool = False
    older_revision_document: bool = False
    first_due: date | None = None


@dataclass(frozen=True)
class OrderFacts:
    """How far an order has come, where it is recorded already."""

    order_id: str
    revision: str | None = None
    review: ContractReview | None = None
    amended_at: datetime | None = None
    clauses: tuple[str, ...] = ()
    is_void: bool = False
    live_packages: tuple[str, ...] = ()


@dataclass(frozen=True)
class KeptPieces:
    """Surplus pieces of an earlier lot, kept with revision and place."""

    lot: str
    revision: str
    settings: str
    count: int
    where: str


@dataclass(frozen=True)
class Facts:
    """A part, the revision asked for, and all that bears on making it today."""

    history: PartHistory
    policy: Policy
    today: date
    asked: Revision | None
    asked_label: str | None = None
    quantity: int | None = None
    po: PoFacts | None = None
    order: OrderFacts | None = None
    settings: Settings | None = None
    material: Material | None = None
    machine: Machine | None = None
    boxes: tuple[Box, ...] = ()
    gauges: Mapping[str, Gauge] = field(default_factory=dict)
    events: tuple[EquipmentEvent, ...] = ()
    missing_files: tuple[str, ...] = ()
    upstream_holds: tuple[tuple[str, Hold], ...] = ()
    open_nonconformances: tuple[Nonconformance, ...] = ()
    last_made_on: date | None = None
    permission_used: Mapping[str, int] = field(default_factory=dict)
    acceptance_used: int = 0
    acceptance_lots: int = 0
    kept: tuple[KeptPieces, ...] = ()
