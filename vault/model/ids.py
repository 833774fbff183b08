"""Names of things: one type each, one shape each, and one reader each for what people type."""

import re
from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated, NewType

from pydantic import Field

from vault.errors import BadInput


class Thing(StrEnum):
    """The kinds of things that other records can point at."""

    CUSTOMER = "customer"
    PART = "part"
    PERSON = "person"
    MACHINE = "machine"
    MATERIAL = "material"
    BOX = "box"
    FURNACE = "furnace"
    GAUGE = "gauge"
    RECEIPT = "receipt"
    REVISION = "revision"
    SETTINGS = "settings"
    ENTRY = "entry"
    ORDER = "order"
    LOT = "lot"
    BOX_RUN = "box run"
    LOAD = "furnace load"
    BLEND = "powder blend"
    NONCONFORMANCE = "nonconformance"
    DELIVERY = "delivery"
    RETURN = "return"
    ESCAPE = "notice of escape"
    PACKAGE = "package"


@dataclass(frozen=True)
class Refers:
    """Marks a field as the name of another record, so that `check` and `trace` can follow it."""

    thing: Thing


PartNumber = NewType("PartNumber", str)
CustomerCode = NewType("CustomerCode", str)
Handle = NewType("Handle", str)
CardId = NewType("CardId", str)
Ulid = NewType("Ulid", str)
AllottedId = NewType("AllottedId", str)
SettingsNumber = NewType("SettingsNumber", str)

SEGMENT = r"[A-Za-z0-9](?:[A-Za-z0-9._-]{0,38}[A-Za-z0-9])?"
ULID = r"[0-7][0-9A-HJKMNP-TV-Z]{25}"
WRITER = r"[A-HJ-NPR-Z]{1,3}"
NUMBER = r"(?:[0-9]{4}|[1-9][0-9]{4,11})"  # no more leading zeros than four digits need: one name for one thing
PIECES = r"(?:/[1-9][0-9]{0,3}){0,6}"
_DEVICE = re.compile(r"(?i)(con|prn|aux|nul|com[0-9]|lpt[0-9])(\..*)?")

PartRef = Annotated[PartNumber, Field(pattern=f"^{SEGMENT}$"), Refers(Thing.PART)]
CustomerRef = Annotated[CustomerCode, Field(pattern=r"^[A-Z][A-Z0-9-]{0,14}[A-Z0-9]$"), Refers(Thing.CUSTOMER)]
PersonRef = Annotated[Handle, Field(pattern=r"^[a-z][a-z0-9-]{0,31}$"), Refers(Thing.PERSON)]
MachineRef = Annotated[CardId, Field(pattern=f"^{SEGMENT}$"), Refers(Thing.MACHINE)]
MaterialRef = Annotated[CardId, Field(pattern=f"^{SEGMENT}$"), Refers(Thing.MATERIAL)]
BoxRef = Annotated[CardId, Field(pattern=f"^{SEGMENT}$"), Refers(Thing.BOX)]
FurnaceRef = Annotated[CardId, Field(pattern=f"^{SEGMENT}$"), Refers(Thing.FURNACE)]
GaugeRef = Annotated[CardId, Field(pattern=f"^{SEGMENT}$"), Refers(Thing.GAUGE)]
ReceiptRef = Annotated[Ulid, Field(pattern=f"^{ULID}$"), Refers(Thing.RECEIPT)]
RevisionRef = Annotated[Ulid, Field(pattern=f"^{ULID}$"), Refers(Thing.REVISION)]
SettingsRef = Annotated[Ulid, Field(pattern=f"^{ULID}$"), Refers(Thing.SETTINGS)]
EntryRef = Annotated[Ulid, Field(pattern=f"^{ULID}$"), Refers(Thing.ENTRY)]
OwnUlid = Annotated[Ulid, Field(pattern=f"^{ULID}$")]


def _allotted(letter: str) -> str:
    return f"^{letter}-[0-9]{{2}}{WRITER}{NUMBER}$"


OrderRef = Annotated[AllottedId, Field(pattern=_allotted("O")), Refers(Thing.ORDER)]
LotRef = Annotated[AllottedId, Field(pattern=f"^L-[0-9]{{2}}{WRITER}{NUMBER}{PIECES}$"), Refers(Thing.LOT)]
BoxRunRef = Annotated[AllottedId, Field(pattern=_allotted("K")), Refers(Thing.BOX_RUN)]
LoadRef = Annotated[AllottedId, Field(pattern=_allotted("F")), Refers(Thing.LOAD)]
BlendRef = Annotated[AllottedId, Field(pattern=_allotted("M")), Refers(Thing.BLEND)]
NonconformanceRef = Annotated[AllottedId, Field(pattern=_allotted("N")), Refers(Thing.NONCONFORMANCE)]
DeliveryRef = Annotated[AllottedId, Field(pattern=_allotted("D")), Refers(Thing.DELIVERY)]
ReturnRef = Annotated[AllottedId, Field(pattern=_allotted("T")), Refers(Thing.RETURN)]
EscapeRef = Annotated[AllottedId, Field(pattern=_allotted("E")), Refers(Thing.ESCAPE)]
PackageRef = Annotated[AllottedId, Field(pattern=_allotted("R")), Refers(Thing.PACKAGE)]

