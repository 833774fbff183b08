"""What happens on the floor, what it proves, and what the customer ordered: values with sane defaults."""

from datetime import date, timedelta
from typing import Any

from tests.builders import CUSTOMER, FURNACE, GAUGE, MACHINE, MATERIAL, PART, made, some_evidence, ulid
from tests.fakes import MORNING
from vault.model.decisions import Hold, HoldTarget
from vault.model.evidence import DensityReading, FirstArticle, Judged, Measurement, Nonconformance, Proof, Reading
from vault.model.floor import BinderLot, Blend, BlendPart, BoxRun, FurnaceLoad, Lot, LotOperation, Placed
from vault.model.orders import CallOff, ContractReview, Delivery, Order
from vault.model.packaging import BoxPlan, Package, PayloadFile
from vault.model.words import ArticleState, MeasuredIn, SealState

ORDER = "O-26A0001"
PACKAGE = "R-26A0001"
BLEND = "M-26A0001"
BOX_RUN = "K-26A0001"
LOAD = "F-26A0001"
LOT = "L-26A0001"


def from_supplier(kg: float = 50.0, supplier_lot: str = "SL-5501") -> BlendPart:
    return BlendPart(supplier_lot=supplier_lot, kg=kg)


def from_blend(blend: str, kg: float) -> BlendPart:
    return BlendPart(blend=blend, kg=kg)


def a_blend(blend_id: str = BLEND, *parents: BlendPart, **given: Any) -> Blend:
    parents = parents or (from_supplier(),)
    made_kg = 0.8 * sum(parent.kg for parent in parents)
    return made(
        Blend, given, id=blend_id, material=MATERIAL, parents=parents, made_kg=made_kg, virgin_fraction=1.0,
        reuse_count=0, by="cleo",
    )  # fmt: skip


def a_box_run(run_id: str = BOX_RUN, **given: Any) -> BoxRun:
    binder = BinderLot(lot="BL-77", expires=date(2026, 12, 1))
    return made(
        BoxRun, given, id=run_id, machine=MACHINE, box="BOX-S", material=MATERIAL, blend=BLEND, binder=binder,
        started_at=MORNING, operator="cleo", by="cleo",
    )  # fmt: skip


def a_load(load_id: str = LOAD, *lots: str, **given: Any) -> FurnaceLoad:
    placed = tuple(Placed(lot=lot, count=30) for lot in lots or (LOT,))
    return made(
        FurnaceLoad, given, id=load_id, furnace=FURNACE, heat="sinter", cycle_name="sinter A", material=MATERIAL,
        started_at=MORNING, operator="cleo", placed=placed, metal_kg=5.0, by="cleo",
    )  # fmt: skip


def a_lot(lot_id: str = LOT, **given: Any) -> Lot:
    return made(
        Lot, given, id=lot_id, part=PART, revision=ulid("rev C"), settings=ulid("settings S1"), blends=(BLEND,),
        box_runs=(BOX_RUN,), count=30, production_representative=True, by="cleo",
    )  # fmt: skip


def an_operation(lot: str = LOT, operation: str = "sinter", **given: Any) -> LotOperation:
    return made(
        LotOperation, given, id=ulid(f"{operation} of {lot}"), lot=lot, operation=operation, done_on=date(2026, 3, 2),
        count_in=30, count_on=30, by="cleo",
    )  # fmt: skip


def a_hold(target: HoldTarget | None = None, **given: Any) -> Hold:
    return made(
        Hold, given, id=ulid(f"hold on {target}"), target=target or HoldTarget(lot=LOT),
        reason="Chart shows a cold spot", by="quin",
    )  # fmt: skip


# ---- evidence


def some_readings(characteristic: str, *values: float, start: int = 1) -> tuple[Reading, ...]:
    return tuple(
        Reading(characteristic=characteristic, piece=str(piece), value=value)
        for piece, value in enumerate(values, start=start)
    )


def some_verdicts(characteristic: str, *accepted: bool) -> tuple[Reading, ...]:
    return tuple(
        Reading(characteristic=characteristic, piece=str(piece), accepted=each)
        for piece, each in enumerate(accepted, start=1)
    )


