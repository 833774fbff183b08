"""The list of everything that the register can hold."""

from vault.errors import BadInput
from vault.model import cards, decisions, design, evidence, floor, leaving, orders, packaging
from vault.model import settings as making
from vault.model.base import Record
from vault.model.package_sheet import PackageSheet

ALL: tuple[type[Record], ...] = (
    cards.RegisterCard, cards.WriterCard, cards.Person, cards.Customer, cards.Part, cards.Machine, cards.Material,
    cards.Box, cards.Furnace, cards.Gauge, cards.Rates, cards.Policy,
    design.Receipt, design.Revision, design.MeasuredRevision, design.ChangedRevision, design.Requirements,
    decisions.LabelAnswer, decisions.Release, decisions.Acceptance, decisions.Withdrawal, decisions.Hold,
    decisions.Lift, decisions.StageMove, decisions.CarryOver, decisions.Concession, decisions.Permit,
    making.Settings,
    floor.Blend, floor.BoxRun, floor.BoxRunFinish, floor.FurnaceLoad, floor.LoadFinish, floor.Lot, floor.LotSplit,
    floor.LotMerge, floor.LotOperation, floor.LotFinish, floor.Surplus, floor.EquipmentEvent,
    evidence.Measurement, evidence.Proof, evidence.Nonconformance, evidence.DispositionEntry, evidence.EscapeNotice,
    orders.Order, orders.OrderAmendment, orders.ContractReview, orders.OrderVoid, orders.Delivery, orders.Return,
    packaging.Package, packaging.PackageSuperseded, packaging.PaperRecovered,
    leaving.ExportLog,
)  # fmt: skip

BY_KIND: dict[str, type[Record]] = {record.KIND: record for record in ALL}


PUBLISHED: dict[str, type[Record]] = {**BY_KIND, PackageSheet.KIND: PackageSheet}
"""Every form whose schema is published: the records, and the sheet inside a reprint package."""


def class_of(kind: str) -> type[Record]:
    """Return the model of a published kind. Raises BadInput where there is none."""
    if kind not in PUBLISHED:
        raise BadInput(f"there is no kind of record called {kind!r}; `partstead schema` lists them")
    return PUBLISHED[kind]
