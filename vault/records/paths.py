"""Where each record lies in the register. No other module joins a path of the register.

Every write-once path holds a ULID or an id allotted by one writer, so two writers never write one path. The path of
an allotted id follows from the id alone, no folder grows beyond about 256 children, and the highest number of a
writer is found by looking into the last folder at each level.
"""

import hashlib
import re
from collections.abc import Callable
from typing import Any

from vault.errors import BadInput
from vault.model import cards, decisions, design, evidence, floor, leaving, orders, packaging
from vault.model.base import Record
from vault.model.design import KeptFile
from vault.model.ids import Allotted, Thing, parse_allotted
from vault.model.settings import Settings

REGISTER = "vault.json"
RATES = "shop/rates.json"
POLICY = "shop/policy.json"

FOLDER_OF = {
    Thing.ORDER: "orders",
    Thing.LOT: "lots",
    Thing.BOX_RUN: "box-runs",
    Thing.LOAD: "loads",
    Thing.BLEND: "blends",
    Thing.NONCONFORMANCE: "nonconformances",
    Thing.DELIVERY: "deliveries",
    Thing.RETURN: "returns",
    Thing.ESCAPE: "escapes",
    Thing.PACKAGE: "packages",
}

CARD_FOLDER_OF: dict[type[Record], str] = {
    cards.Machine: "shop/machines",
    cards.Material: "shop/materials",
    cards.Box: "shop/boxes",
    cards.Furnace: "shop/furnaces",
    cards.Gauge: "shop/gauges",
}

_INNER = re.compile(r"/(entries/[0-9A-Z]{4}|entries|measurements)$")
_CARD_PATH = re.compile(r"(writers|people|shop|customers)/(?!events/).+\.json|vault\.json|parts/../../[^/]+/part\.json")


def is_write_once(path: str) -> bool:
    """Say whether a path may never change or vanish once it is in the register: all but cards."""
    return _CARD_PATH.fullmatch(path) is None


def _hex(text: str) -> str:
    return hashlib.sha256(text.casefold().encode()).hexdigest()


def part_folder(number: str) -> str:
    """Folder of a part. Numbers that differ only in case share a parent folder, so that a twin is seen."""
    digest = _hex(number)
    return f"parts/{digest[:2]}/{digest[2:4]}/{number}"


def part_card(number: str) -> str:
    """Path of a part's card."""
    return f"{part_folder(number)}/part.json"


def customer_card(code: str) -> str:
    """Path of a customer's card."""
    return f"customers/{_hex(code)[:2]}/{code}.json"


def person_card(handle: str) -> str:
    """Path of a person's card."""
    return f"people/{handle}.json"


def writer_card(code: str) -> str:
    """Path of the claim of a writer code."""
    return f"writers/{code}.json"


def shop_card(kind: type[Record], card_id: str) -> str:
    """Path of the card of a machine, material, box, furnace or gauge."""
    return f"{CARD_FOLDER_OF[kind]}/{card_id}.json"


_SHOP_CARD_OF: dict[Thing, type[Record]] = {
    Thing.MACHINE: cards.Machine,
    Thing.MATERIAL: cards.Material,
    Thing.BOX: cards.Box,
    Thing.FURNACE: cards.Furnace,
    Thing.GAUGE: cards.Gauge,
}


def card_path_of(thing: Thing, name: str) -> str | None:
    """Path of the card that a reference points at; None where the thing is no card."""
    match thing:
        case Thing.PART:
            return part_card(name)
        case Thing.CUSTOMER:
            return customer_card(name)
        case Thing.PERSON:
            return person_card(name)
        case Thing.MACHINE | Thing.MATERIAL | Thing.BOX | Thing.FURNACE | Thing.GAUGE:
            return shop_card(_SHOP_CARD_OF[thing], name)
        case _:
            return None


def bucket(allotted: Allotted) -> tuple[str, ...]:
    """Folders above an allotted id, from the year down: never more than 100 ids in the last."""
    number = allotted.number
    return (str(allotted.year), allotted.writer, f"{number // 10_000:02d}", f"{number // 100 % 100:02d}")


def folder_of_id(text: str) -> str:
    """Folder of what an allotted id names. Raises BadInput where the text is no such id."""
    allotted = parse_allotted(text)
    return "/".join((FOLDER_OF[allotted.thing], *bucket(allotted), str(allotted).replace("/", ".")))


def record_of_id(text: str) -> str:
    """Path of the record that an allotted id names."""
    thing = parse_allotted(text).thing
    return f"{folder_of_id(text)}/{_KIND_OF[thing]}.json"


