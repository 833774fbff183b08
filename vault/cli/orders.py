"""Orders as they are recorded: list, show, record one that waits, and void."""

from typing import Annotated

import typer

from vault.cli.expanded import expanded
from vault.cli.options import AsJson, Because, OrderId, flag, words
from vault.cli.order_options import ConfirmFirstIssue, OlderRevision, OrderLine
from vault.cli.recorded import say_findings, tell_recorded
from vault.cli.session import reading, writing
from vault.cli.show import put, put_lines

commands = typer.Typer()
order = typer.Typer(no_args_is_help=True, help="Order lines as they are recorded.")
commands.add_typer(order, name="order")


@order.command("list")
def list_orders(
    ctx: typer.Context,
    part: Annotated[str | None, words("--part", "Of one part only.", "PART")] = None,
    only_open: Annotated[bool, flag("--open", "Only those not void and not delivered in full.")] = False,
    as_json: AsJson = False,
) -> None:
    """List order lines, oldest first.

    Example:  partstead order list --part BRK-204 --open
    """
    from vault.cli.views.orders import orders_shown

    put(orders_shown(reading(ctx), part, only_open), as_json)


@order.command("show")
def show_order(ctx: typer.Context, which: OrderId, as_json: AsJson = False) -> None:
    """Show an order line with its review, packages and deliveries.

    Example:  partstead order show O-26A0042
    """
    from vault.cli.views.orders import order_shown

    put(order_shown(reading(ctx), which), as_json)


@order.command()
@expanded
def record(ctx: typer.Context, line: OrderLine) -> None:
    """Record an order that waits; no package is made.

    Its part is not ready, or its review is not made.

    Example:  partstead order record BRK-204 --qty 200 --po 4711 --po-line 1 --po-rev D --due 2026-06-01
    """
    from vault.actions.ordering import record_order
    from vault.cli.reviewing import new_order

    vault = writing(ctx)
    recorded = record_order(vault, new_order(line), None, must_be_ready=False)
    tell_recorded(vault, recorded.order)
    say_findings(recorded.answered.readiness.findings)


@order.command()
def amend(
    ctx: typer.Context,
    which: OrderId,
    because: Because,
    po_rev: Annotated[str | None, words("--po-rev", "The revision as the PO writes it now.", "REV")] = None,
    amendment: Annotated[str | None, words("--amendment", "Amendment of the PO.")] = None,
    confirm_first_issue: ConfirmFirstIssue = False,
    older_revision: OlderRevision = None,
) -> None:
    """Amend an order line: its revision made clear.

    The revision is looked up again; what still stands against making it is told.

    Example:  partstead order amend O-26A0042 --po-rev D --amendment 1 --because "amended PO of 2 March"
    """
    from vault.actions.amending import NewAmendment, amend_order

    vault = writing(ctx)
    new = NewAmendment(because, po_rev, amendment, confirm_first_issue, older_revision)
    amended = amend_order(vault, which, new)
    tell_recorded(vault, amended.entry, findings=amended.findings)


@order.command()
def void(ctx: typer.Context, which: OrderId, because: Because) -> None:
    """Cancel an order line.

    Example:  partstead order void O-26A0042 --because "cancelled by the customer, mail of 2 March"
    """
    from vault.actions.ordering import void_order

    put_lines(f"{void_order(writing(ctx), which, because)} is void")
