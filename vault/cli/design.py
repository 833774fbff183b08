"""What the customer sends, and what the shop and the customer say to it: receipts, revisions, release, acceptance."""

from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from vault.cli import values
from vault.cli.options import (
    AsJson,
    Because,
    PartName,
    RevisionOf,
    argument,
    count,
    day,
    file,
    one_of,
    words,
)
from vault.cli.parts import revision_named
from vault.cli.recorded import tell_recorded
from vault.cli.session import reading, writing
from vault.cli.show import put, put_lines, say
from vault.model.words import AcceptanceBasis, Definition

commands = typer.Typer()

What = Annotated[str, argument("WHAT", "PART, PART@REV, or the id of a lot, blend, load or box run.")]


@commands.command()
def receive(
    ctx: typer.Context,
    part: PartName,
    files: Annotated[list[Path], argument("FILE...", "The files as they came.", values.a_path)],
    sender: Annotated[str, words("--from", "Who sent them.", "NAME")],
    arrived_on: Annotated[date | None, day("--on", "When they came; else today.")] = None,
    label: Annotated[str | None, words("--label", "The revision as the customer calls it.", "REV")] = None,
    note: Annotated[str | None, words("--note", "The covering mail, or the gist of it.")] = None,
) -> None:
    """Record one arrival of customer files as they came.

    Nothing is judged; the same label with another file is told.

    Example:  partstead receive BRK-204 bracket.stl --from "A. Lund, Northfell" --on 2026-03-02 --label C
    """
    from vault.actions.receiving import receive as record_receipt

    vault = writing(ctx)
    received = record_receipt(vault, part, tuple(files), sender, arrived_on or vault.today, label, note)
    tell_recorded(vault, received.receipt)
    if received.unclear_label is not None:
        say(f"caution: rev {received.unclear_label} came before with another file; ask the customer which one it is")


@commands.command()
def settle(
    ctx: typer.Context,
    what: RevisionOf,
    which: Annotated[str, words("--which", "First letters of the design's SHA-256, as `show` prints it.", "SHA")],
    answered_by: Annotated[str, words("--answered-by", "Who at the customer answered.", "NAME")],
    evidence: Annotated[Path, file("--evidence", "The written answer.")],
    answered_on: Annotated[date | None, day("--on", "When they answered; else today.")] = None,
) -> None:
    """Record which file has a label, by the customer's answer.

    Asked for where one label came with several files.

    Example:  partstead settle BRK-204@C --which 9f86d081 --answered-by "A. Lund" --evidence answer.eml
    """
    from vault.actions.receiving import settle as record_answer

    vault = writing(ctx)
    part, label = revision_named(what)
    chosen = record_answer(vault, part, label, which, answered_by, answered_on or vault.today, evidence)
    put_lines(f"{what} is revision {chosen} by the customer's answer")


@commands.command()
def revise(
    ctx: typer.Context,
    part: PartName,
    design: Annotated[Path, argument("FILE", "The design: STL, 3MF, OBJ, PLY, OFF, GLB or STEP.", values.a_path)],
    because: Because,
    label: Annotated[str | None, words("--label", "The label as it stands on the drawing or PO.", "REV")] = None,
    unit: Annotated[str | None, words("--unit", "Unit of a file that states none: mm, inch ...", "UNIT")] = None,
    drawing: Annotated[Path | None, file("--drawing", "The drawing.")] = None,
    document: Annotated[list[Path] | None, file("--document", "A further document. Repeatable.")] = None,
    defined_by: Annotated[Definition, one_of("--defined-by", "What defines the part.")] = Definition.MODEL,
    drawing_number: Annotated[str | None, words("--drawing-number", "Number of the drawing.")] = None,
    drawing_revision: Annotated[str | None, words("--drawing-revision", "Revision of the drawing.", "REV")] = None,
    model_revision: Annotated[str | None, words("--model-revision", "Revision that the model states.", "REV")] = None,
    requested_by: Annotated[str | None, words("--requested-by", "Who asked for the change.", "NAME")] = None,
    answer: Annotated[Path | None, file("--answer", "The customer's answer, where the label has another file.")] = None,
    answered_by: Annotated[str | None, words("--answered-by", "Who at the customer answered.", "NAME")] = None,
    as_json: AsJson = False,
) -> None:
    """Record a revision and measure what really changed.

    The file is kept as it is; what the change touches is told.

    Example:  partstead revise BRK-204 bracket-c.stl --label C --because "wall 2 mm thicker" --unit mm
    """
    from vault.actions.revising import NewRevision
    from vault.actions.revising import revise as record_revision
    from vault.cli.views.design import revised_shown

    documents = tuple(document or ())
    new = NewRevision(
        design, because, label, unit, drawing, documents, defined_by, drawing_number, drawing_revision, model_revision,
        requested_by, answer, answered_by,
    )  # fmt: skip
    revised = record_revision(writing(ctx), part, new)
    put(revised_shown(revised), as_json)
    say(*(f"caution: {caution}" for caution in revised.cautions))


