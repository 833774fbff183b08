"""What the customer ordered and what went to and came back from them."""

from datetime import date
from typing import Annotated, ClassVar, Literal, Self

from pydantic import Field, model_validator

from vault.model.base import Count, CountOrNone, Entry, Line, Note, Value
from vault.model.design import KeptFile
from vault.model.ids import (
    CustomerRef,
    DeliveryRef,
    LotRef,
    OrderRef,
    OwnUlid,
    PartRef,
    PersonRef,
    ReturnRef,
    RevisionRef,
    SettingsRef,
)


class CallOff(Value):
    """So many pieces on a day."""

    due: date
    quantity: Count


class Clause(Value):
    """A quality clause of the PO."""

    about: Literal[
        "certificate",
        "source inspection",
        "sampling",
        "packing",
        "retention",
        "country",
        "flow-down",
        "serials",
        "first-article approval",
        "other",
    ]
    words: Line


class Order(Entry):
    """One line of a customer's PO."""

    KIND: ClassVar[str] = "order"
    id: OrderRef
    customer: CustomerRef
    part: PartRef
    revision: RevisionRef | None  # None while the PO names none that is recorded: the order waits
    po: Line
    po_line: Line
    amendment: Line | None = None
    revision_as_written: Line | None
    dash_confirmed_by: PersonRef | None = None
    quantity: Count
    over_allowed: CountOrNone = 0
    under_allowed: CountOrNone = 0
    schedule: Annotated[tuple[CallOff, ...], Field(min_length=1)]
    clauses: tuple[Clause, ...] = ()
    received_on: date
    document: KeptFile | None = None
    older_revision_document: KeptFile | None = None
    settings: SettingsRef | None = None  # None while nobody asked for certain ones: those with the best proof
    note: Note | None = None

    @model_validator(mode="after")
    def _schedule_adds_up(self) -> Self:
        total = sum(call.quantity for call in self.schedule)
        if total != self.quantity:
            raise ValueError(f"the schedule adds up to {total} pieces, the line says {self.quantity}")
        return self

    @property
    def first_due(self) -> date:
        """The first date on the schedule."""
        return min(call.due for call in self.schedule)


class OrderAmendment(Entry):
    """What the customer changed or made clear about the revision of a recorded order line; the order itself stays."""

    KIND: ClassVar[str] = "order-amendment"
    id: OwnUlid
    order: OrderRef
    revision: RevisionRef | None
    amendment: Line | None
    revision_as_written: Line | None
    dash_confirmed_by: PersonRef | None = None
    older_revision_document: KeptFile | None = None
    reason: Note

    def applied_to(self, order: Order) -> Order:
        """Return the order as it stands since this amendment."""
        said = ("revision", "amendment", "revision_as_written", "dash_confirmed_by", "older_revision_document")
        return order.model_copy(update={name: getattr(self, name) for name in said})


class ContractReview(Entry):
    """The PO held against quote, revision, clauses and capacity before anything is made."""

    KIND: ClassVar[str] = "review"
    id: OwnUlid
    order: OrderRef
    reviewed_by: PersonRef
    revision_agrees: bool
    quote_agrees: Literal["agrees", "no quote was made", "does not agree"]
    clauses_accounted_for: tuple[Line, ...] = ()
    capacity_agrees: bool
    open_points: tuple[Line, ...] = ()

    @property
    def is_clear(self) -> bool:
        """True where nothing stands in the way of making the parts."""
        return (
            self.revision_agrees
            and self.capacity_agrees
            and self.quote_agrees != "does not agree"
            and not self.open_points
        )


class OrderVoid(Entry):
    """The order line was cancelled or entered in error."""

    KIND: ClassVar[str] = "order-void"
    id: OwnUlid
    order: OrderRef
    reason: Note


class Delivery(Entry):
    """What went to the customer."""

    KIND: ClassVar[str] = "delivery"
    id: DeliveryRef
    order: OrderRef
    lot: LotRef
    quantity: Count
    serials: tuple[Line, ...] = ()
    shipped_on: date
    carrier_reference: Line | None = None
    certificate: KeptFile | None = None


class Return(Entry):
    """What came back, or what the customer complains of."""

    KIND: ClassVar[str] = "return"
    id: ReturnRef
    delivery: DeliveryRef
    quantity: Count
    defect: Note
    arrived_on: date
    pieces_came_back: bool
    evidence: KeptFile | None = None
