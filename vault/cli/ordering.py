"""The repeat order: is the part ready, how many boxes does it take, and the order with its reprint package."""

from pathlib import Path
from typing import Annotated

import typer

from vault.cli.expanded import expanded
from vault.cli.options import AsJson, OrderId, PartAtText, count, file, words
from vault.cli.order_options import ConfirmFirstIssue, OlderRevision, OrderLine, ReviewLine
from vault.cli.recorded import tell_recorded
from vault.cli.session import asking, reader_of, reading, session_of, writing
from vault.cli.show import put, say
from vault.errors import Refused

commands = typer.Typer()

Settings = Annotated[str | None, words("--settings", "Settings; else those with the best proof.", "NUMBER")]
PoRev = Annotated[str | None, words("--po-rev", "The revision as the PO writes it.", "REV")]
To = Annotated[Path | None, file("--to", "Folder for the package; else `out` in the register.", "DIR")]


@commands.command()
def ready(
    ctx: typer.Context,
    part: PartAtText,
    qty: Annotated[int | None, count("--qty", "For so many pieces.")] = None,
    settings: Settings = None,
    po_rev: PoRev = None,
    confirm_first_issue: ConfirmFirstIssue = False,
    older_revision: OlderRevision = None,
    as_json: AsJson = False,
) -> None:
    """Judge whether a part may be made again today.

    Every finding is listed. Ends with exit code 4 on a stop.

    Example:  partstead ready BRK-204@C --qty 200
    """
    from vault.actions.readying import ready as judge
    from vault.cli.views.readiness import po_facts, question, ready_shown

    asked = question(part, qty, settings, po_facts(po_rev, confirm_first_issue, older_revision))
    answered = judge(reading(ctx), asked)
    put(ready_shown(answered), as_json)
    if answered.readiness.verdict == "stop":
        raise typer.Exit(Refused.exit_code)


@commands.command()
def plan(
    ctx: typer.Context,
    part: PartAtText,
    qty: Annotated[int, count("--qty", "Pieces to deliver.")],
    settings: Settings = None,
    as_json: AsJson = False,
) -> None:
    """Say how many boxes a quantity takes, and how long.

    Example:  partstead plan BRK-204 --qty 200
    """
    from vault.actions.planning import plan as plan_quantity
    from vault.cli.views.readiness import plan_shown, question

    put(plan_shown(plan_quantity(reading(ctx), question(part, qty, settings, None))), as_json)


@commands.command()
@expanded
def reorder(ctx: typer.Context, line: OrderLine, review: ReviewLine, to: To = None) -> None:
    """Record a repeat order and make its reprint package.

    The contract review is asked on a terminal, or confirmed with --yes.

    Example:  partstead reorder BRK-204@C --qty 200 --po 4711 --po-line 1 --po-rev C --due 2026-06-01
    """
    from vault.actions.ordering import ask_about
    from vault.actions.ordering import reorder as record_reorder
    from vault.cli.reviewing import new_order, reviewed
    from vault.cli.views.readiness import judged, reordered_shown

    vault = writing(ctx)
    new = new_order(line)
    say(*judged(ask_about(vault, new)))
    said = reviewed(review, [clause.words for clause in new.clauses], asking())
    done = record_reorder(vault, new, said, to or session_of(ctx).out, say)
    put(reordered_shown(done))


@commands.command()
@expanded
def review(ctx: typer.Context, order: OrderId, review: ReviewLine) -> None:
    """Record the contract review of an order.

    A later one takes the place of an earlier.

    Example:  partstead review O-26A0042 --yes --quote-agrees agrees
    """
    from vault.actions.ordering import review_order
    from vault.cli.reviewing import reviewed

    vault = writing(ctx)
    clauses = [clause.words for clause in reader_of(vault).order(order).order.clauses]
    tell_recorded(vault, review_order(vault, order, reviewed(review, clauses, asking())))
