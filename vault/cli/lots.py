"""Lots: pieces that share revision, settings, powder, box runs and furnace loads, counted through their operations."""

from datetime import date
from pathlib import Path
from typing import Annotated, Literal

import typer

from vault.cli import values
from vault.cli.options import (
    AsJson,
    Because,
    LotId,
    argument,
    count,
    count_or_none,
    day,
    file,
    flag,
    one_of,
    read_by,
    words,
)
from vault.cli.recorded import tell_recorded
from vault.cli.session import reader_of, reading, writing
from vault.cli.show import put, put_lines

commands = typer.Typer()
lot = typer.Typer(no_args_is_help=True, help="Lots: pieces that were made together.")
commands.add_typer(lot, name="lot")

Texts = list[str] | None
Surplus = Literal["ship with the customer's consent", "keep", "scrap"]


@lot.command()
def start(
    ctx: typer.Context,
    what: Annotated[str, argument("PACKAGE|PART@REV", "A reprint package; or a revision, for a trial lot.")],
    pieces: Annotated[int, count("--count", "Pieces that it starts with.")],
    blend: Annotated[list[str], words("--blend", "A powder blend in it. Repeatable.", "BLEND")],
    box_run: Annotated[Texts, words("--box-run", "A box run that its pieces came from. Repeatable.", "RUN")] = None,
    serial: Annotated[Texts, words("--serial", "A serial number. Repeatable.")] = None,
    settings: Annotated[str | None, words("--settings", "For a trial lot: which settings.", "NUMBER")] = None,
    not_representative: Annotated[bool, flag("--not-representative", "From a package, not as in production.")] = False,
    to_prove: Annotated[bool, flag("--to-prove", "A trial lot made exactly as in production.")] = False,
) -> None:
    """Start a lot from a reprint package, or a trial lot.

    The package is asked again whether it may still be printed.

    Example:  partstead lot start R-26A0042 --count 44 --blend M-26A0003 --box-run K-26A0017
    """
    from vault.actions.lots import Pieces
    from vault.cli.typed import started_lot

    vault = writing(ctx)
    of = Pieces(pieces, tuple(blend), tuple(box_run or ()), tuple(serial or ()))
    recorded = started_lot(vault, what, of, settings, to_prove if settings else not not_representative)
    tell_recorded(vault, recorded.entry, findings=recorded.findings)


@lot.command()
def operation(
    ctx: typer.Context,
    which: LotId,
    name: Annotated[str, argument("OPERATION", "The operation, as in the settings.")],
    into: Annotated[int, count_or_none("--in", "Pieces that came in.")],
    on: Annotated[int, count_or_none("--on", "Pieces that went on.")],
    scrap: Annotated[
        list[values.CountOf] | None,
        read_by(values.a_count_by_name, "--scrap", "CAUSE=PIECES", "Pieces lost, and why. Repeatable."),
    ] = None,
    rework: Annotated[int, count_or_none("--rework", "Pieces to rework.")] = 0,
    held: Annotated[int, count_or_none("--held", "Pieces held.")] = 0,
    destroyed: Annotated[int, count_or_none("--destroyed", "Pieces destroyed in test.")] = 0,
    missing: Annotated[int, count_or_none("--missing", "Pieces that nobody finds.")] = 0,
    done_on: Annotated[date | None, day("--done-on", "When; else today.")] = None,
    done_by: Annotated[str | None, words("--done-by", "By whom; else who is asking.", "HANDLE")] = None,
    supplier: Annotated[str | None, words("--supplier", "Done outside, by whom.", "NAME")] = None,
    certificate: Annotated[Path | None, file("--certificate", "The supplier's certificate.")] = None,
    load: Annotated[str | None, words("--load", "The furnace load it went through.", "LOAD")] = None,
) -> None:
    """Count a lot at one operation.

    in = on + scrapped + rework + held + destroyed + missing

    Example:  partstead lot operation L-26A0118 sinter --in 44 --on 42 --scrap crack=2 --load F-26A0009
    """
    from vault.actions.lot_counts import Counts, Done, record_operation

    vault = writing(ctx)
    counts = Counts(into, on, dict(scrap or ()), rework, held, destroyed, missing)
    done = Done(done_on, done_by, supplier, certificate, load)
    recorded = record_operation(vault, which, name, counts, done)
    tell_recorded(vault, recorded.entry, findings=recorded.findings)


