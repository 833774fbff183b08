"""All that a person wants to know about one thing, on one page."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from vault.actions.context import Vault
from vault.actions.finding import resolve_part, resolve_revision
from vault.actions.identifying import identify
from vault.actions.places import Places
from vault.actions.reading import Reader
from vault.actions.upstream import holds_over_lot
from vault.model.base import Record
from vault.model.cards import Customer, Part
from vault.model.design import Revision
from vault.model.floor import Lot
from vault.model.ids import Thing
from vault.model.orders import Delivery, Order
from vault.model.packaging import Package
from vault.model.settings import Settings
from vault.records.paths import folder_of_id, path_of
from vault.rules.history import PartHistory, in_order
from vault.rules.naming import line_of
from vault.rules.proofs import cover_of
from vault.rules.revision_facts import RevisionFacts, revision_facts


@dataclass(frozen=True)
class SettingsFacts:
    """Settings of a part, and what they were proven on."""

    number: str
    made_for: str
    machine: str
    reason: str
    proofs: tuple[str, ...]
    covers: str | None  # how far a proof covers the revision to print: "carries", "delta proof" ...


@dataclass(frozen=True)
class Line:
    """One thing that belongs to what is shown: the id to type, and what it is."""

    id: str
    words: str


@dataclass(frozen=True)
class PartSheet:
    """A part on one page; revisions newest first. `shown` is the revision asked for, where one was."""

    card: Part
    customer: Customer
    stage: str
    stage_since: date | None
    to_print: str | None  # label of the newest revision that is released and accepted
    newest: str | None
    revisions: tuple[RevisionFacts, ...]
    shown: RevisionFacts | None
    unsettled_labels: tuple[str, ...]
    settings: tuple[SettingsFacts, ...]
    orders: tuple[Line, ...]
    lots: tuple[Line, ...]
    live_packages: tuple[Line, ...]
    delivered: int
    holds: tuple[str, ...]
    permissions: tuple[str, ...]


@dataclass(frozen=True)
class Section:
    """A heading and the lines under it."""

    heading: str
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class Sheet:
    """Anything but a part on one page: the record itself, and what is recorded under it and about it."""

    thing: str
    id: str
    title: str
    record: Record
    sections: tuple[Section, ...]
    holds: tuple[str, ...]


def show_part(vault: Vault, part: str, revision: str | None = None) -> PartSheet:
    """Return a part on one page, with one of its revisions singled out where a label is given.

    Raises:
        NotFound: There is no such part or revision; the sentence lists what there is.
        Clash: The label stands on several files.
    """
    reader = Reader(vault.store.at(), vault.index)
    history = reader.part(resolve_part(vault, reader, part))
    asked = resolve_revision(history, revision) if revision is not None else None
    return _sheet(reader, history, asked)


def _sheet(reader: Reader, history: PartHistory, asked: Revision | None) -> PartSheet:
    number, labels = history.card.number, _labels(history)
    orders = reader.referring(Thing.PART, number, Order)
    packages = reader.referring(Thing.PART, number, Package)
    sent = [delivery for order in orders for delivery in reader.referring(Thing.ORDER, order.id, Delivery)]
    return PartSheet(
        card=history.card,
        customer=reader.customer(history.card.customer),
        stage=history.stage,
        stage_since=history.moves[-1].at.date() if history.moves else None,
        to_print=history.printable.label if history.printable else None,
        newest=history.newest.label if history.newest else None,
        revisions=tuple(revision_facts(history, revision) for revision in reversed(history.revisions)),
        shown=revision_facts(history, asked) if asked else None,
        unsettled_labels=history.unsettled_labels(),
        settings=tuple(_settings(reader, history, settings) for settings in history.settings),
        orders=_lines(orders, labels),
        lots=_lines(reader.referring(Thing.PART, number, Lot), labels),
        live_packages=_lines((p for p in packages if reader.package(p.id).is_live), labels),
        delivered=sum(delivery.quantity for delivery in sent),
        holds=tuple(_hold_words(history, labels)),
        permissions=tuple(line_of(granted, labels) for granted in (*history.concessions, *history.permits)),
    )


def _labels(history: PartHistory) -> Mapping[str, str]:
    labels = {str(revision.id): str(revision.label) for revision in history.revisions}
    return labels | {str(settings.id): str(settings.number) for settings in history.settings}


def _lines(records: Iterable[Record], labels: Mapping[str, str]) -> tuple[Line, ...]:
    """Return one line each, newest first."""
    return tuple(
        Line(str(getattr(record, "id", "")), line_of(record, labels)) for record in reversed(in_order(records))
    )


def _hold_words(history: PartHistory, labels: Mapping[str, str]) -> list[str]:
    lifted = {lift.hold for lift in history.lifts}
    return [line_of(hold, labels) for hold in history.holds if hold.id not in lifted]


def _settings(reader: Reader, history: PartHistory, settings: Settings) -> SettingsFacts:
    printable = history.printable or history.newest
    cover = cover_of(history, settings, printable.id, reader.policy().carry) if printable else None
    proofs = [proof for proof in history.proofs if proof.settings == settings.id]
    return SettingsFacts(
        number=settings.number,
        made_for=history.label_of(settings.made_for),
        machine=settings.machine,
        reason=settings.reason,
        proofs=tuple(f"proven on rev {history.label_of(p.revision)}, {', '.join(p.lots)}, {p.state}" for p in proofs),
        covers=cover.verdict if cover else None,
    )


def show_anything(vault: Vault, what: str) -> PartSheet | Sheet:
    """Return whatever has this id, code, or number on one page; PART@REVISION singles a revision out.

    Raises:
        NotFound: Nothing is called so, or several things are.
        Clash: The label stands on several files.
    """
    reader = Reader(vault.store.at(), vault.index)
    found = identify(vault, reader, what)
    if isinstance(found.record, Part | Revision):
        number = found.record.number if isinstance(found.record, Part) else found.record.part
        return _sheet(reader, reader.part(number), found.record if isinstance(found.record, Revision) else None)
    places = Places(reader.snapshot)
    title = line_of(found.record, places.labels(path_of(found.record)))
    sections = tuple(section for section in _sections(reader, places, found.thing, found.name) if section.lines)
    return Sheet(found.thing, found.name, title, found.record, sections, _holds(reader, found.thing, found.name))


_ABOUT: Mapping[Thing, tuple[tuple[str, str], ...]] = {
    Thing.CUSTOMER: (("parts", "part"), ("orders", "order")),
    Thing.ORDER: (("reprint packages", "package"), ("lots", "lot"), ("deliveries", "delivery")),
    Thing.LOT: (("deliveries", "delivery"), ("nonconformances", "nonconformance"), ("went on in", "lot")),
    Thing.PACKAGE: (("box runs", "box-run"), ("lots", "lot")),
    Thing.BOX_RUN: (("lots", "lot"),),
    Thing.BLEND: (("went into", "blend"), ("box runs", "box-run"), ("lots", "lot")),
    Thing.DELIVERY: (("returns", "return"), ("notices of escape", "escape")),
    Thing.MACHINE: (("box runs", "box-run"), ("events", "equipment-event")),
    Thing.FURNACE: (("furnace loads", "load"), ("events", "equipment-event")),
    Thing.GAUGE: (("measurements", "measurement"), ("events", "equipment-event")),
    Thing.MATERIAL: (("parts", "part"), ("powder blends", "blend")),
}
"""What is listed about a thing: heading and kind of the records that point at it."""


def _sections(reader: Reader, places: Places, thing: Thing, name: str) -> Iterable[Section]:
    if thing in {Thing.ORDER, Thing.LOT, Thing.BOX_RUN, Thing.LOAD, Thing.PACKAGE, Thing.NONCONFORMANCE}:
        folder = folder_of_id(name)
        under = [*reader.below(f"{folder}/entries"), *reader.below(f"{folder}/measurements")]
        yield Section("recorded under it", _placed_lines(places, reversed(in_order(under))))
    for heading, kind in _ABOUT.get(thing, ()):
        about = [record for record in reader.referring(thing, name, Record) if kind == record.KIND]
        yield Section(heading, _placed_lines(places, reversed(about)))


def _placed_lines(places: Places, records: Iterable[Record]) -> tuple[Line, ...]:
    lines = ((record, line_of(record, places.labels(path_of(record)))) for record in records)
    return tuple(Line(str(getattr(record, "id", "")), words) for record, words in lines)


def _holds(reader: Reader, thing: Thing, name: str) -> tuple[str, ...]:
    """Return the standing holds on a thing; those on what it was made of too, where it is a lot."""
    if thing is Thing.LOT:
        return tuple(f"{what} since {hold.at:%Y-%m-%d}: {hold.reason}" for what, hold in holds_over_lot(reader, name))
    if thing in {Thing.BLEND, Thing.LOAD, Thing.BOX_RUN}:
        return tuple(f"since {hold.at:%Y-%m-%d}: {hold.reason}" for hold in reader.standing_holds_of(name))
    return ()
