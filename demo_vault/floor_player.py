"""Plays what happens on the floor: powder, boxes, furnace loads, lots, measuring, proving, shipping."""

from datetime import date, timedelta

from demo_vault.player import CUSTOMER_OF, Stage
from demo_vault.scenario import counts, incidents
from demo_vault.scenario.catalogue import part
from demo_vault.scenario.facts import BlendFact, CampaignFact, LotFact, PartFact
from demo_vault.scenario.readings import ReadingFact, readings, weighings
from demo_vault.scenario.recipes import settings_form
from demo_vault.scenario.shop import GAUGES
from vault.actions.blending import NewBlend, PutIn, record_blend
from vault.actions.box_runs import NewRun, finish_run, start_run
from vault.actions.loads import LoadEnd, NewLoad, Place, finish_load, start_load
from vault.actions.lot_counts import Counts, Done, finish_lot, record_operation
from vault.actions.lots import Pieces, start_lot, start_trial_lot
from vault.actions.measuring import HowMeasured, Weighing, measure, understand_table
from vault.actions.proving import NewProof, prove
from vault.actions.reading import Reader
from vault.actions.shipping import NewDelivery, ship
from vault.model.floor import PowderTest
from vault.model.words import MeasuredIn, SealState

_SUPPLIER = "supplier:"
BINDER_KEEPS = timedelta(days=180)
PROVING = "prove-"
"""How the key of a lot begins that is made before any order, to prove settings."""


def record_powder(stage: Stage, fact: BlendFact) -> None:
    """Record a powder blend from older blends and a supplier's lot."""
    parents = tuple(_put_in(stage, name, kg) for name, kg in fact.parents)
    test = PowderTest(tested_on=stage.vault.today, oxygen_ppm=fact.oxygen_ppm, d50_um=fact.d50_um)
    new = NewBlend(fact.material, parents, fact.made_kg, fact.returned_from_run, tests=(test,))
    stage.ids["blend", fact.key] = record_blend(stage.hands("tove"), new).entry.id


def _put_in(stage: Stage, name: str, kg: float) -> PutIn:
    if name.startswith(_SUPPLIER):
        return PutIn(kg, supplier_lot=name.removeprefix(_SUPPLIER))
    return PutIn(kg, blend=stage.ids["blend", name])


def print_campaign(stage: Stage, fact: CampaignFact) -> None:
    """Print a box and start its lots: those of orders from their packages, the others as trials."""
    floor, blend = stage.hands(fact.operator), stage.ids["blend", fact.blend]
    packages = tuple(stage.ids["package", lot.order] for lot in fact.lots if lot.order)
    binder = f"demo binder {fact.printed:%y%m}"
    new = NewRun(fact.machine, fact.box, blend, binder, fact.printed + BINDER_KEEPS, packages)
    run = start_run(floor, new).entry.id
    finish_run(floor, run, went_well=True)
    for lot in fact.lots:
        pieces = Pieces(lot.started, (blend,), (run,))
        if lot.order:
            started = start_lot(floor, stage.ids["package", lot.order], pieces)
        else:
            started = start_trial_lot(floor, lot.part, lot.label, lot.settings, pieces, lot.key.startswith(PROVING))
        stage.ids["lot", lot.key] = started.entry.id


def sinter_campaign(stage: Stage, fact: CampaignFact) -> None:
    """Depowder the lots of a campaign and sinter them in one load."""
    floor = stage.hands(fact.operator)
    for lot in fact.lots:
        _count(stage, lot, "depowdering")
    cycle = settings_form(part(fact.lots[0].part))["sinter"]["name"]
    placed = tuple(Place(stage.ids["lot", lot.key]) for lot in fact.lots)
    kg = sum(lot.started for lot in fact.lots) * 0.011
    load = start_load(floor, NewLoad(fact.furnace, "debind and sinter", cycle, placed, kg, kg * 0.02)).entry.id
    finish_load(floor, load, LoadEnd())
    for lot in fact.lots:
        _count(stage, lot, "debind and sinter", load)


def _count(stage: Stage, lot: LotFact, name: str, load: str | None = None) -> None:
    """Record the counts of one operation, where the story has it."""
    if lot.key.startswith(PROVING):
        numbers = Counts(lot.started, lot.started)
    else:
        counted = next((one for one in counts.operations(lot) if one.operation == name), None)
        if counted is None:
            return
        numbers = _numbers(lot, counted)
    record_operation(stage.hands("tove"), stage.ids["lot", lot.key], name, numbers, Done(load=load))


def _numbers(lot: LotFact, counted: counts.OperationFact) -> Counts:
    """Return the counts as they are typed: pieces of a nonconformance are held until somebody decides about them."""
    reported = {case.words for case in incidents.NONCONFORMANCES if case.lot == lot.key}
    held = sum(count for cause, count in counted.scrapped if cause in reported)
    scrapped = {cause: count for cause, count in counted.scrapped if cause not in reported}
    return Counts(counted.count_in, counted.count_on, scrapped, held=held)


