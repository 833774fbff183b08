"""The story in order: every event of the scenario with its day, sorted as it happened."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from functools import partial

from demo_vault import chosen, floor_player, office_player, player
from demo_vault.player import Event
from demo_vault.scenario import campaigns, counts, incidents, powder, shop
from demo_vault.scenario.catalogue import PARTS, part
from demo_vault.scenario.facts import CampaignFact, LotFact, PartFact
from vault.actions.equipment import NewEvent, record_event
from vault.model.words import ServiceEffect

# What happens on one day happens in this order.
_CARD, _POWDER, _SERVICE, _REVISION, _RELEASE, _ACCEPT, _RETURN, _STAGE, _ORDER, _PACKAGE = range(10)
_PRINT, _SINTER, _FINISH, _TROUBLE, _CONCESSION, _SPLIT, _SHIP, _LAST = range(10, 18)

_LAPSE = timedelta(days=700)
_BEFORE_ORDER = timedelta(days=12)


@dataclass(frozen=True)
class Told:
    """One event: its day, its place within the day, what it is called, and what it does."""

    day: date
    rank: int
    words: str
    event: Event


def story() -> list[Told]:
    """Return every event, oldest first."""
    told = [*_parts(), *_powder(), *_orders(), *_campaigns(chosen.told_campaigns()), *_incidents()]
    told += _campaigns(tuple(proving_campaigns()))
    return sorted(told, key=lambda one: (one.day, one.rank))


def _parts() -> Iterator[Told]:
    for fact in PARTS:
        first = chosen.told_revisions(fact)[0].on
        yield Told(first, _CARD, fact.number, partial(player.add_part, fact=fact))
        for revision in chosen.told_revisions(fact):
            name = f"{fact.number} rev {revision.label}"
            yield Told(revision.on, _REVISION, name, partial(player.record_revision, fact=fact, revision=revision))
            if revision.released:
                event = partial(player.release_revision, fact=fact, revision=revision)
                yield Told(revision.released, _RELEASE, name, event)
            if revision.accepted:
                event = partial(player.accept_revision, fact=fact, revision=revision)
                yield Told(revision.accepted, _ACCEPT, name, event)
        for to, day, why in chosen.told_moves(fact):
            event = partial(office_player.move, number=fact.number, to=to, why=why)
            yield Told(day, _LAST, f"{fact.number} to {to}", event)


def _powder() -> Iterator[Told]:
    for fact in powder.BLENDS:
        yield Told(fact.made, _POWDER, fact.key, partial(floor_player.record_powder, fact=fact))
    for gauge in shop.GAUGES:
        for done, due in gauge.calibrations[1:]:
            event = partial(player.calibrate, gauge=gauge, done=done, due=due)
            yield Told(done, _SERVICE, f"{gauge.id} calibrated", event)
    for service in shop.SERVICES:
        new = NewEvent(
            service.equipment, service.what, ServiceEffect(service.effect), new_material=service.new_material
        )
        yield Told(service.on, _SERVICE, service.what, partial(_serve, new=new))


def _serve(stage: player.Stage, new: NewEvent) -> None:
    record_event(stage.hands("hesper"), new)


def _orders() -> Iterator[Told]:
    printed = {lot.order: fact.printed for fact in chosen.told_campaigns() for lot in fact.lots if lot.order}
    withdrawn = {one.order: one for one in incidents.SUPERSEDED_PACKAGES}
    for fact in chosen.told_orders():
        yield Told(fact.received, _ORDER, fact.po, partial(office_player.take_order, fact=fact))
        if fact.key in printed:
            day = max(fact.received, printed[fact.key] - timedelta(days=1))
            yield Told(day, _PACKAGE, fact.po, partial(office_player.make_package, order=fact.key))
        elif fact.key in withdrawn:
            day = withdrawn[fact.key].issued
            yield Told(day, _PACKAGE, fact.po, partial(office_player.make_package, order=fact.key))
        else:
            day = max(fact.received, shop.TODAY - timedelta(days=1))
            yield Told(day, _PACKAGE, fact.po, partial(office_player.make_package_if_ready, order=fact.key))


def _campaigns(facts: tuple[CampaignFact, ...]) -> Iterator[Told]:
    for fact in facts:
        steps = (
            (fact.printed, _PRINT, floor_player.print_campaign),
            (fact.printed + campaigns.SINTERED_AFTER, _SINTER, floor_player.sinter_campaign),
            (fact.printed + campaigns.MEASURED_AFTER, _FINISH, floor_player.finish_campaign),
        )
        for day, rank, step in steps:
            if day <= shop.TODAY:
                yield Told(day, rank, fact.key, partial(step, fact=fact))
        for lot in fact.lots:
            yield from _shipment(lot)


def _shipment(lot: LotFact) -> Iterator[Told]:
    shipped = counts.shipped(lot) if lot.order else None
    if shipped is not None:
        day, quantity = shipped
        yield Told(day, _SHIP, lot.key, partial(floor_player.ship_lot, lot=lot, quantity=quantity))


def _incidents() -> Iterator[Told]:
    for hold in incidents.HOLDS:
        yield Told(hold.on, _TROUBLE, hold.reason, partial(office_player.put_on_hold, fact=hold))
    for back in incidents.WITHDRAWALS:
        yield Told(back.on, _TROUBLE, back.reason, partial(office_player.take_acceptance_back, fact=back))
    for file in incidents.SECOND_FILES:
        yield Told(file.on, _TROUBLE, file.covering_note, partial(office_player.second_file, fact=file))
    for package in incidents.SUPERSEDED_PACKAGES:
        yield Told(package.superseded, _TROUBLE, package.reason, partial(office_player.void_package, fact=package))
    for case in incidents.NONCONFORMANCES:
        yield Told(case.on, _TROUBLE, case.words, partial(office_player.find_nonconformance, fact=case))
        if case.granted_on:
            yield Told(case.granted_on, _CONCESSION, case.words, partial(office_player.grant_concession, fact=case))
    for split in incidents.SPLITS:
        lot = campaigns.lot_called(split.lot)
        yield Told(split.on, _SPLIT, split.reason, partial(office_player.split, fact=split, pieces=_sintered(lot)))
    for back_again in incidents.RETURNS:
        yield Told(back_again.on, _TROUBLE, back_again.defect, partial(office_player.come_back, fact=back_again))


def _sintered(lot: LotFact) -> int:
    """Return the pieces of a lot that came out of the furnace."""
    return next(one.count_on for one in counts.operations(lot) if one.operation == "debind and sinter")


def proving_campaigns() -> Iterator[CampaignFact]:
    """Yield the boxes that are printed before an order, to prove settings that no lot proves for its revision yet.

    From ramp on, a revision is proven before it is ordered, and again where equipment was changed since.
    """
    proven: dict[tuple[str, str, str], date] = {}
    for fact in chosen.told_campaigns():
        for lot in (lot for lot in fact.lots if lot.order):
            of, measured = part(lot.part), fact.printed + campaigns.MEASURED_AFTER
            key = (lot.part, lot.label, lot.settings)
            start = fact.printed - _BEFORE_ORDER
            if chosen.stage_on(of, fact.printed) != "prototype" and not _still_proven(proven.get(key), fact):
                yield _proving(fact, of, lot, start)
                proven[key] = start + campaigns.MEASURED_AFTER
            proven.setdefault(key, measured)


def _still_proven(since: date | None, fact: CampaignFact) -> bool:
    if since is None or fact.printed - since > _LAPSE:
        return False
    changed = [s for s in shop.SERVICES if s.effect == "affects quality" and since < s.on < fact.printed]
    return not any(service.equipment in {fact.machine, fact.furnace} for service in changed)


def _proving(fact: CampaignFact, of: PartFact, lot: LotFact, start: date) -> CampaignFact:
    blends = [blend for blend in powder.BLENDS if blend.material == fact.material and blend.made <= start]
    proving = floor_player.proving_lot(of, lot.label, lot.settings, start)
    key = f"{start:%Y%m%d}-{lot.part}"
    return CampaignFact(key, start, fact.machine, fact.box, fact.furnace, blends[-1].key, "tove", (proving,))
