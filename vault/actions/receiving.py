"""Recording what a customer sent, as it came, and their answer where one label came with two files."""

from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from vault.actions.context import Vault
from vault.actions.finding import resolve_part
from vault.actions.reading import Reader
from vault.actions.writing import Draft, keep_file, record_of, write
from vault.errors import BadInput, NotFound
from vault.interfaces import StoredFile
from vault.model.decisions import LabelAnswer
from vault.model.design import KeptFile, Receipt, Revision
from vault.model.ids import Ulid
from vault.model.words import FileRole
from vault.rules.labels import same_label
from vault.rules.permissions import Verb

_DRAWING_ENDINGS = frozenset({".pdf", ".dxf", ".dwg", ".svg", ".tif", ".tiff", ".png", ".jpg", ".jpeg"})
_SHAPE_ENDINGS = frozenset({".stl", ".3mf", ".obj", ".ply", ".off", ".glb", ".step", ".stp"})


def role_by_name(path: Path) -> FileRole:
    """Guess what a customer's file is for from its ending."""
    if path.suffix.lower() in _SHAPE_ENDINGS:
        return FileRole.DESIGN
    return FileRole.DRAWING if path.suffix.lower() in _DRAWING_ENDINGS else FileRole.DOCUMENT


@dataclass(frozen=True)
class Received:
    """What was recorded, and whether the label is unclear now."""

    receipt: Receipt
    unclear_label: str | None


def receive(
    vault: Vault, part: str, files: tuple[Path, ...], sender: str, arrived_on: date, label: str | None, note: str | None
) -> Received:
    """Record one arrival of customer files. Nothing is judged: what came is kept.

    Raises:
        BadInput: No file, an unreadable file, a date in the future.
    """
    # gather
    if not files:
        raise BadInput("nothing to receive: name at least one file")
    if arrived_on > vault.today:
        raise BadInput(f"the files cannot have arrived on {arrived_on}; today is {vault.today}")
    kept = [keep_file(vault, path, role_by_name(path)) for path in files]
    outcome: list[Received] = []

    # decide and write
    def decide(reader: Reader, draft: Draft) -> str:
        number = resolve_part(vault, reader, part)
        receipt = record_of(
            draft,
            Receipt,
            id=draft.new_ulid(),
            part=number,
            label=label,
            arrived_on=arrived_on,
            sender=sender,
            covering_note=note,
            files=tuple(named for named, _ in kept),
        )
        draft.add(receipt, stored_by_digest(kept))
        outcome[:] = [Received(receipt, _unclear(reader, number, receipt))]
        return f"{number}: {len(files)} files received from {sender}" + (f", labelled {label}" if label else "")

    write(vault, Verb.RECEIVE, decide)
    return outcome[0]


def stored_by_digest(kept: list[tuple[KeptFile, StoredFile]]) -> dict[str, StoredFile]:
    """Return the stored files by SHA-256, as a draft wants them."""
    return {named.sha256: stored for named, stored in kept}


def _unclear(reader: Reader, number: str, receipt: Receipt) -> str | None:
    """Return the label where it stands on another design too, and no answer of the customer says which one it is."""
    history = reader.part(number)
    history = replace(history, receipts=(*history.receipts, receipt))
    label = receipt.label
    return label if label and any(same_label(label, unclear) for unclear in history.unsettled_labels()) else None


def settle(
    vault: Vault, part: str, label: str, which: str, answered_by: str, answered_on: date, evidence: Path
) -> Ulid:
    """Record the customer's written answer which of several recorded designs is the one with this label.

    `which` is the beginning of the design file's SHA-256, as `show` prints it.

    Raises:
        NotFound: No revision with this label has such a design.
    """
    kept, stored = keep_file(vault, evidence, FileRole.EVIDENCE)
    chosen: list[Ulid] = []

    def decide(reader: Reader, draft: Draft) -> str:
        number = resolve_part(vault, reader, part)
        revision = _design_called(reader.part(number).called(label), label, which)
        answer = record_of(
            draft,
            LabelAnswer,
            id=draft.new_ulid(),
            part=number,
            label=revision.label,
            revision=revision.id,
            answered_by=answered_by,
            answered_on=answered_on,
            evidence=kept,
        )
        draft.add(answer, {kept.sha256: stored})
        chosen[:] = [revision.id]
        return f"{number}: by the customer's answer rev {revision.label} is {revision.design.sha256[:12]}"

    write(vault, Verb.RELEASE, decide)
    return chosen[0]


def _design_called(called: tuple[Revision, ...], label: str, which: str) -> Revision:
    fits = [revision for revision in called if which and revision.design.sha256.startswith(which.lower())]
    if len(fits) != 1:
        known = ", ".join(f"{revision.design.sha256[:12]} ({revision.design.name})" for revision in called) or "none"
        raise NotFound(f"no single design of rev {label} begins with {which!r}; recorded are {known}")
    return fits[0]
