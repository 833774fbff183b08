"""Answering a customer: the history of their parts as a page, as paper and as data, in a folder to be sent from.

Nothing leaves but a `CustomerView`. Controlled data leave only under an authorisation that a person answers for.
"""

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from vault.actions.context import Vault
from vault.actions.finding import resolve_part
from vault.actions.reading import Reader
from vault.actions.writing import Draft, record_of, require, write
from vault.errors import BadInput, NotFound, Refused
from vault.model.cards import Customer, Part
from vault.model.customer_view import CustomerView
from vault.model.floor import Lot
from vault.model.ids import CustomerCode, Thing
from vault.model.leaving import ExportLog
from vault.model.orders import Delivery, Order
from vault.model.words import ControlStatus
from vault.records import paths
from vault.rules.permissions import Verb
from vault.rules.redaction import Answering, Shipped, customer_view


@dataclass(frozen=True)
class Authorisation:
    """On whose word controlled data leave, under which licence, agreement or exemption, and where to."""

    reference: str
    responsible: str
    destination: str


@dataclass(frozen=True)
class Answered:
    """What was written, and the notes made of controlled parts."""

    view: CustomerView
    files: tuple[Path, ...]
    logged: tuple[ExportLog, ...]


def answer(vault: Vault, part_or_customer: str, to: Path, authorisation: Authorisation | None = None) -> Answered:
    """Write the history of a part, or of all parts of a customer, into a folder as HTML, PDF and JSON.

    What is controlled is noted in the register first; a note without files means that the writing failed afterwards.

    Raises:
        NotFound: There is no such part or customer, or the responsible person is not recorded.
        Refused: A part is controlled or not yet classified, and no authorisation is given; or a file of the same name
            is none of our histories of this customer.
        BadInput: The target is no folder, or the authorisation is incomplete.
        Fault: The folder cannot be written.
    """
    reader = Reader(vault.store.at(), vault.index)
    require(vault, reader, Verb.ANSWER)
    code, numbers, stem = _asked(vault, reader, part_or_customer)
    _refuse_other_files(to, stem, reader.customer(code).name)
    if not _controlled(reader, numbers):
        view = _view(vault, reader, code, numbers)
        return Answered(view, _placed(to, stem, view), ())
    logged: list[tuple[CustomerView, tuple[ExportLog, ...]]] = []

    def decide(reader: Reader, draft: Draft) -> str:
        controlled = _controlled(reader, numbers)
        allowed = _allowed(reader, controlled, authorisation)
        view = _view(vault, reader, code, numbers)
        notes = tuple(_note(draft, card, allowed, view) for card in controlled)
        for note in notes:
            draft.add(note)
        logged[:] = [(view, notes)]
        return f"History of {stem.removeprefix('history-')} given to {allowed.destination} under {allowed.reference}"

    write(vault, Verb.ANSWER, decide)
    view, notes = logged[0]
    return Answered(view, _placed(to, stem, view), notes)


def view_for(vault: Vault, part_or_customer: str) -> CustomerView:
    """Return what the customer would be shown, without writing it anywhere. Raises NotFound and NotAllowed."""
    reader = Reader(vault.store.at(), vault.index)
    require(vault, reader, Verb.ANSWER)
    code, numbers, _ = _asked(vault, reader, part_or_customer)
    return _view(vault, reader, code, numbers)


def _asked(vault: Vault, reader: Reader, text: str) -> tuple[CustomerCode, tuple[str, ...], str]:
    """Return the customer, the parts, and how the files are called."""
    code = CustomerCode(text.strip().upper())
    if "/" not in code and reader.snapshot.exists(paths.customer_card(code)):
        parts = sorted(card.number for card in reader.referring(Thing.CUSTOMER, code, Part))
        if not parts:
            raise NotFound(f"customer {code} has no parts; there is nothing to answer with")
        return code, tuple(parts), f"history-{code}"
    number = resolve_part(vault, reader, text)
    return reader.part_card(number).customer, (number,), f"history-{number}"