_KIND_OF = {
    Thing.ORDER: "order",
    Thing.LOT: "lot",
    Thing.BOX_RUN: "box-run",
    Thing.LOAD: "load",
    Thing.BLEND: "blend",
    Thing.NONCONFORMANCE: "nonconformance",
    Thing.DELIVERY: "delivery",
    Thing.RETURN: "return",
    Thing.ESCAPE: "escape",
    Thing.PACKAGE: "package",
}


def revision_folder(part: str, revision: str) -> str:
    """Folder of a revision."""
    return f"{part_folder(part)}/revisions/{revision}"


def target_folder(target: decisions.HoldTarget) -> str:
    """Folder of the thing that a hold names."""
    if target.part is not None:
        return part_folder(target.part)
    named = target.lot or target.blend or target.load or target.box_run
    assert named is not None  # the model sees to it that a hold names one thing
    return folder_of_id(named)


def _entry_of_part(part: str, ulid: str) -> str:
    # The first four characters of a ULID change every twelve days, so a busy part's folder stays narrow.
    return f"{part_folder(part)}/entries/{ulid[:4]}/{ulid}.json"


def _entry_of_id(owner: str, ulid: str) -> str:
    return f"{folder_of_id(owner)}/entries/{ulid}.json"


def _held(record: decisions.Hold | decisions.Lift) -> str:
    if record.target.part is not None:
        return _entry_of_part(record.target.part, record.id)
    return f"{target_folder(record.target)}/entries/{record.id}.json"


_BY_NAME: dict[type[Record], Callable[[Any], str]] = {
    cards.RegisterCard: lambda record: REGISTER,
    cards.WriterCard: lambda record: writer_card(record.code),
    cards.Person: lambda record: person_card(record.handle),
    cards.Customer: lambda record: customer_card(record.code),
    cards.Part: lambda record: part_card(record.number),
    cards.Rates: lambda record: RATES,
    cards.Policy: lambda record: POLICY,
    design.Receipt: lambda record: f"{part_folder(record.part)}/receipts/{record.id}/receipt.json",
    design.Revision: lambda record: f"{revision_folder(record.part, record.id)}/revision.json",
    design.MeasuredRevision: lambda record: f"{revision_folder(record.part, record.revision)}/measured.json",
    design.ChangedRevision: lambda record: f"{revision_folder(record.part, record.revision)}/change.json",
    Settings: lambda record: f"{part_folder(record.part)}/settings/{record.id}/settings.json",
    decisions.Hold: _held,
    decisions.Lift: _held,
    floor.EquipmentEvent: lambda record: f"shop/events/{record.id[:4]}/{record.id}.json",
    evidence.Measurement: lambda record: f"{folder_of_id(record.lot)}/measurements/{record.id}.json",
}
"""Records with a place of their own."""

_ENTRY_OF: dict[type[Record], str] = {
    design.Requirements: "part",
    decisions.LabelAnswer: "part",
    decisions.Release: "part",
    decisions.Acceptance: "part",
    decisions.Withdrawal: "part",
    decisions.StageMove: "part",
    decisions.CarryOver: "part",
    decisions.Concession: "part",
    decisions.Permit: "part",
    evidence.Proof: "part",
    leaving.ExportLog: "part",
    floor.BoxRunFinish: "box_run",
    floor.LoadFinish: "load",
    floor.LotSplit: "lot",
    floor.LotMerge: "lot",
    floor.LotOperation: "lot",
    floor.LotFinish: "lot",
    floor.Surplus: "lot",
    evidence.DispositionEntry: "nonconformance",
    orders.OrderAmendment: "order",
    orders.ContractReview: "order",
    orders.OrderVoid: "order",
    packaging.PackageSuperseded: "package",
    packaging.PaperRecovered: "package",
}
"""Entries that lie under what they are about: the field that names it."""


def path_of(record: Record) -> str:
    """Return where a record lies. Raises BadInput for a record without a place."""
    kind, own_id = type(record), str(getattr(record, "id", ""))
    if kind in _BY_NAME:
        return _BY_NAME[kind](record)
    if kind in CARD_FOLDER_OF:
        return shop_card(kind, own_id)
    if (field := _ENTRY_OF.get(kind)) is not None:
        owner = str(getattr(record, field))
        return _entry_of_part(owner, own_id) if field == "part" else _entry_of_id(owner, own_id)
    if record.KIND in _KIND_OF.values():
        return record_of_id(own_id)
    raise BadInput(f"a {record.KIND} has no place in the register")


def file_path(record: Record, kept: KeptFile) -> str:
    """Return where an original named by a record lies: in `files/` beside the record, or of its part or owner."""
    folder = _INNER.sub("", path_of(record).rpartition("/")[0])
    return f"{folder}/files/{kept.stored_name}"