@lot.command()
def split(
    ctx: typer.Context,
    which: LotId,
    counts: Annotated[list[int], argument("PIECES...", "Pieces in each child.", values.a_count)],
    because: Because,
    serials: Annotated[Texts, words("--serials", "Serials of a child, by commas, in order. Repeatable.")] = None,
) -> None:
    """Split a lot into children L-.../1, L-.../2.

    Example:  partstead lot split L-26A0118 20 22 --because "two furnaces"
    """
    from vault.actions.lot_family import split_lot

    shares = [[serial.strip() for serial in share.split(",")] for share in serials or ()]
    put_lines(*split_lot(writing(ctx), which, counts, because, shares))


@lot.command()
def merge(
    ctx: typer.Context,
    which: Annotated[list[str], argument("LOT...", "Two or more lots that share everything.")],
    because: Because,
) -> None:
    """Merge lots that share everything into one.

    The same revision, settings, powder and furnace loads.

    Example:  partstead lot merge L-26A0118/1 L-26A0118/2 --because "finished together"
    """
    from vault.actions.lot_family import merge_lots

    put_lines(merge_lots(writing(ctx), which, because))


@lot.command()
def finish(
    ctx: typer.Context,
    which: LotId,
    good: Annotated[int, count_or_none("--good", "Good pieces that came out.")],
    on: Annotated[date | None, day("--on", "When; else today.")] = None,
    note: Annotated[str | None, words("--note", "A remark.")] = None,
) -> None:
    """Finish a lot: how many good pieces came out.

    Example:  partstead lot finish L-26A0118 --good 41
    """
    from vault.actions.lot_counts import finish_lot

    vault = writing(ctx)
    recorded = finish_lot(vault, which, good, on, note)
    tell_recorded(vault, recorded.entry, findings=recorded.findings)


@lot.command()
def surplus(
    ctx: typer.Context,
    which: LotId,
    pieces: Annotated[int, count("--count", "Good pieces above the order.")],
    decision: Annotated[Surplus, one_of("--decision", "What happens to them.")],
    where: Annotated[str | None, words("--where", "Where they are kept.")] = None,
    until: Annotated[date | None, day("--until", "How long they are kept.")] = None,
    consent: Annotated[Path | None, file("--consent", "The customer's consent.")] = None,
) -> None:
    """Record what happens to good pieces above the order.

    Example:  partstead lot surplus L-26A0118 --count 1 --decision keep --where "shelf 4" --until 2026-12-31
    """
    from vault.actions.lot_counts import NewSurplus, record_surplus

    vault = writing(ctx)
    tell_recorded(vault, record_surplus(vault, which, NewSurplus(pieces, decision, where, until, consent)))


@lot.command("list")
def list_lots(
    ctx: typer.Context,
    part: Annotated[str | None, argument("[PART]", "Of one part only.")] = None,
    as_json: AsJson = False,
) -> None:
    """List lots with their counts, oldest first.

    Example:  partstead lot list BRK-204
    """
    from vault.cli.views.floor import lots_shown

    vault = reading(ctx)
    put(lots_shown(vault, reader_of(vault), part), as_json)


@lot.command("show")
def show_lot(ctx: typer.Context, which: LotId, as_json: AsJson = False) -> None:
    """Show a lot with everything recorded under it.

    Example:  partstead lot show L-26A0118
    """
    from vault.cli.views.floor import lot_shown

    put(lot_shown(reader_of(reading(ctx)), which), as_json)