@commands.command()
def compare(
    ctx: typer.Context,
    first: Annotated[str, argument("A", "PART@REV or a file.")],
    second: Annotated[str, argument("B", "PART@REV or a file.")],
    unit: Annotated[str | None, words("--unit", "Unit of files that state none.", "UNIT")] = None,
    as_json: AsJson = False,
) -> None:
    """Measure how the shape of B differs from A.

    Both as the files place them; nothing is moved to fit.

    Example:  partstead compare BRK-204@B BRK-204@C
    """
    from vault.actions.comparing import compare as compare_shapes
    from vault.cli.views.design import compared_shown

    put(compared_shown(compare_shapes(reading(ctx), first, second, unit)), as_json)


@commands.command()
def release(
    ctx: typer.Context,
    what: RevisionOf,
    note: Annotated[str | None, words("--note", "A remark.")] = None,
) -> None:
    """Release a revision for making; an engineer does.

    Example:  partstead release BRK-204@C
    """
    from vault.actions.releasing import release as record_release

    vault = writing(ctx)
    tell_recorded(vault, record_release(vault, *revision_named(what), note))


@commands.command()
def accept(
    ctx: typer.Context,
    what: RevisionOf,
    evidence: Annotated[Path, file("--evidence", "Where the acceptance is written: PO, mail, signed report.")],
    basis: Annotated[AcceptanceBasis, one_of("--basis", "On what it rests.")],
    accepted_by: Annotated[str, words("--accepted-by", "Who at the customer accepted.", "NAME")],
    accepted_on: Annotated[date | None, day("--on", "When they accepted; else today.")] = None,
    reference: Annotated[str | None, words("--reference", "Their reference.")] = None,
    conditions: Annotated[str | None, words("--conditions", "Conditions that they made.")] = None,
    quantity: Annotated[int | None, count("--quantity", "Accepted for so many pieces only.")] = None,
    lots: Annotated[int | None, count("--lots", "Accepted for so many lots only.")] = None,
    until: Annotated[date | None, day("--until", "Accepted until this day only.")] = None,
) -> None:
    """Record the customer's acceptance of a released revision.

    Example:  partstead accept BRK-204@C --evidence po4711.pdf --accepted-by "A. Lund" --basis "sample approval"
    """
    from vault.actions.releasing import NewAcceptance
    from vault.actions.releasing import accept as record_acceptance

    vault = writing(ctx)
    on = accepted_on or vault.today
    new = NewAcceptance(basis, accepted_by, on, evidence, reference, conditions, quantity, lots, until)
    tell_recorded(vault, record_acceptance(vault, *revision_named(what), new))


@commands.command()
def withdraw(
    ctx: typer.Context,
    what: RevisionOf,
    because: Because,
    acceptance: Annotated[bool, typer.Option("--acceptance", help="The acceptance; else the release.")] = False,
) -> None:
    """Take back a release, or the customer's acceptance.

    Example:  partstead withdraw BRK-204@C --because "crack found at the web"
    """
    from vault.actions.releasing import withdraw as record_withdrawal

    vault = writing(ctx)
    taken = "acceptance" if acceptance else "release"
    tell_recorded(vault, record_withdrawal(vault, *revision_named(what), because, taken))


@commands.command()
def hold(ctx: typer.Context, what: What, because: Because) -> None:
    """Hold a part, a lot, powder, a load or a box run.

    Nothing is made of it or shipped from it until quality lifts the hold.

    Example:  partstead hold L-26A0118 --because "hardness to be measured again"
    """
    from vault.actions.holding import hold as record_hold

    vault = writing(ctx)
    tell_recorded(vault, record_hold(vault, what, because))


@commands.command()
def lift(ctx: typer.Context, what: What, because: Because) -> None:
    """Lift every standing hold on something; quality does.

    Example:  partstead lift L-26A0118 --because "hardness within limits"
    """
    from vault.actions.holding import lift as record_lift

    vault = writing(ctx)
    tell_recorded(vault, *record_lift(vault, what, because))
