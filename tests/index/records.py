"""Records of an invented shop, as an index meets them. Sane defaults, keywords override."""

from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta
from typing import Any

from vault.model import cards, decisions, design, evidence, floor, orders
from vault.model.base import Record
from vault.model.words import Authority, Definition, FileRole, MeasuredIn
from vault.records.codec import encode
from vault.records.paths import path_of

FIRST_DAY = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)


def ulid(number: int) -> str:
    """Return a ULID that differs for every number."""
    return f"01HZZZZZZZ{number:016d}"


def on_day(number: int) -> datetime:
    """Return a moment `number` days after the shop opened."""
    return FIRST_DAY + timedelta(days=number)


def written(records: Iterable[Record]) -> dict[str, bytes]:
    """Return the files of the register that hold these records."""
    return {path_of(record): encode(record) for record in records}


def _common(fields: dict[str, Any], day: int = 0) -> dict[str, Any]:
    return {"by": "mira", "at": on_day(day)} | fields


def a_kept_file(role: FileRole = FileRole.DESIGN, digit: str = "a") -> design.KeptFile:
    """Return an original."""
    return design.KeptFile(name="hinge.stl", role=role, sha256=digit * 64, size_bytes=684, ending="stl")


def a_customer(code: str = "NORTHFELL", name: str = "Northfell Boatworks", **fields: Any) -> cards.Customer:
    """Return a customer."""
    return cards.Customer(**_common({"code": code, "name": name} | fields))


def a_material(card_id: str = "316L", name: str = "austenitic stainless", **fields: Any) -> cards.Material:
    """Return a material."""
    density = {
        "alloy_family": "stainless steel",
        "reference_density_g_cm3": 7.99,
        "reference_density_source": "data sheet",
        "sintered_density_g_cm3": 7.8,
    }
    return cards.Material(**_common({"id": card_id, "name": name} | density | fields))


def a_part(number: str = "BRK-204", **fields: Any) -> cards.Part:
    """Return a part."""
    usual = {
        "number": number,
        "customer": "NORTHFELL",
        "customer_number": "HOL-4417-02",
        "description": "Hinge bracket, left",
        "design_authority": Authority.CUSTOMER,
        "material": "316L",
    }
    return cards.Part(**_common(usual | fields))


def a_revision(number: int, part: str = "BRK-204", label: str = "C", **fields: Any) -> design.Revision:
    """Return a revision."""
    usual = {
        "id": ulid(number),
        "part": part,
        "label": label,
        "follows": None,
        "receipt": None,
        "files": (a_kept_file(),),
        "definition": Definition.MODEL,
        "reason": "first order",
        "unit": "mm",
        "unit_basis": "given by the person",
    }
    return design.Revision(**_common(usual | fields, number))


def an_order(number: int, part: str = "BRK-204", po: str = "4500-778", **fields: Any) -> orders.Order:
    """Return an order."""
    usual = {
        "id": f"O-26A{number:04d}",
        "customer": "NORTHFELL",
        "part": part,
        "revision": ulid(1),
        "po": po,
        "po_line": "10",
        "revision_as_written": "C",
        "quantity": 40,
        "schedule": (orders.CallOff(due=date(2026, 6, 1), quantity=40),),
        "received_on": date(2026, 3, 2),
    }
    return orders.Order(**_common(usual | fields, number))


def a_lot(number: int, part: str = "BRK-204", **fields: Any) -> floor.Lot:
    """Return a lot."""
    usual = {
        "id": f"L-26A{number:04d}",
        "part": part,
        "revision": ulid(1),
        "settings": ulid(2),
        "blends": ("M-26A0001",),
        "count": 42,
        "production_representative": True,
    }
    return floor.Lot(**_common(usual | fields, number))


def a_measurement(number: int, lot: str = "L-26A0001", **fields: Any) -> evidence.Measurement:
    """Return a measurement on a lot."""
    usual = {
        "id": ulid(number),
        "lot": lot,
        "measured_on": date(2026, 4, 1),
        "measured_by": "mira",
        "measured_in": MeasuredIn.FINISHED,
        "gauge": None,
    }
    return evidence.Measurement(**_common(usual | fields, number))


def a_delivery(number: int, order: str = "O-26A0001", lot: str = "L-26A0001", **fields: Any) -> orders.Delivery:
    """Return a delivery."""
    usual = {"id": f"D-26A{number:04d}", "order": order, "lot": lot, "quantity": 40, "shipped_on": date(2026, 5, 28)}
    return orders.Delivery(**_common(usual | fields, number))


def a_return(number: int, delivery: str = "D-26A0001", **fields: Any) -> orders.Return:
    """Return a return."""
    usual = {
        "id": f"T-26A{number:04d}",
        "delivery": delivery,
        "quantity": 2,
        "defect": "bore too tight",
        "arrived_on": date(2026, 6, 9),
        "pieces_came_back": True,
    }
    return orders.Return(**_common(usual | fields, number))


def a_hold(number: int, **target: str) -> decisions.Hold:
    """Return a hold on a part or a lot."""
    return decisions.Hold(
        **_common({"id": ulid(number), "target": decisions.HoldTarget(**target), "reason": "porosity"}, number)
    )


def a_release(number: int, part: str = "BRK-204", revision: str = ulid(1)) -> decisions.Release:
    """Return a release."""
    return decisions.Release(**_common({"id": ulid(number), "part": part, "revision": revision}, number))


def a_blend(number: int = 1, **fields: Any) -> floor.Blend:
    """Return a powder blend."""
    usual = {
        "id": f"M-26A{number:04d}",
        "material": "316L",
        "parents": (floor.BlendPart(supplier_lot="PW-88231", kg=20.0),),
        "made_kg": 20.0,
        "virgin_fraction": 1.0,
        "reuse_count": 0,
    }
    return floor.Blend(**_common(usual | fields, number))


def a_small_shop() -> tuple[Record, ...]:
    """Return one of most things: two parts, their revisions, an order, a lot and what came of it."""
    return (
        a_customer(),
        a_customer("ORRIN", "Orrin Hydraulics"),
        a_material(),
        a_part(other_numbers=("K 9/31",)),
        a_part("VLV-20", customer="ORRIN", customer_number="2044", description="Gehäuse, Ventil", material="17-4PH"),
        a_revision(1, drawing_number="DWG-77120"),
        a_revision(5, label="D"),
        a_revision(6, part="VLV-20", label="4"),
        an_order(1),
        a_lot(1, order="O-26A0001", serials=()),
        a_measurement(10),
        a_delivery(1),
        a_return(1),
        a_hold(11, lot="L-26A0001"),
        a_hold(12, part="BRK-204"),
        a_release(13),
        a_blend(),
    )
