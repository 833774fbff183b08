"""The contract review as it is asked for: by a person on a terminal, or confirmed by --yes."""

from collections.abc import Callable, Sequence

from vault.actions.ordering import NewOrder, Review
from vault.cli.order_options import OrderLine, QuoteAgrees, ReviewLine
from vault.cli.typed import call_offs, clause
from vault.errors import Refused

Ask = Callable[[str], bool]


def new_order(line: OrderLine) -> NewOrder:
    """Return the order line as the action takes it. Raises BadInput."""
    return NewOrder(
        part=line.part,
        po=line.po,
        po_line=line.po_line,
        po_revision=line.po_rev,
        schedule=call_offs(line.qty, line.due, line.call_off),
        amendment=line.amendment,
        confirm_first_issue=line.confirm_first_issue,
        over_allowed=line.over,
        under_allowed=line.under,
        clauses=tuple(clause(about, words) for about, words in line.clause or ()),
        received_on=line.received_on,
        document=line.po_file,
        older_revision=line.older_revision,
        settings=line.settings,
        note=line.note,
    )


def reviewed(said: ReviewLine, clauses: Sequence[str], ask: Ask | None) -> Review:
    """Return the review as it was typed with --yes, or ask each question; `ask` is None where nobody can be asked.

    Raises:
        Refused: Nobody can be asked, and --yes was not typed.
    """
    points = tuple(said.open_point or ())
    if said.yes:
        return Review(said.quote, not said.revision_differs, not said.no_capacity, points)
    if ask is None:
        raise Refused(
            "nothing was recorded: the contract review (quote, revision, clauses, capacity) is a person's. "
            "Answer it on a terminal, or type --yes once you have made it"
        )
    revision = ask("Is the revision on the PO the one that will be made?")
    quote: QuoteAgrees = said.quote
    if said.quote == "no quote was made" and not ask("No quote was made for this: is that right?"):
        quote = "agrees" if ask("Does the PO agree with the quote?") else "does not agree"
    open_clauses = tuple(f"clause not accounted for: {each}" for each in clauses if not ask(f"Accounted for: {each}?"))
    return Review(quote, revision, ask("Is there capacity by the date?"), (*points, *open_clauses))
