"""Gathering everything that readiness is judged on, from the records of one commit, and judging it."""

import hashlib
from dataclasses import dataclass
from datetime import date

from vault.actions.acceptance_use import acceptance_use
from vault.actions.context import Vault
from vault.actions.finding import resolve_part
from vault.actions.reading import OrderHistory, Reader
from vault.actions.settings import settings_called
from vault.actions.upstream import holds_over_lot
from vault.errors import NotFound
from vault.interfaces import CommitId
from vault.model.base import Record
from vault.model.cards import Box, Gauge
from vault.model.decisions import Hold
from vault.model.design import KeptFile, Revision
from vault.model.evidence import Nonconformance, Proof
from vault.model.floor import Lot
from vault.model.ids import Thing
from vault.model.orders import Order
from vault.model.packaging import Package
from vault.model.settings import Settings
from vault.records.paths import file_path
from vault.rules.facts import Facts, KeptPieces, OrderFacts, PoFacts
from vault.rules.history import PartHistory
from vault.rules.labels import read_po_label
from vault.rules.lots import LotHistory
from vault.rules.permits import concession_used, permit_used
from vault.rules.proofs import choose_settings, cover_of
from vault.rules.readiness import Readiness, judge_readiness


@dataclass(frozen=True)
class Question:
    """What is asked: a part, perhaps a revision, settings (number or ULID) and a quantity, perhaps as a PO says it."""

    part: str
    label: str | None = None
    quantity: int | None = None
    settings: str | None = None
    po: PoFacts | None = None
    order: str | None = None


@dataclass(frozen=True)
class Answered:
    """The verdict, by the records of one commit on one day; not a release of parts."""

    facts: Facts
    readiness: Readiness
    commit: CommitId
    on: date

    @property
    def basis(self) -> str:
        """The sentence that goes with every verdict."""
        return f"{self.readiness.verdict} by the records of {self.on}, {self.commit[:12]}; not a release of parts"


def ready(vault: Vault, question: Question) -> Answered:
    """Judge whether a part may be made again today. Raises NotFound where the part is not recorded."""
    return answer(vault, Reader(vault.store.at(), vault.index), question)


def answer(vault: Vault, reader: Reader, question: Question) -> Answered:
    """Judge a question on one snapshot. Raises NotFound."""
    facts = gather(vault, reader, question)
    return Answered(facts, judge_readiness(facts), reader.snapshot.commit, vault.today)


def question_of(order: Order, history: PartHistory) -> Question:
    """Return the question that a recorded order asks."""
    revision = history.revision(order.revision) if order.revision else None
    written = read_po_label(order.revision_as_written)
    po = PoFacts(
        written, order.dash_confirmed_by is not None, order.older_revision_document is not None, order.first_due
    )
    label = revision.label if revision else written.label
    return Question(order.part, label, order.quantity, order.settings, po, order.id)


def gather(vault: Vault, reader: Reader, question: Question) -> Facts:
    """Gather the facts of a question. Raises NotFound where the part, its material or its printer is not recorded."""
    history = reader.part(resolve_part(vault, reader, question.part))
    policy = reader.policy()
    asked = _asked(history, question)
    settings = _settings(history, question, asked, reader)
    machine = reader.machine(settings.machine) if settings else None
    lots = tuple(reader.lot(lot.id) for lot in reader.all_of(Lot, history.card.number))
    used = acceptance_use(reader, history, asked, tuple(lot.lot for lot in lots), question.order)
    return Facts(
        history=history,
        policy=policy,
        today=vault.today,
        asked=asked,
        asked_label=question.label or (question.po.written.label if question.po else None),
        quantity=question.quantity,
        po=question.po,
        order=_order_facts(reader, reader.order(question.order)) if question.order else None,
        settings=settings,
        material=reader.material(settings.material if settings else history.card.material),
        machine=machine,
        boxes=_boxes(reader, settings),
        gauges=_gauges(reader, settings),
        events=reader.events(),
        missing_files=_missing(reader, asked, settings),
        upstream_holds=_upstream_holds(reader, history, settings, asked),
        open_nonconformances=_open_nonconformances(reader, history),
        last_made_on=_last_made(lots, settings),
        permission_used=_permission_used(history, lots),
        acceptance_used=used.pieces,
        acceptance_lots=used.lots,
        kept=_kept(lots, history, vault.today),
    )


def _asked(history: PartHistory, question: Question) -> Revision | None:
    label = question.label or (question.po.written.label if question.po else None)
    if label is not None:
        return history.meant_by(label)
    if question.po is not None:
        return None  # a PO that names no revision asks for none
    return history.printable or history.newest


