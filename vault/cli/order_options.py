"""What is typed for an order line and for its contract review, shared by every command that takes them."""

from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Annotated, Literal

from vault.cli import values
from vault.cli.options import PartAtText, count, count_or_none, day, file, flag, one_of, read_by, words

ConfirmFirstIssue = Annotated[bool, flag("--confirm-first-issue", "The PO's '-', 'NC' or blank means the first issue.")]
OlderRevision = Annotated[Path | None, file("--older-revision", "The customer's word that an older revision is meant.")]
QuoteAgrees = Literal["agrees", "no quote was made", "does not agree"]


@dataclass(frozen=True)
class OrderLine:
    """One line of a customer's PO."""

    part: PartAtText
    qty: Annotated[int, count("--qty", "Pieces ordered.")]
    po: Annotated[str, words("--po", "Number of the PO.", "PO")]
    po_line: Annotated[str, words("--po-line", "Line of the PO.", "LINE")]
    po_rev: Annotated[str | None, words("--po-rev", "The revision as the PO writes it.", "REV")] = None
    amendment: Annotated[str | None, words("--amendment", "Amendment of the PO.")] = None
    due: Annotated[date | None, day("--due", "When all of it is due.")] = None
    call_off: Annotated[
        list[values.CallOffTyped] | None,
        read_by(values.a_call_off, "--call-off", "DATE:QTY", "A part delivery. Repeatable."),
    ] = None
    confirm_first_issue: ConfirmFirstIssue = False
    older_revision: OlderRevision = None
    po_file: Annotated[Path | None, file("--po-file", "The PO itself.")] = None
    over: Annotated[int, count_or_none("--over", "Pieces more that they take.")] = 0
    under: Annotated[int, count_or_none("--under", "Pieces fewer that they take.")] = 0
    clause: Annotated[
        list[values.Said] | None,
        read_by(values.a_clause, "--clause", "ABOUT: WORDS", "A quality clause of the PO. Repeatable."),
    ] = None
    settings: Annotated[str | None, words("--settings", "Settings; else those with the best proof.", "NUMBER")] = None
    received_on: Annotated[date | None, day("--received-on", "When the PO came; else today.")] = None
    note: Annotated[str | None, words("--note", "A remark.")] = None


@dataclass(frozen=True)
class ReviewLine:
    """The contract review: the PO held against quote, revision, clauses and capacity."""

    yes: Annotated[bool, flag("--yes", "The review is made and agrees, but for what the next options say.")] = False
    quote: Annotated[QuoteAgrees, one_of("--quote-agrees", "The PO against the quote.")] = "no quote was made"
    revision_differs: Annotated[bool, flag("--revision-differs", "The revision on the PO is not the one meant.")] = (
        False
    )
    no_capacity: Annotated[bool, flag("--no-capacity", "There is no capacity by the date.")] = False
    open_point: Annotated[list[str] | None, words("--open-point", "A point still open. Repeatable.")] = None
