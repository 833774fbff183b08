"""Recording a design revision: keep the file, measure what really changed, say what that touches."""

import tempfile
from dataclasses import dataclass, field
from pathlib import Path

from vault.actions.context import Vault
from vault.actions.finding import resolve_part
from vault.actions.reading import Reader
from vault.actions.receiving import role_by_name, stored_by_digest
from vault.actions.shapes import compare_with_recorded
from vault.actions.writing import Draft, keep_file, record_of, write
from vault.errors import BadInput, Clash, Refused
from vault.interfaces import StoredFile
from vault.model.cards import Part
from vault.model.decisions import LabelAnswer
from vault.model.design import ChangedRevision, KeptFile, MeasuredRevision, Revision
from vault.model.ids import Thing, Ulid
from vault.model.orders import Delivery, Order
from vault.model.packaging import Package
from vault.model.shape import MeasuredShape, ShapeChange
from vault.model.words import Authority, Definition, FileRole
from vault.rules.carry_over import Carry, judge_shape
from vault.rules.history import PartHistory
from vault.rules.labels import fault_of_label, following, warning
from vault.rules.permissions import Verb

SMALLEST_PART_MM = 0.05
"""Longest edge below which a file was read in a wrong unit: about the size of one powder particle."""


@dataclass(frozen=True)
class NewRevision:
    """What the engineer types beside the file."""

    design: Path
    reason: str
    label: str | None = None
    unit: str | None = None
    drawing: Path | None = None
    documents: tuple[Path, ...] = ()
    definition: Definition = Definition.MODEL
    drawing_number: str | None = None
    drawing_revision: str | None = None
    model_part_revision: str | None = None
    requested_by: str | None = None
    answer: Path | None = None
    answered_by: str | None = None


@dataclass(frozen=True)
class Touched:
    """What a new revision touches."""

    settings: tuple[tuple[str, Carry], ...] = ()
    open_orders: tuple[str, ...] = ()
    live_packages: tuple[str, ...] = ()


@dataclass(frozen=True)
class Revised:
    """What was recorded, and what it touches."""

    revision: Revision
    measured: MeasuredShape
    before: Revision | None
    change: ShapeChange | None
    touched: Touched
    cautions: tuple[str, ...] = field(default_factory=tuple)


def revise(vault: Vault, part: str, new: NewRevision) -> Revised:
    """Record a revision of a part.

    Raises:
        BadInput: The file cannot be read as a closed or open surface; the label is missing.
        Refused: The label is recorded already.
        Clash: Somebody recorded another revision while this one was being measured.
    """
    # gather: keep, measure and compare before the lock, since that takes seconds
    kept = _keep(vault, new)
    reader = Reader(vault.store.at(), vault.index)
    number = resolve_part(vault, reader, part)
    before = reader.part(number).newest
    with tempfile.TemporaryDirectory(prefix="partstead-") as scratch:
        shape, measured = vault.shapes.measured(new.design, new.unit)
        _refuse_wrong_unit(measured, new.design.name)
        change = compare_with_recorded(vault, reader, before, shape, Path(scratch)) if before else None
    outcome: list[Revised] = []

    # decide and write
    def decide(reader: Reader, draft: Draft) -> str:
        history = reader.part(number)
        newest = history.newest
        if (newest.id if newest else None) != (before.id if before else None):
            raise Clash(
                f"{number}: rev {newest.label if newest else '-'} was recorded meanwhile; run the command again"
            )
        label = _label(history, new, measured.file_sha256)
        revision = _revision(draft, history.card, new, label, [named for named, _ in kept], measured, before)
        draft.add(revision, stored_by_digest(kept))
        draft.add(record_of(draft, MeasuredRevision, part=number, revision=revision.id, shape=measured))
        if before is not None and change is not None:
            changed = record_of(
                draft, ChangedRevision, part=number, revision=revision.id, since=before.id, shape=change
            )
            draft.add(changed)
        _add_answer(draft, new, revision, kept)
        touched = _touched(reader, history, change)
        outcome[:] = [
            Revised(revision, measured, before, change, touched, _cautions(history, revision, measured, before))
        ]
        return f"{number} rev {label} recorded: {new.reason}"

    write(vault, Verb.REVISE, decide)
    return outcome[0]


def _refuse_wrong_unit(measured: MeasuredShape, name: str) -> None:
    """Refuse a shape so small that only a wrong unit explains it. Raises BadInput."""
    longest = max(measured.size_mm)
    if not longest >= SMALLEST_PART_MM:
        said = f"read in {measured.unit} it is {longest:g} mm long"
        raise BadInput(f"{name}: {said}, smaller than a grain of powder; give the unit it was drawn in with --unit")


def _keep(vault: Vault, new: NewRevision) -> list[tuple[KeptFile, StoredFile]]:
    if role_by_name(new.design) is not FileRole.DESIGN:
        raise BadInput(f"{new.design.name} is no shape file; a design is STL, 3MF, OBJ, PLY, OFF, GLB or STEP")
    kept = [keep_file(vault, new.design, FileRole.DESIGN)]
    if new.drawing is not None:
        kept.append(keep_file(vault, new.drawing, FileRole.DRAWING))
    kept += [keep_file(vault, path, FileRole.DOCUMENT) for path in new.documents]
    if new.answer is not None:
        kept.append(keep_file(vault, new.answer, FileRole.EVIDENCE))
    return kept


