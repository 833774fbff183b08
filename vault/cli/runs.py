"""Box runs and furnace loads: one box printed on a date, one load of one heat cycle."""

from datetime import date
from pathlib import Path
from typing import Annotated, Literal

import typer

from vault.cli import values
from vault.cli.options import AsJson, argument, day, file, flag, number, one_of, read_by, words
from vault.cli.recorded import tell_recorded
from vault.cli.session import reader_of, reading, writing
from vault.cli.show import put

commands = typer.Typer()
box_run = typer.Typer(no_args_is_help=True, help="Box runs: one box printed on a date.")
load = typer.Typer(no_args_is_help=True, help="Furnace loads: one load of one heat cycle.")
commands.add_typer(box_run, name="box-run")
commands.add_typer(load, name="load")

Texts = list[str] | None
Heat = Literal["debind", "sinter", "debind and sinter", "HIP", "heat treatment"]


@box_run.command("start")
def start_run(
    ctx: typer.Context,
    machine: Annotated[str, argument("MACHINE", "The printer.")],
    box: Annotated[str, words("--box", "The box.", "ID")],
    blend: Annotated[str, words("--blend", "The powder blend.", "BLEND")],
    binder_lot: Annotated[str, words("--binder-lot", "Lot of the binder.", "LOT")],
    binder_expires: Annotated[date | None, day("--binder-expires", "Last day of the binder.")] = None,
    package: Annotated[Texts, words("--package", "A reprint package that is printed. Repeatable.")] = None,
    operator: Annotated[str | None, words("--operator", "Who prints; else who is asking.", "HANDLE")] = None,
    sent: Annotated[Path | None, file("--file", "What was sent to the printer.")] = None,
) -> None:
    """Record that a box run starts.

    Example:  partstead box-run start PRN-1 --box BX-1 --blend M-26A0003 --binder-lot BD-77 --package R-26A0042
    """
    from vault.actions.box_runs import NewRun
    from vault.actions.box_runs import start_run as record_start

    vault = writing(ctx)
    new = NewRun(machine, box, blend, binder_lot, binder_expires, tuple(package or ()), operator, sent)
    recorded = record_start(vault, new)
    tell_recorded(vault, recorded.entry, findings=recorded.findings)


@box_run.command("finish")
def finish_run(
    ctx: typer.Context,
    run: Annotated[str, argument("RUN", "The box run, such as K-26A0017.")],
    badly: Annotated[bool, flag("--badly", "It did not go well.")] = False,
    alarm: Annotated[Texts, words("--alarm", "An alarm of the printer. Repeatable.")] = None,
    note: Annotated[str | None, words("--note", "A remark.")] = None,
) -> None:
    """Record how a box run ended.

    Example:  partstead box-run finish K-26A0017
    """
    from vault.actions.box_runs import finish_run as record_finish

    vault = writing(ctx)
    recorded = record_finish(vault, run, not badly, tuple(alarm or ()), note)
    tell_recorded(vault, recorded.entry, findings=recorded.findings)


@load.command("start")
def start_load(
    ctx: typer.Context,
    furnace: Annotated[str, argument("FURNACE", "The furnace.")],
    heat: Annotated[Heat, one_of("--heat", "Which heat it is.")],
    cycle: Annotated[str, words("--cycle", "Name of the cycle, as in the settings.")],
    lot: Annotated[
        list[values.PlaceTyped],
        read_by(values.a_place, "--lot", "LOT[:PIECES[:TRAY]]", "A lot in it, all pieces unless said. Repeatable."),
    ],
    metal_kg: Annotated[float | None, number("--metal-kg", "Metal in the load.", "KG")] = None,
    binder_kg: Annotated[float | None, number("--binder-kg", "Binder in the load.", "KG")] = None,
    paired: Annotated[bool, flag("--paired", "The engineer asking takes on a pairing of alloys or cycles.")] = False,
    operator: Annotated[str | None, words("--operator", "Who loads; else who is asking.", "HANDLE")] = None,
) -> None:
    """Record that a furnace load starts.

    Example:  partstead load start FUR-1 --heat sinter --cycle "H2 1360" --lot L-26A0118:40:T3 --metal-kg 12
    """
    from vault.actions.loads import NewLoad, Place
    from vault.actions.loads import start_load as record_start

    vault = writing(ctx)
    placed = tuple(Place(*place) for place in lot)
    recorded = record_start(vault, NewLoad(furnace, heat, cycle, placed, metal_kg, binder_kg, paired, operator))
    tell_recorded(vault, recorded.entry, findings=recorded.findings)


@load.command("finish")
def finish_load(
    ctx: typer.Context,
    which: Annotated[str, argument("LOAD", "The load, such as F-26A0009.")],
    deviations: Annotated[str | None, words("--deviations", "How the run left the cycle, if it did.")] = None,
    chart: Annotated[Path | None, file("--chart", "The furnace's chart.")] = None,
    witness: Annotated[
        list[values.WitnessTyped] | None,
        read_by(values.a_witness, "--witness", '"NAME FIELD=VALUE ..."', "A test piece with its results. Repeatable."),
    ] = None,
    report: Annotated[
        list[values.FileOf] | None,
        read_by(values.a_file_by_name, "--report", "NAME=FILE", "The laboratory's report on one. Repeatable."),
    ] = None,
) -> None:
    """Record how a furnace load ended, with its chart.

    Example:  partstead load finish F-26A0009 --chart chart.csv --witness "W1 density_g_cm3=7.61"
    """
    from vault.actions.loads import LoadEnd
    from vault.actions.loads import finish_load as record_finish
    from vault.cli.typed import witness as witness_piece

    vault = writing(ctx)
    pieces = tuple(witness_piece(typed) for typed in witness or ())
    recorded = record_finish(vault, which, LoadEnd(deviations, chart, pieces, dict(report or ())))
    tell_recorded(vault, recorded.entry, findings=recorded.findings)


@box_run.command("list")
def list_runs(ctx: typer.Context, as_json: AsJson = False) -> None:
    """List the box runs, oldest first.

    Example:  partstead box-run list
    """
    from vault.cli.views.floor import runs_shown

    put(runs_shown(reader_of(reading(ctx))), as_json)


@load.command("list")
def list_loads(ctx: typer.Context, as_json: AsJson = False) -> None:
    """List the furnace loads, oldest first.

    Example:  partstead load list
    """
    from vault.cli.views.floor import loads_shown

    put(loads_shown(reader_of(reading(ctx))), as_json)
