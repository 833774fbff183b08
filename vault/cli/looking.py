"""Looking things up: find, show, trace, the customer's history, and whether the register is what it was."""

import sys
from pathlib import Path
from typing import Annotated

import typer

from vault.cli.completing import part_numbers
from vault.cli.options import AsJson, argument, count, file, flag, words
from vault.cli.session import reading, session_of, writing
from vault.cli.show import put, put_lines, say
from vault.errors import Clash, Damaged, NotFound

commands = typer.Typer()


@commands.command()
def find(
    ctx: typer.Context,
    what: Annotated[list[str], argument("WHAT...", "A number, a PO, a customer, a description; or a model file.")],
    limit: Annotated[int, count("--limit", "At most so many hits.")] = 20,
    unit: Annotated[str | None, words("--unit", "Unit of a model file that states none.", "UNIT")] = None,
    as_json: AsJson = False,
) -> None:
    """Search numbers, POs, customers, descriptions, or a file.

    Case and separators do not count. A model file asks: do we make this already?

    Example:  partstead find bracket 4471
    """
    from vault.cli.searching import found

    shown, hits = found(session_of(ctx), " ".join(what), limit, unit)
    put(shown, as_json)
    if not hits:
        raise NotFound(f"nothing in the register fits {' '.join(what)!r}")


@commands.command()
def show(
    ctx: typer.Context,
    what: Annotated[
        str,
        argument("PART[@REV]", "A part, one revision of it, or the id of an order, lot ...", completed=part_numbers),
    ],
    as_json: AsJson = False,
) -> None:
    """Show a part, a revision, or anything that has an id.

    Example:  partstead show BRK-204@C
    """
    from vault.actions.showing import show_anything
    from vault.cli.views.sheets import sheet_shown

    put(sheet_shown(show_anything(reading(ctx), what)), as_json)


@commands.command()
def trace(
    ctx: typer.Context,
    what: Annotated[str, argument("WHAT", "A powder lot, blend, load, gauge, lot, order, package, part ...")],
    as_json: AsJson = False,
) -> None:
    """Trace anything: made of what, and what came of it.

    Ends with the short answer: which pieces, who has them, and which are still here.

    Example:  partstead trace HL-0817
    """
    from vault.actions.tracing import trace as trace_thing
    from vault.cli.views.tracing import traced_shown

    put(traced_shown(trace_thing(reading(ctx), what)), as_json)


@commands.command()
def check(
    ctx: typer.Context,
    full: Annotated[
        bool, flag("--full", "Read everything, not only what was recorded since the last full check.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Check that the register is what was recorded.

    Ends with exit code 6 for damage, 7 for a clash that waits for a person.

    Example:  partstead check --full
    """
    from vault.actions.checking import check as check_register
    from vault.cli.views.checked import checked_shown

    report = check_register(reading(ctx), full, _progress if sys.stderr.isatty() else None)
    put(checked_shown(report), as_json)
    if not report.sound or report.clashes:
        raise typer.Exit(Clash.exit_code if report.sound else Damaged.exit_code)


def _progress(done: int, of_how_many: int) -> None:
    if done % 1000 == 0 or done == of_how_many:
        say(f"{done} of {of_how_many} read")


@commands.command()
def history(
    ctx: typer.Context,
    what: Annotated[str, argument("PART|CUSTOMER", "A part, or a customer with all their parts.")],
    to: Annotated[Path, file("--to", "Folder for the history as HTML, PDF and JSON.", "DIR")],
    authorisation: Annotated[str | None, words("--authorisation", "Controlled data: licence or agreement.")] = None,
    responsible: Annotated[str | None, words("--responsible", "Controlled data: who answers.", "HANDLE")] = None,
    destination: Annotated[str | None, words("--destination", "Controlled data: to whom and where.")] = None,
) -> None:
    """Write the revision history for the customer.

    Of one part, or of all their parts; nothing of anybody else's, no settings, no costs.

    Example:  partstead history NORTHFELL --to answers
    """
    from vault.actions.answering import Authorisation, answer

    given = (authorisation, responsible, destination)
    allowed = Authorisation(*(text or "" for text in given)) if any(given) else None
    answered = answer(writing(ctx), what, to, allowed)
    put_lines(*map(str, answered.files))
    say(*(f"noted: {note.part} given to {note.destination} under {note.authorisation}" for note in answered.logged))