def _controlled(reader: Reader, numbers: Sequence[str]) -> tuple[Part, ...]:
    """Return the parts whose data may not leave without an authorisation: not yet classified counts as controlled."""
    cards = (reader.part_card(number) for number in numbers)
    return tuple(card for card in cards if card.control.status is not ControlStatus.NO_LICENCE_NEEDED)


def _allowed(reader: Reader, controlled: Sequence[Part], given: Authorisation | None) -> Authorisation:
    if given is None:
        named = ", ".join(f"{card.number} ({card.control.status})" for card in controlled)
        raise Refused(
            f"export control: {named}. Nothing was written. Have a named person classify the part "
            f"(`partstead part edit {controlled[0].number} --set control.status=...`), or give the authorisation: "
            "--authorisation REFERENCE --responsible PERSON --destination WHO-AND-WHERE"
        )
    if not (given.reference.strip() and given.responsible.strip() and given.destination.strip()):
        raise BadInput("an authorisation needs its reference, the responsible person and the destination")
    if reader.person(given.responsible) is None:
        raise NotFound(f"the responsible person {given.responsible!r} is not recorded; use the handle of one who is")
    return given


def _note(draft: Draft, card: Part, allowed: Authorisation, view: CustomerView) -> ExportLog:
    from vault.exports.history import render_json

    return record_of(
        draft,
        ExportLog,
        id=draft.new_ulid(),
        part=card.number,
        customer=card.customer,
        authorisation=allowed.reference.strip(),
        responsible=allowed.responsible.strip(),
        destination=allowed.destination.strip(),
        view_sha256=hashlib.sha256(render_json(view)).hexdigest(),
    )


def _view(vault: Vault, reader: Reader, code: CustomerCode, numbers: Sequence[str]) -> CustomerView:
    shipped = [one for number in numbers for one in _shipped(reader, number)]
    facts = Answering(
        register=reader.register(),
        customer=reader.customer(code),
        parts=[reader.part(number) for number in numbers],
        shipped=sorted(shipped, key=lambda one: (one.delivery.shipped_on, one.delivery.id)),
        others=[other for other in reader.all_of(Customer) if other.code != code],
        head=reader.snapshot.commit,
        generated_at=vault.clock.now(),
    )
    return customer_view(facts)


def _shipped(reader: Reader, number: str) -> list[Shipped]:
    found = []
    for order in reader.referring(Thing.PART, number, Order):
        for delivery in reader.referring(Thing.ORDER, order.id, Delivery):
            lot = reader.record(paths.record_of_id(delivery.lot), Lot, delivery.lot)
            found.append(Shipped(delivery, order, lot.revision))
    return found


def _renderings(view: CustomerView) -> Mapping[str, bytes]:
    """Return ending -> bytes; the JSON comes last, so that a finished set is known by it."""
    from vault.exports.history import render_html, render_json, render_pdf

    return {
        "html": render_html(view).encode(),
        "pdf": render_pdf(view, view.generated_at),
        "json": render_json(view),
    }


def _placed(to: Path, stem: str, view: CustomerView) -> tuple[Path, ...]:
    from vault.packages.placing import place_file

    return tuple(place_file(to / f"{stem}.{ending}", data) for ending, data in _renderings(view).items())


def _refuse_other_files(to: Path, stem: str, customer: str) -> None:
    """Let only an earlier history of the same customer be replaced."""
    if to.exists() and not to.is_dir():
        raise BadInput(f"{to} is not a folder; name the folder that the files go into")
    there = [path for ending in ("html", "pdf", "json") if (path := to / f"{stem}.{ending}").exists()]
    if there and not _is_ours(to / f"{stem}.json", customer):
        raise Refused(f"{there[0]} exists and is no earlier history for {customer}; choose another folder")


def _is_ours(path: Path, customer: str) -> bool:
    try:
        return CustomerView.model_validate_json(path.read_bytes()).customer == customer
    except (OSError, ValueError):
        return False
