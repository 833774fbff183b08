"""What goes to the customer, what comes back, and telling them where something wrong went out."""

from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from vault.cli.options import OrderId, argument, count, day, file, flag, words
from vault.cli.recorded import tell_recorded
from vault.cli.session import writing

commands = typer.Typer()

DeliveryId = Annotated[str, argument("DELIVERY", "A delivery, such as D-26A0007.")]


@commands.command()
def ship(
    ctx: typer.Context,
    order: OrderId,
    lot: Annotated[str, words("--lot", "The lot that the pieces come from.", "LOT")],
    qty: Annotated[int, count("--qty", "How many pieces.")],
    on: Annotated[date | None, day("--on", "When they left; else today.")] = None,
    serial: Annotated[list[str] | None, words("--serial", "A serial that goes. Repeatable.")] = None,
    carrier: Annotated[str | None, words("--carrier-reference", "Reference of the carrier.")] = None,
    certificate: Annotated[Path | None, file("--certificate", "The signed certificate that went along.")] = None,
) -> None:
    """Record a delivery.

    A hold, an open nonconformance, unbalanced counts or the wrong revision stop it.

    Example:  partstead ship O-26A0042 --lot L-26A0118 --qty 40
    """
    from vault.actions.shipping import NewDelivery
    from vault.actions.shipping import ship as record_delivery

    vault = writing(ctx)
    new = NewDelivery(order, lot, qty, on, tuple(serial or ()), carrier, certificate)
    tell_recorded(vault, record_delivery(vault, new))


@commands.command("return")
def take_back(
    ctx: typer.Context,
    delivery: DeliveryId,
    qty: Annotated[int, count("--qty", "How many pieces.")],
    defect: Annotated[str, words("--defect", "What the customer says is wrong.")],
    on: Annotated[date | None, day("--on", "When it arrived; else today.")] = None,
    complaint_only: Annotated[bool, flag("--complaint-only", "The pieces stayed with the customer.")] = False,
) -> None:
    """Record pieces that came back, or a complaint.

    Example:  partstead return D-26A0007 --qty 3 --defect "bore too small"
    """
    from vault.actions.shipping import take_back as record_return

    vault = writing(ctx)
    tell_recorded(vault, record_return(vault, delivery, qty, defect, on or vault.today, not complaint_only))


@commands.command()
def escape(
    ctx: typer.Context,
    delivery: DeliveryId,
    qty: Annotated[int, count("--qty", "How many pieces.")],
    said: Annotated[str, words("--words", "What was shipped wrongly.")],
    told: Annotated[str, words("--told", "Who at the customer was told.", "NAME")],
    on: Annotated[date | None, day("--on", "When they were told; else today.")] = None,
    evidence: Annotated[Path | None, file("--evidence", "The letter or mail.")] = None,
) -> None:
    """Record that the customer was told of a wrong delivery.

    Example:  partstead escape D-26A0007 --qty 3 --words "two pieces of rev B among them" --told "A. Lund"
    """
    from vault.actions.nonconforming import NewEscape, record_escape

    vault = writing(ctx)
    tell_recorded(vault, record_escape(vault, NewEscape(delivery, qty, said, told, on or vault.today, evidence)))