def a_density(density_g_cm3: float = 7.65, piece: str = "1", pores: SealState = SealState.SEALED) -> DensityReading:
    return DensityReading(
        piece=piece, mass_in_air_g=25.0, mass_in_water_g=21.75, water_c=22.0, pores=pores, density_g_cm3=density_g_cm3
    )


def a_measurement(lot: str = LOT, *readings: Reading, **given: Any) -> Measurement:
    usual = (*some_readings("1", 29.98, 30.0, 30.02), *some_verdicts("2", True, True, True))
    return made(
        Measurement, given, id=ulid(f"measurement of {lot} {len(readings)}"), lot=lot, measured_on=date(2026, 3, 2),
        measured_by="quin", measured_in=MeasuredIn.FINISHED, gauge=GAUGE, readings=readings or usual, by="quin",
    )  # fmt: skip


def a_proof(**given: Any) -> Proof:
    judged = (
        Judged(
            characteristic="1", key=True, readings=3, lowest=29.98, highest=30.02, mean=30.0, outside=0, passes=True
        ),
        Judged(characteristic="2", key=False, readings=3, outside=0, passes=True),
    )
    return made(
        Proof, given, id=ulid("proof"), part=PART, revision=ulid("rev C"), settings=ulid("settings S1"),
        requirements=ulid("requirements"), lots=(LOT,), loads=(LOAD,), measurements=(ulid(f"measurement of {LOT} 0"),),
        first_article=FirstArticle(extent="full"), production_representative=True, judged=judged,
        relative_density=0.98, density_passes=True, state=ArticleState.COMPLETE, site="Hall 1", machine_firmware="4.1",
        print_preparation="prep 2.0", last_operation_on=date(2026, 3, 2), by="quin",
    )  # fmt: skip


def a_nonconformance(found_id: str = "N-26A0001", **given: Any) -> Nonconformance:
    return made(
        Nonconformance, given, id=found_id, part=PART, lot=LOT, count=3, characteristic="1", found_at="inspection",
        found_by="quin", words="Length too big", by="quin",
    )  # fmt: skip


# ---- orders and packages


def an_order(order_id: str = ORDER, **given: Any) -> Order:
    quantity = given.get("quantity", 28)
    return made(
        Order, given, id=order_id, customer=CUSTOMER, part=PART, revision=ulid("rev C"), po="PO-9001", po_line="10",
        revision_as_written="C", quantity=quantity, schedule=(CallOff(due=date(2026, 4, 1), quantity=quantity),),
        received_on=date(2026, 3, 1), document=some_evidence("po.pdf"), by="cleo",
    )  # fmt: skip


def a_review(order: str = ORDER, **given: Any) -> ContractReview:
    return made(
        ContractReview, given, id=ulid(f"review of {order}"), order=order, reviewed_by="cleo", revision_agrees=True,
        quote_agrees="no quote was made", capacity_agrees=True, by="cleo",
    )  # fmt: skip


def a_delivery(delivery_id: str = "D-26A0001", **given: Any) -> Delivery:
    return made(
        Delivery, given, id=delivery_id, order=ORDER, lot=LOT, quantity=28, shipped_on=date(2026, 3, 20), by="cleo"
    )


def a_package(package_id: str = PACKAGE, **given: Any) -> Package:
    plan = BoxPlan(
        box="BOX-S", method="grid of one part", per_box=48, boxes=1, layers=1220, box_min=420.0,
        green_size_mm=(36.3, 24.0, 12.2), grid=(4, 2, 6),
    )  # fmt: skip
    payload = (PayloadFile(path="data/traveler.pdf", sha256="c" * 64, size_bytes=1000),)
    return made(
        Package, given, id=package_id, order=ORDER, part=PART, revision=ulid("rev C"), settings=ulid("settings S1"),
        source_commit="d" * 40, quantity_to_start=30, quantity_to_deliver=28, basis="common practice, no lots yet",
        valid_until=(MORNING + timedelta(days=30)).date(), plan=plan, findings=(), versions={"partstead": "0.1.0"},
        payload=payload, zip_sha256="e" * 64, zip_bytes=12000, by="cleo",
    )  # fmt: skip