def _label(history: PartHistory, new: NewRevision, sha256: str) -> str:
    """Return the label to record: as typed; the shop may follow its own scheme on its own design only."""
    card = history.card
    label = new.label
    if label is None and card.design_authority is Authority.SHOP:
        label = following(history.newest.label, card.label_scheme) if history.newest else None
    if label is None:
        raise BadInput(f"{card.number}: type the label as it stands on the drawing or PO, with --label")
    if (fault := fault_of_label(label)) is not None:
        raise BadInput(f"{card.number}: {fault}")
    for recorded in history.called(label):
        if recorded.design.sha256 == sha256:
            raise Refused(f"{card.number} rev {recorded.label} is recorded already, with this very file; nothing to do")
        if new.answer is None:
            raise Refused(
                f"SAME_LABEL_OTHER_FILE {card.number} rev {recorded.label} is recorded already, with another file "
                f"({recorded.design.name}, {recorded.at:%Y-%m-%d}). A label is the customer's to give. Keep what came "
                f"with `partstead receive`, ask the customer which file is rev {recorded.label}, and record their "
                "written answer with --answer FILE --answered-by NAME"
            )
    return label


def _revision(
    draft: Draft,
    card: Part,
    new: NewRevision,
    label: str,
    files: list[KeptFile],
    measured: MeasuredShape,
    before: Revision | None,
) -> Revision:
    return record_of(
        draft,
        Revision,
        id=draft.new_ulid(),
        part=card.number,
        label=label,
        follows=before.id if before else None,
        receipt=_receipt_with(draft.reader.part(card.number), measured.file_sha256),
        files=tuple(kept for kept in files if kept.role is not FileRole.EVIDENCE),
        definition=new.definition,
        drawing_number=new.drawing_number,
        drawing_revision=new.drawing_revision,
        model_part_revision=new.model_part_revision,
        reason=new.reason,
        requested_by=new.requested_by,
        unit=measured.unit,
        unit_basis=measured.unit_basis[:200],
    )


def _receipt_with(history: PartHistory, sha256: str) -> Ulid | None:
    """Return the receipt in which this very file arrived, if it was recorded."""
    holds = [receipt.id for receipt in history.receipts if any(kept.sha256 == sha256 for kept in receipt.files)]
    return holds[-1] if holds else None


def _add_answer(draft: Draft, new: NewRevision, revision: Revision, kept: list[tuple[KeptFile, StoredFile]]) -> None:
    if new.answer is None:
        return
    if new.answered_by is None:
        raise BadInput("--answer needs --answered-by: who at the customer said which file has the label")
    evidence = next(named for named, _ in kept if named.role is FileRole.EVIDENCE)
    answer = record_of(
        draft,
        LabelAnswer,
        id=draft.new_ulid(),
        part=revision.part,
        label=revision.label,
        revision=revision.id,
        answered_by=new.answered_by,
        answered_on=draft.at.date(),
        evidence=evidence,
    )
    draft.add(answer, stored_by_digest(kept))


def _cautions(
    history: PartHistory, revision: Revision, measured: MeasuredShape, before: Revision | None
) -> tuple[str, ...]:
    cautions = []
    if measured.unit_basis.startswith("guessed"):
        cautions.append(
            f"the file states no unit: {measured.unit_basis}. If that is wrong, record it again with --unit"
        )
    if not measured.topology.closed:
        cautions.append(
            "the surface is not closed: it has no inside, so volume and mass mean nothing and it cannot be printed"
        )
    elif not measured.volume_mm3 > 0:
        cautions.append(
            "the surface is inside out: its volume is not positive, so it cannot be printed; ask for a new file"
        )
    words = warning(revision.label, before.label if before else None, history.card.label_scheme)
    return (*cautions, words) if words else tuple(cautions)


def _touched(reader: Reader, history: PartHistory, change: ShapeChange | None) -> Touched:
    """Say what the change means for proven settings, open orders and packages on the floor."""
    number = history.card.number
    proven = {proof.settings for proof in history.proofs}
    limits = reader.policy().carry
    carries = tuple((s.number, judge_shape(change, limits)) for s in history.settings if change and s.id in proven)
    orders = reader.referring(Thing.PART, number, Order)
    packages = reader.referring(Thing.PART, number, Package)
    return Touched(
        carries,
        tuple(order.id for order in orders if reader.order(order.id).void is None and not _is_delivered(reader, order)),
        tuple(package.id for package in packages if reader.package(package.id).is_live),
    )


def _is_delivered(reader: Reader, order: Order) -> bool:
    delivered = sum(delivery.quantity for delivery in reader.referring(Thing.ORDER, order.id, Delivery))
    return delivered >= order.quantity - order.under_allowed
