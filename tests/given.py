"""Writing builders' values to a register, past the verbs: `given(vault, a_part(), a_revision())`.

A test of one verb sets its scene with these, so that it does not lean on other verbs.
"""

from pathlib import Path

from tests.builders import (
    PART,
    a_box,
    a_customer,
    a_furnace,
    a_gauge,
    a_machine,
    a_material,
    a_part,
    a_release,
    a_revision,
    a_shape,
    an_acceptance,
    content_of,
    made,
    some_requirements,
    some_settings,
)
from tests.floor_builders import a_blend, a_box_run, a_load, a_lot, a_package, a_review, an_operation, an_order
from vault.actions.context import Vault
from vault.actions.reading import Reader
from vault.interfaces import Change, Snapshot, StoredFile
from vault.model.base import Card, Record
from vault.model.cards import Part
from vault.model.design import KeptFile, MeasuredRevision, Revision
from vault.model.floor import Lot
from vault.model.packaging import Package
from vault.model.settings import Settings
from vault.model.shape import MeasuredShape
from vault.records.codec import encode
from vault.records.paths import file_path, path_of
from vault.records.references import files_of


def reader_of(vault: Vault) -> Reader:
    """Return a reader of the head."""
    return Reader(vault.store.at(), vault.index)


def a_path(vault: Vault, name: str = "mail.eml", content: bytes | None = None) -> Path:
    """Put a file beside the register, as a person would have it, and return its path."""
    folder = vault.folder / "given"
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / name
    path.write_bytes(content_of(name) if content is None else content)
    return path


def _kept(vault: Vault, kept: KeptFile) -> StoredFile:
    stored = vault.store.keep(a_path(vault, kept.name))
    assert stored.sha256 == kept.sha256, f"{kept.name} was not built with a_file()"
    return stored


def given(vault: Vault, *records: Record) -> None:
    """Write records as one commit, with the bytes of the files that they name; cards may replace what is there."""
    files = {file_path(r, kept): _kept(vault, kept) for r in records for kept in files_of(r)}
    cards = {path_of(r): encode(r) for r in records if isinstance(r, Card)}
    entries = {path_of(r): encode(r) for r in records if not isinstance(r, Card)}

    def decide(snapshot: Snapshot) -> Change:
        new = {path: stored for path, stored in files.items() if not snapshot.exists(path)}
        return Change("Given for a test", "ona", vault.clock.now(), entries, cards, new)

    vault.store.transact(decide)


def given_shop(vault: Vault) -> None:
    """Write one card of each kind: customer, material, machine, box, furnace, gauge."""
    given(vault, a_customer(), a_material(), a_machine(), a_box(), a_furnace(), a_gauge())


def given_part(vault: Vault, **fields: object) -> Part:
    """Write the shop's cards and a part's card."""
    given_shop(vault)
    part = a_part(**fields)
    given(vault, part)
    return part


def given_revision(
    vault: Vault, label: str = "C", released: bool = True, accepted: bool = True, shape: MeasuredShape | None = None
) -> Revision:
    """Write a measured revision of the usual part, released and accepted unless said."""
    revision = a_revision(label)
    shape = shape or a_shape(file_sha256=revision.design.sha256)
    measured = made(MeasuredRevision, {}, part=PART, revision=revision.id, shape=shape)
    said = (*([a_release(label)] if released else []), *([an_acceptance(label)] if accepted else []))
    given(vault, revision, measured, *said)
    return revision


def given_settings(vault: Vault, **fields: object) -> Settings:
    """Write the requirements of rev C and settings S1 for it."""
    settings = some_settings(**fields)
    given(vault, some_requirements(), settings)
    return settings


def given_makeable(vault: Vault) -> None:
    """Write a part with rev C released and accepted, requirements and settings S1: all but a proof."""
    given_part(vault)
    given_revision(vault)
    given_settings(vault)


def given_order(vault: Vault, reviewed: bool = True, **fields: object) -> None:
    """Write an order line of the usual part, with its contract review unless said."""
    order = an_order(**fields)
    given(vault, order, *([a_review(order.id)] if reviewed else []))


def given_package(vault: Vault, **fields: object) -> Package:
    """Write the reprint package of the usual order. Its paper and files are not there: the record is."""
    package = a_package(**fields)
    given(vault, package)
    return package


def given_lot(vault: Vault, lot_id: str | None = None, load_id: str = "F-26A0001", **fields: object) -> Lot:
    """Write a blend, a box run, a lot of 30 pieces and the sinter load that it went through."""
    lot = a_lot(lot_id or "L-26A0001", **fields)
    seen = reader_of(vault).snapshot
    upstream = [record for record in (a_blend(), a_box_run()) if not seen.exists(path_of(record))]
    load = a_load(load_id, lot.id)
    sintered = an_operation(lot.id, load=load.id, count_in=lot.count, count_on=lot.count)
    given(vault, *upstream, lot, *([] if seen.exists(path_of(load)) else [load]), sintered)
    return lot
