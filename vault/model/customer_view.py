"""All that a customer may see of their own parts. What is not a field here leaves the shop in no export.

It is an allow-list: no settings, no costs, no yields, no machine, no other customer, nobody's handle. Only
`rules/redaction.py` fills it; HTML, PDF and JSON are renderings of it and know nothing else.
"""

from datetime import date
from typing import Annotated, Self

from pydantic import Field, model_validator

from vault.model.base import Count, Line, Moment, Note, Value, WireText
from vault.model.design import RevisionLabel


class DeliveryView(Value):
    """One delivery of pieces made to a revision."""

    order: Line
    po: Line
    po_line: Line
    quantity: Count
    shipped_on: date


class RevisionView(Value):
    """One revision, by the dates of what happened to it; what did not happen has no date."""

    label: RevisionLabel
    received_on: date | None = None
    released_on: date | None = None
    accepted_on: date | None = None
    withdrawn_on: date | None = None
    superseded_by: RevisionLabel | None = None
    under_review: bool = False
    reason: Note
    requested_by: Line | None = None
    changes: tuple[WireText, ...] = ()
    accepted_by: Line | None = None
    accepted_basis: WireText | None = None
    acceptance_conditions: Note | None = None
    deliveries: tuple[DeliveryView, ...] = ()

    @model_validator(mode="after")
    def _acceptance_has_a_name(self) -> Self:
        if self.accepted_on is not None and self.accepted_by is None:
            raise ValueError(f"revision {self.label} was accepted by somebody; the view must say by whom")
        return self

    @property
    def delivered(self) -> int:
        """Pieces delivered to this revision."""
        return sum(delivery.quantity for delivery in self.deliveries)


class ConcessionView(Value):
    """A departure that the customer granted, under the customer's own reference."""

    reference: Line
    revision: RevisionLabel
    granted_by: Line
    granted_on: date
    words: Note
    quantity: Count | None = None
    until: date | None = None


class PartView(Value):
    """One of the customer's parts, revisions newest first."""

    number: Line
    customer_number: Line
    description: Line
    stage: WireText
    revisions: tuple[RevisionView, ...] = ()
    concessions: tuple[ConcessionView, ...] = ()


class CustomerView(Value):
    """The history of a customer's parts as the register had it at one commit."""

    shop: Line
    customer: Line
    generated_at: Moment
    head: Annotated[str, Field(pattern=r"^[0-9a-f]{40}$")]
    parts: tuple[PartView, ...] = ()
    demo: bool = False