def _settings(history: PartHistory, question: Question, asked: Revision | None, reader: Reader) -> Settings | None:
    if question.settings is not None:
        return history.settings_with(question.settings) or settings_called(history, question.settings)
    return choose_settings(history, asked.id, reader.policy().carry) if asked else None


def _boxes(reader: Reader, settings: Settings | None) -> tuple[Box, ...]:
    if settings is None:
        return ()
    return tuple(reader.box(box) for box in reader.machine(settings.machine).boxes)


def _gauges(reader: Reader, settings: Settings | None) -> dict[str, Gauge]:
    named = {line.gauge for line in settings.inspection if line.gauge} if settings else set()
    return {gauge: reader.gauge(gauge) for gauge in sorted(named)}


def _missing(reader: Reader, asked: Revision | None, settings: Settings | None) -> tuple[str, ...]:
    """Return the names of originals whose bytes are absent or not as recorded."""
    owners: list[tuple[Record, KeptFile]] = []
    if asked is not None:
        owners += [(asked, kept) for kept in asked.files]
    if settings is not None:
        owners += [(settings, kept) for kept in settings.files]
    return tuple(kept.name for record, kept in owners if not _is_whole(reader, file_path(record, kept), kept))


def _is_whole(reader: Reader, path: str, kept: KeptFile) -> bool:
    digest = hashlib.sha256()
    try:
        for piece in reader.snapshot.stream(path):
            digest.update(piece)
    except NotFound:
        return False
    return digest.hexdigest() == kept.sha256


def _upstream_holds(
    reader: Reader, history: PartHistory, settings: Settings | None, asked: Revision | None
) -> tuple[tuple[str, Hold], ...]:
    """Holds on the lots, blends and furnace loads that the proof rests on."""
    cover = cover_of(history, settings, asked.id, reader.policy().carry) if settings and asked else None
    return _holds_under(reader, cover.proof) if cover else ()


def _holds_under(reader: Reader, proof: Proof) -> tuple[tuple[str, Hold], ...]:
    return tuple(dict.fromkeys(held for lot in proof.lots for held in holds_over_lot(reader, lot)))


def _open_nonconformances(reader: Reader, history: PartHistory) -> tuple[Nonconformance, ...]:
    found = reader.referring(Thing.PART, history.card.number, Nonconformance)
    return tuple(one for one in found if reader.nonconformance(one.id).is_open)


def _last_made(lots: tuple[LotHistory, ...], settings: Settings | None) -> date | None:
    """Return when good pieces were last finished with these settings."""
    good = [lot.finish.finished_on for lot in lots if lot.finish and lot.finish.good and _made_with(lot, settings)]
    return max(good, default=None)


def _made_with(lot: LotHistory, settings: Settings | None) -> bool:
    return settings is not None and lot.lot.settings == settings.id


def _permission_used(history: PartHistory, lots: tuple[LotHistory, ...]) -> dict[str, int]:
    """Count the pieces used under each concession and permit."""
    decisions = [decision for lot in lots for decision in lot.decisions]
    used: dict[str, int] = {each.id: concession_used(each, decisions) for each in history.concessions}
    used.update({each.id: permit_used(each, [lot.lot for lot in lots]) for each in history.permits})
    return used


def _is_superseded(history: PartHistory, revision: str) -> bool:
    """Say whether a later revision than this one is released and accepted."""
    current = history.printable
    places: list[str] = [each.id for each in history.revisions]
    return current is not None and places.index(current.id) > places.index(revision)


def _kept(lots: tuple[LotHistory, ...], history: PartHistory, today: date) -> tuple[KeptPieces, ...]:
    """Return the pieces that may still be taken from the shelf, never more of a lot than are left of it."""
    found = []
    for lot in lots:
        left = 0 if lot.standing_holds or _is_superseded(history, lot.lot.revision) else lot.left
        for surplus in lot.surpluses:
            count = min(surplus.count, left)
            if surplus.decision == "keep" and count > 0 and (surplus.until is None or today <= surplus.until):
                where = surplus.where or "place not recorded"
                found.append(KeptPieces(lot.lot.id, lot.lot.revision, lot.lot.settings, count, where))
                left -= count
    return tuple(found)


def _order_facts(reader: Reader, recorded: OrderHistory) -> OrderFacts:
    packages = reader.referring(Thing.ORDER, recorded.order.id, Package)
    return OrderFacts(
        order_id=recorded.order.id,
        revision=recorded.order.revision,
        amended_at=recorded.amendments[-1].at if recorded.amendments else None,
        review=recorded.review,
        clauses=tuple(clause.words for clause in recorded.order.clauses),
        is_void=recorded.void is not None,
        live_packages=tuple(package.id for package in packages if reader.package(package.id).is_live),
    )
