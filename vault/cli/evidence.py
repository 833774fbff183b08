"""Evidence: what was measured on a lot, what it proves, whether a proof carries over, and in which stage a part is."""

from datetime import date
from pathlib import Path
from typing import Annotated, Literal

import typer

from vault.cli import values
from vault.cli.options import (
    Because,
    LotId,
    PartName,
    RevisionOf,
    argument,
    day,
    file,
    flag,
    number,
    one_of,
    read_by,
    words,
)
from vault.cli.parts import revision_named
from vault.cli.recorded import say_findings, tell_recorded
from vault.cli.session import reading, writing
from vault.cli.show import put_lines, say
from vault.model.words import CarryVerdict, MeasuredIn, SealState, Stage

commands = typer.Typer()

Extent = Literal["full", "partial"]
Settings = Annotated[str, words("--settings", "Number of the settings, such as S2.", "NUMBER")]
OtherSettings = Annotated[str | None, words("--settings", "Settings; else those with the best proof.", "NUMBER")]


@commands.command()
def measure(
    ctx: typer.Context,
    lot: LotId,
    table: Annotated[Path | None, argument("[FILE.csv]", "The inspection table.", values.a_path)] = None,
    template: Annotated[
        bool, flag("--template", "Print an empty table for this lot, and nothing is recorded.")
    ] = False,
    state: Annotated[MeasuredIn, one_of("--in", "In which state of the metal.")] = MeasuredIn.FINISHED,
    gauge: Annotated[str | None, words("--gauge", "The gauge.", "ID")] = None,
    measured_on: Annotated[date | None, day("--on", "When; else today.")] = None,
    measured_by: Annotated[str | None, words("--by", "By whom; else who is asking.", "HANDLE")] = None,
    weighed: Annotated[
        list[values.Weighed] | None,
        read_by(values.a_weighing, "--weighed", "PIECE:AIR_G:WATER_G", "A density by weighing. Repeatable."),
    ] = None,
    water_c: Annotated[float | None, number("--water-c", "Temperature of the water.", "C")] = None,
    pores: Annotated[SealState, one_of("--pores", "How open pores were treated first.")] = SealState.NEITHER,
    scan: Annotated[list[Path] | None, file("--scan", "A scan, kept as evidence. Repeatable.")] = None,
) -> None:
    """Record readings, densities and scans of a lot.

    Example:  partstead measure L-26A0118 inspection.csv --gauge CAL-3 --weighed 1:45.913:39.842 --water-c 21.5
    """
    from vault.cli.measured import Given, record_measured, template_of

    if template:
        put_lines(template_of(reading(ctx), lot))
        return
    given = Given(table, state, gauge, measured_on, measured_by, weighed or [], water_c, pores, scan or [])
    vault = writing(ctx)
    measured = record_measured(vault, lot, given, say)
    tell_recorded(vault, *measured.entries, findings=measured.findings)


@commands.command()
def prove(
    ctx: typer.Context,
    what: RevisionOf,
    settings: Settings,
    lot: Annotated[list[str], words("--lot", "A lot that it rests on. Repeatable.", "LOT")],
    extent: Annotated[Extent, one_of("--first-article", "Full, or partial on top of a full one.")] = "full",
    baseline: Annotated[str | None, words("--baseline", "A partial one: the proof below it.", "PROOF")] = None,
    reason: Annotated[str | None, words("--because", "A partial one: the reason.")] = None,
    affected: Annotated[
        list[str] | None, words("--affected", "A partial one: a characteristic it is about. Repeatable.", "NUMBER")
    ] = None,
    approval: Annotated[Path | None, file("--customer-approval", "The customer's approval of it.")] = None,
) -> None:
    """Record what lots prove about settings.

    A proof that is not complete is recorded too, with every reason.

    Example:  partstead prove BRK-204@C --settings S2 --lot L-26A0118
    """
    from vault.actions.proving import NewProof
    from vault.actions.proving import prove as record_proof

    vault = writing(ctx)
    new = NewProof(tuple(lot), extent, baseline, reason, tuple(affected or ()), approval)
    recorded = record_proof(vault, *revision_named(what), settings, new)
    tell_recorded(vault, recorded.entry, findings=recorded.findings)


@commands.command()
def carry(
    ctx: typer.Context,
    what: RevisionOf,
    decided: Annotated[CarryVerdict, one_of("--as", "What is decided.")],
    because: Because,
    settings: OtherSettings = None,
    as_quality: Annotated[bool, flag("--as-quality", "Sign it for quality too.")] = False,
) -> None:
    """Decide whether an older proof covers this revision.

    Example:  partstead carry BRK-204@D --as carries --because "only the marking moved"
    """
    from vault.actions.carrying import carry as record_decision

    vault = writing(ctx)
    recorded = record_decision(vault, *revision_named(what), decided, because, settings, as_quality)
    tell_recorded(vault, recorded.entry, findings=recorded.findings)


@commands.command()
def stage(
    ctx: typer.Context,
    part: PartName,
    to: Annotated[Stage, typer.Argument(help="Where it moves to.")],
    because: Because,
    rev: Annotated[str | None, words("--rev", "The revision; else the newest released and accepted.", "REV")] = None,
    settings: OtherSettings = None,
    sampling_plan: Annotated[Path | None, file("--sampling-plan", "The plan agreed with the customer.")] = None,
    ask: Annotated[bool, flag("--ask", "Only ask the gate; nothing is recorded.")] = False,
) -> None:
    """Move a part to another stage.

    The gate says what is missing.

    Example:  partstead stage BRK-204 ramp --because "first article complete"
    """
    from vault.actions.staging import NewStage, gate_so_far
    from vault.actions.staging import stage as record_move

    new = NewStage(to, because, rev, settings, sampling_plan)
    if ask:
        say_findings(gate_so_far(reading(ctx), part, new).findings)
        return
    vault = writing(ctx)
    recorded = record_move(vault, part, new)
    tell_recorded(vault, recorded.entry, findings=recorded.findings)
