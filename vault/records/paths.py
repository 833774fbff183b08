"""Where each record lies in the register. No other module joins a path of the register.

Every write-once path holds a ULID or an id allotted by one writer, so two writers never write one path. The path of
an allotted id follows from the id alone, no folder grows beyond about 256 children, and the highest number of a
writer is found by looking into the last folder at each level.
"""

import hashlib
import re
from functools import singledispatch

from vault.errors import BadInput
from vault.model import cards, design, evidence, floor, leaving, orders, packaging
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


def target_folder(target: design.HoldTarget) -> str:
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


@singledispatch
def path_of(record: Record) -> str:
    """Return where a record lies. Raises BadInput for a record without a place."""
    raise BadInput(f"a {record.KIND} has no place in the register")


@path_of.register
def _(record: cards.RegisterCard) -> str:
    return REGISTER


@path_of.register
def _(record: cards.WriterCard) -> str:
    return writer_card(record.code)


@path_of.register
def _(record: cards.Person) -> str:
    return person_card(record.handle)


@path_of.register
def _(record: cards.Customer) -> str:
    return customer_card(record.code)


@path_of.register
def _(record: cards.Part) -> str:
    return part_card(record.number)


@path_of.register
def _(record: cards.Rates) -> str:
    return RATES


@path_of.register
def _(record: cards.Policy) -> str:
    return POLICY


@path_of.register(cards.Machine)
@path_of.register(cards.Material)
@path_of.register(cards.Box)
@path_of.register(cards.Furnace)
@path_of.register(cards.Gauge)
def _(record: cards.Machine | cards.Material | cards.Box | cards.Furnace | cards.Gauge) -> str:
    return shop_card(type(record), record.id)


@path_of.register
def _(record: design.Receipt) -> str:
    return f"{part_folder(record.part)}/receipts/{record.id}/receipt.json"


@path_of.register
def _(record: design.Revision) -> str:
    return f"{revision_folder(record.part, record.id)}/revision.json"


@path_of.register
def _(record: design.MeasuredRevision) -> str:
    return f"{revision_folder(record.part, record.revision)}/measured.json"


@path_of.register
def _(record: design.ChangedRevision) -> str:
    return f"{revision_folder(record.part, record.revision)}/change.json"


@path_of.register
def _(record: Settings) -> str:
    return f"{part_folder(record.part)}/settings/{record.id}/settings.json"


@path_of.register(design.Requirements)
@path_of.register(design.LabelAnswer)
@path_of.register(design.Release)
@path_of.register(design.Acceptance)
@path_of.register(design.Withdrawal)
@path_of.register(design.StageMove)
@path_of.register(design.CarryOver)
@path_of.register(design.Concession)
@path_of.register(design.Permit)
@path_of.register(evidence.Proof)
@path_of.register(leaving.ExportLog)
def _(record: design.Release | evidence.Proof) -> str:
    return _entry_of_part(record.part, record.id)


@path_of.register(design.Hold)
@path_of.register(design.Lift)
def _(record: design.Hold | design.Lift) -> str:
    if record.target.part is not None:
        return _entry_of_part(record.target.part, record.id)
    return f"{target_folder(record.target)}/entries/{record.id}.json"


@path_of.register
def _(record: floor.EquipmentEvent) -> str:
    return f"shop/events/{record.id[:4]}/{record.id}.json"


@path_of.register(floor.Blend)
@path_of.register(floor.BoxRun)
@path_of.register(floor.FurnaceLoad)
@path_of.register(floor.Lot)
@path_of.register(evidence.Nonconformance)
@path_of.register(evidence.EscapeNotice)
@path_of.register(orders.Order)
@path_of.register(orders.Delivery)
@path_of.register(orders.Return)
@path_of.register(packaging.Package)
def _(record: orders.Order) -> str:
    return record_of_id(record.id)


@path_of.register
def _(record: evidence.Measurement) -> str:
    return f"{folder_of_id(record.lot)}/measurements/{record.id}.json"


@path_of.register
def _(record: floor.BoxRunFinish) -> str:
    return _entry_of_id(record.box_run, record.id)


@path_of.register
def _(record: floor.LoadFinish) -> str:
    return _entry_of_id(record.load, record.id)


@path_of.register(floor.LotSplit)
@path_of.register(floor.LotMerge)
@path_of.register(floor.LotOperation)
@path_of.register(floor.LotFinish)
@path_of.register(floor.Surplus)
def _(record: floor.LotSplit) -> str:
    return _entry_of_id(record.lot, record.id)


@path_of.register
def _(record: evidence.DispositionEntry) -> str:
    return _entry_of_id(record.nonconformance, record.id)


@path_of.register(orders.ContractReview)
@path_of.register(orders.OrderVoid)
def _(record: orders.OrderVoid) -> str:
    return _entry_of_id(record.order, record.id)


@path_of.register(packaging.PackageSuperseded)
@path_of.register(packaging.PaperRecovered)
def _(record: packaging.PaperRecovered) -> str:
    return _entry_of_id(record.package, record.id)


def file_path(record: Record, kept: KeptFile) -> str:
    """Return where an original named by a record lies: in `files/` beside the record, or of its part or owner."""
    folder = _INNER.sub("", path_of(record).rpartition("/")[0])
    return f"{folder}/files/{kept.stored_name}"
