"""Fields that must fit each other, so that no value of them can be chosen alone; for `tests.filling`."""

from collections.abc import Callable, Mapping
from typing import Any

from tests.filling import Leaves, filled
from vault.model import decisions, design, evidence, floor, orders
from vault.model import settings as making
from vault.model.base import Value
from vault.model.ids import Thing
from vault.model.orientation import Orientation, right_angled
from vault.model.words import Answer, Disposition, FileRole

Fields = Mapping[str, Any]

ULID = r"^[0-7][0-9A-HJKMNP-TV-Z]{25}$"


def _file(leaves: Leaves, role: FileRole) -> design.KeptFile:
    kept = filled(design.KeptFile, leaves)
    return kept.model_copy(update={"role": role})


def _revision(leaves: Leaves) -> Fields:
    files = (_file(leaves, FileRole.DESIGN), _file(leaves, FileRole.DRAWING))
    own = leaves.reference("Revision.id", Thing.REVISION, ULID)
    before = leaves.reference("Revision.follows", Thing.REVISION, ULID)
    return {"id": own, "follows": before if before != own else None, "files": files}


def _characteristic(leaves: Leaves) -> Fields:
    low = leaves.number("Characteristic.lower", float, 1.0, 400.0)
    high = leaves.number("Characteristic.upper", float, 500.0, 900.0)
    return {"form": "variable", "unit": "mm", "lower": low, "upper": high}


def _order(leaves: Leaves) -> Fields:
    quantity = leaves.number("Order.quantity", int, 1, 10_000_000)
    call_off = orders.CallOff(due=leaves.day("CallOff.due"), quantity=quantity)
    return {"quantity": quantity, "schedule": (call_off,)}


def _blend(leaves: Leaves) -> Fields:
    parents = (filled(floor.BlendPart, leaves),)
    return {"parents": parents, "made_kg": parents[0].kg}


def _density(leaves: Leaves) -> Fields:
    return {
        "mass_in_water_g": leaves.number("DensityReading.mass_in_water_g", float, 1.0, 400.0),
        "mass_in_air_g": leaves.number("DensityReading.mass_in_air_g", float, 500.0, 900.0),
    }


FITTING: Mapping[type[Value], Callable[[Leaves], Fields]] = {
    Orientation: lambda leaves: {"rows": leaves.choice("Orientation.rows", [turn.rows for turn in right_angled()])},
    design.Revision: _revision,
    design.Characteristic: _characteristic,
    design.Requirements: lambda leaves: {"characteristics": (filled(design.Characteristic, leaves),)},
    decisions.HoldTarget: lambda _: {"lot": None, "blend": None, "load": None, "box_run": None, "part": "BRK-204"},
    decisions.Permission: lambda leaves: {"quantity": leaves.number("Permission.quantity", int, 1, 10_000_000)},
    making.NearNet: lambda leaves: {
        "file": _file(leaves, FileRole.NEAR_NET),
        "stock": (filled(making.Stock, leaves),),
        "holds_machining_stock": Answer.YES,
    },
    making.Settings: lambda leaves: {"operations": (filled(making.Operation, leaves),)},
    making.Inspect: lambda leaves: {
        "how_many": "sample",
        "sample": leaves.number("Inspect.sample", int, 1, 10_000_000),
    },
    floor.BlendPart: lambda leaves: {"blend": None, "supplier_lot": leaves.text("BlendPart.supplier_lot", None, 80)},
    floor.Blend: _blend,
    floor.Lot: lambda leaves: {"count": 1, "serials": (leaves.text("Lot.serials", None, 80),)},
    floor.EquipmentEvent: lambda _: {"machine": "PRN-1", "furnace": None, "gauge": None},
    orders.Order: _order,
    evidence.Reading: lambda leaves: {"value": leaves.number("Reading.value", float, None, None), "accepted": None},
    evidence.DensityReading: _density,
    evidence.FirstArticle: lambda leaves: {
        "baseline": leaves.reference("FirstArticle.baseline", Thing.ENTRY, ULID),
        "reason": leaves.text("FirstArticle.reason", None, 80),
        "affected": (leaves.text("FirstArticle.affected", None, 80),),
    },
    evidence.DispositionEntry: lambda leaves: {
        "decision": Disposition.USE_AS_IS,
        "concession": leaves.reference("DispositionEntry.concession", Thing.ENTRY, ULID),
    },
}
"""A value's class -> the fields of it that hang together."""


def fitting(model: type[Value], leaves: Leaves) -> Fields:
    """Return the fields of a model that hang together; none for most models."""
    make = FITTING.get(model)
    return make(leaves) if make is not None else {}
