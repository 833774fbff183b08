"""The traveler: the paper that goes with a job through the shop. What it shows, and how it becomes a PDF.

Everything here is text as a person reads it; numbers were given their units by whoever filled it. Nothing is looked
up and nothing is decided: a rebuilt package fills it with the same words again.
"""

from datetime import date, datetime
from typing import Annotated, Self

from pydantic import Field, model_validator

from vault.documents.cautions import RECIPE
from vault.documents.qr import qr_svg
from vault.documents.typeset import compile_pdf
from vault.model.base import Count, Value
from vault.model.words import Severity

DEMO_WATERMARK = "DEMO: invented settings, do not sinter"

_PICTURE = "picture.png"


class Fact(Value):
    """One line of a table with two columns: a name and its value, unit included."""

    name: str
    value: str


class FactGroup(Value):
    """Facts under one heading, such as the settings of the printer."""

    title: str
    facts: tuple[Fact, ...]


class JobBox(Value):
    """A box to print: which file, how many times, and what comes out of it."""

    name: str
    layout: str
    file: str
    boxes: Count
    parts_per_box: Count
    time_per_box: str


class CycleLine(Value):
    """One segment of a furnace cycle as the operator sets it."""

    ramp: str
    target: str
    hold: str
    atmosphere: str
    flow: str = ""


class CycleTable(Value):
    """One furnace cycle; `gas_cautions` stand right beside it."""

    title: str
    furnace: str
    total: str
    segments: tuple[CycleLine, ...]
    gas_cautions: tuple[str, ...] = ()


class OperationLine(Value):
    """One operation with its place and its instruction; the counts and the signature are written by hand."""

    number: str
    name: str
    where: str
    instruction: str = ""


class MeasureLine(Value):
    """One characteristic to measure."""

    number: str
    name: str
    requirement: str
    state: str
    how_many: str
    gauge: str = ""
    key: bool = False


class Mind(Value):
    """One finding that a person has to mind."""

    severity: Severity
    words: str


class Traveler(Value):
    """All that the traveler of one package says."""

    shop: str
    package_id: str
    qr_text: str
    part_number: str
    revision: str
    description: str
    customer: str
    customer_number: str
    drawing: str
    order: str
    po: str
    po_line: str
    po_amendment: str
    to_start: Count
    to_deliver: Count
    over_under: str
    due: date
    material: str
    powder: str
    settings_number: str
    criticality: str
    picture_words: str
    dimensions: tuple[Fact, ...]
    boxes: Annotated[tuple[JobBox, ...], Field(min_length=1)]
    settings: tuple[FactGroup, ...]
    cycles: tuple[CycleTable, ...]
    operations: Annotated[tuple[OperationLine, ...], Field(min_length=1)]
    characteristics: tuple[MeasureLine, ...]
    minds: tuple[Mind, ...] = ()
    holds: tuple[str, ...] = ()
    concessions: tuple[str, ...] = ()
    clauses: tuple[str, ...] = ()
    safety: Annotated[tuple[str, ...], Field(min_length=1)]
    basis: Annotated[str, Field(min_length=1)]  # the verdict with its date and commit, as it was given
    void_after: date
    shop_internal: bool = False
    watermark: str | None = None

    @model_validator(mode="after")
    def _boxes_hold_enough(self) -> Self:
        room = sum(box.boxes * box.parts_per_box for box in self.boxes)
        if room < self.to_start:
            raise ValueError(f"the boxes hold {room} pieces, {self.to_start} are to be started")
        if self.to_start < self.to_deliver:
            raise ValueError(f"{self.to_start} pieces started cannot give {self.to_deliver} to deliver")
        return self


def traveler_pdf(traveler: Traveler, at: datetime, picture_png: bytes | None = None) -> bytes:
    """Return the traveler as a PDF on A4.

    Args:
        traveler: What it says.
        at: Date of the package's record; the clock is never asked.
        picture_png: A picture of the part; without one the page says that there is none.

    Raises:
        BadInput: The picture cannot be read.
    """
    data = traveler.model_dump(mode="json")
    data |= {"qr": qr_svg(traveler.qr_text), "recipe": RECIPE, "picture": _PICTURE if picture_png else None}
    return compile_pdf("traveler", data, at, {_PICTURE: picture_png} if picture_png else None)