def finish_campaign(stage: Stage, fact: CampaignFact) -> None:
    """Ream, measure, weigh and finish the lots of a campaign, and prove settings where nothing proves them yet."""
    for lot in fact.lots:
        if ("lot", f"{lot.key}/1") in stage.ids:
            _finish_children(stage, lot)
            continue
        _count(stage, lot, "ream")
        _measure(stage, lot)
        _count(stage, lot, "inspection")
        troubles = [case for case in incidents.NONCONFORMANCES if case.lot == lot.key]
        good = lot.started if lot.key.startswith(PROVING) else counts.good(lot)
        finish_lot(stage.hands("tove"), stage.ids["lot", lot.key], good)
        if lot.key.startswith(PROVING) or (
            not troubles and ("proof", f"{lot.part} {lot.label} {lot.settings}") not in stage.ids
        ):
            prove_lot(stage, lot)


def children(stage: Stage, lot: LotFact) -> list[str]:
    """Return the ids of the lots that a lot was split into."""
    return [name for (kind, key), name in stage.ids.items() if kind == "lot" and key.startswith(f"{lot.key}/")]


def _finish_children(stage: Stage, lot: LotFact) -> None:
    """Inspect and finish the children of a split lot: all their pieces are good."""
    for child in children(stage, lot):
        pieces = Reader(stage.vault.store.at(), stage.vault.index).lot(child).lot.count
        record_operation(stage.hands("tove"), child, "inspection", Counts(pieces, pieces), Done())
        finish_lot(stage.hands("tove"), child, pieces)
    stage.ids["lot", lot.key] = children(stage, lot)[0]
    _measure(stage, lot)
    prove_lot(stage, lot)


def _measure(stage: Stage, lot: LotFact) -> None:
    inspector, lot_id = stage.hands("maren"), stage.ids["lot", lot.key]
    taken = readings(lot)
    groups = dict.fromkeys((reading.measured_in, _gauge(stage, reading)) for reading in taken)
    weighed = tuple(
        Weighing(w.piece, w.mass_in_air_g, w.mass_in_water_g, w.water_c, SealState.SEALED) for w in weighings(lot)
    )
    for place, (state, gauge) in enumerate(groups):
        rows = [r for r in taken if (r.measured_in, _gauge(stage, r)) == (state, gauge)]
        table = stage.scratch / f"{lot.key}-{place}.csv"
        table.write_text(_table(rows), encoding="utf-8")
        understood = understand_table(inspector, lot_id, table)
        how = HowMeasured(MeasuredIn(state), gauge)
        measure(inspector, lot_id, understood, how, weighed if place == 0 else (), table)


def _gauge(stage: Stage, reading: ReadingFact) -> str | None:
    """Return the gauge used: the coordinate measuring machine where the usual one is past its calibration."""
    due = next((gauge.due for gauge in GAUGES if gauge.id == reading.gauge), date.max)
    return "CMM-01" if stage.vault.today > due else reading.gauge


def _table(rows: list[ReadingFact]) -> str:
    values = [f"{r.characteristic},{r.piece},{r.value_mm if r.value_mm is not None else 'accept'}" for r in rows]
    return "\n".join(["characteristic,piece,value", *values, ""])


def prove_lot(stage: Stage, lot: LotFact) -> None:
    """Prove the settings of a lot, with the customer's approval where they ask for it."""
    fact = part(lot.part)
    approval = None
    customer = CUSTOMER_OF[fact.customer]
    if customer.first_article_approval == "yes":
        sender = customer.somebody("quality").name
        approval = stage.letter(f"{lot.key}-first-article", sender, "The first article is approved.")
    new = NewProof((stage.ids["lot", lot.key],), customer_approval=approval)
    proof = prove(stage.hands("maren"), lot.part, lot.label, lot.settings, new).entry
    if proof.state == "complete":
        stage.ids["proof", f"{lot.part} {lot.label} {lot.settings}"] = proof.id


def ship_lot(stage: Stage, lot: LotFact, quantity: int) -> None:
    """Ship the good pieces of a lot to its order."""
    assert lot.order is not None  # the story ships only what was ordered
    order, carrier = stage.ids["order", lot.order], f"DEMO-{stage.vault.today:%y%m%d}"
    for lot_id in children(stage, lot) or [stage.ids["lot", lot.key]]:
        good = Reader(stage.vault.store.at(), stage.vault.index).lot(lot_id).left
        new = NewDelivery(order, lot_id, min(quantity, good), carrier_reference=carrier)
        stage.ids["delivery", lot.key] = ship(stage.hands("pim"), new).id
        quantity -= new.quantity


def proving_lot(fact: PartFact, label: str, settings: str, day: date) -> LotFact:
    """Return a lot that is made before any order, as in production, to prove settings on a revision."""
    return LotFact(f"{PROVING}{fact.number}-{label}-{day:%y%m%d}", fact.number, label, 14, settings=settings)