LETTER_OF = {
    Thing.ORDER: "O",
    Thing.LOT: "L",
    Thing.BOX_RUN: "K",
    Thing.LOAD: "F",
    Thing.BLEND: "M",
    Thing.NONCONFORMANCE: "N",
    Thing.DELIVERY: "D",
    Thing.RETURN: "T",
    Thing.ESCAPE: "E",
    Thing.PACKAGE: "R",
}
"""First letter of the ids that a writer allots."""

THING_OF = {letter: thing for thing, letter in LETTER_OF.items()}


@dataclass(frozen=True)
class Allotted:
    """An allotted id taken apart: O-26A0042 is order 42 of writer A in 2026; L-26A0118/1 is a piece of lot 118."""

    thing: Thing
    year: int
    writer: str
    number: int
    pieces: tuple[int, ...] = ()

    def __str__(self) -> str:
        tail = "".join(f"/{piece}" for piece in self.pieces)
        return f"{LETTER_OF[self.thing]}-{self.year % 100:02d}{self.writer}{self.number:04d}{tail}"


_ALLOTTED = re.compile(rf"([A-Z])-([0-9]{{2}})({WRITER})({NUMBER})({PIECES})")


def parse_allotted(text: str) -> Allotted:
    """Take an allotted id apart.

    Raises:
        BadInput: The text has not the shape of one.
    """
    found = _ALLOTTED.fullmatch(text.strip().upper())
    if found is None or found[1] not in THING_OF:
        raise BadInput(f"{text!r} is not an id of this register, such as O-26A0042 for an order")
    pieces = tuple(int(piece) for piece in found[5].split("/")[1:])
    thing = THING_OF[found[1]]
    if pieces and thing is not Thing.LOT:
        raise BadInput(f"{text!r}: only a lot is split into pieces with /1, /2")
    return Allotted(thing, 2000 + int(found[2]), found[3], int(found[4]), pieces)


def is_allotted(text: str) -> bool:
    """Say whether the text has the shape of an allotted id."""
    found = _ALLOTTED.fullmatch(text.strip().upper())
    return found is not None and found[1] in THING_OF


def _segment(text: str, what: str, example: str) -> str:
    name = text.strip()
    if not re.fullmatch(SEGMENT, name) or _DEVICE.fullmatch(name) or ".." in name:
        raise BadInput(
            f"{what} {name!r} cannot be used: up to 40 letters, digits, dots, dashes and underscores, "
            f"beginning and ending with a letter or digit, such as {example}"
        )
    return name


def parse_part_number(text: str) -> PartNumber:
    """Read the shop's own part number. Raises BadInput where it could not be kept on every system."""
    return PartNumber(_segment(text, "part number", "BRK-204"))


def parse_card_id(text: str) -> CardId:
    """Read the id of a machine, material, box, furnace or gauge."""
    return CardId(_segment(text, "id", "PRN-1"))


def parse_customer_code(text: str) -> CustomerCode:
    """Read a customer's code: 2 to 16 capitals, digits and dashes."""
    code = text.strip().upper()
    if not re.fullmatch(r"[A-Z][A-Z0-9-]{0,14}[A-Z0-9]", code) or _DEVICE.fullmatch(code):
        raise BadInput(
            f"customer code {text.strip()!r} cannot be used: 2 to 16 letters, digits and dashes, such as NORTHFELL"
        )
    return CustomerCode(code)


def parse_handle(text: str) -> Handle:
    """Read a person's handle: small letters, digits and dashes."""
    handle = text.strip().lower()
    if not re.fullmatch(r"[a-z][a-z0-9-]{0,31}", handle) or _DEVICE.fullmatch(handle):
        raise BadInput(
            f"handle {text.strip()!r} cannot be used: up to 32 small letters, digits and dashes, such as mira"
        )
    return Handle(handle)


def parse_settings_number(text: str) -> SettingsNumber:
    """Read the number of a part's settings, such as S2 (or SB2 where writer B allotted it)."""
    number = text.strip().upper()
    if not re.fullmatch(rf"S(?:{WRITER})?[1-9][0-9]{{0,3}}", number):
        raise BadInput(f"settings {text.strip()!r} is not a number such as S2")
    return SettingsNumber(number)


def parse_writer(text: str) -> str:
    """Read a writer code: 1 to 3 capitals, never I, O or Q, which read as digits."""
    code = text.strip().upper()
    if not re.fullmatch(WRITER, code) or _DEVICE.fullmatch(code):
        raise BadInput(f"writer code {text.strip()!r} cannot be used: 1 to 3 letters, without I, O and Q")
    return code


@dataclass(frozen=True)
class PartAt:
    """What a person typed for a part, with or without a revision: BRK-204 or BRK-204@C."""

    part: str
    revision: str | None


def parse_part_at(text: str) -> PartAt:
    """Split PART@REV; looking either up is left to the actions. Raises BadInput on an empty half."""
    part, at_sign, revision = text.strip().partition("@")
    if not part or (at_sign and not revision):
        raise BadInput(f"{text!r} names no part; type PART or PART@REVISION, such as BRK-204@C")
    return PartAt(part.strip(), revision.strip() if at_sign else None)


def folded(text: str) -> str:
    """Reduce a number to what people mean by it: letters and digits, small. "brk 204-C" -> "brk204c"."""
    return re.sub(r"[^0-9a-z]+", "", text.casefold())
