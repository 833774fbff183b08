"""Powder blends, and what happens to printers, furnaces and gauges."""

from datetime import date
from typing import Annotated

import typer

from vault.cli import values
from vault.cli.options import AsJson, argument, day, flag, number, one_of, read_by, words
from vault.cli.recorded import tell_recorded
from vault.cli.session import reader_of, reading, writing
from vault.cli.show import put
from vault.model.words import ServiceEffect

commands = typer.Typer()
blend = typer.Typer(no_args_is_help=True, help="Powder blends with their genealogy.")
event = typer.Typer(no_args_is_help=True, help="Service, upsets and clean-outs of equipment.")
commands.add_typer(blend, name="blend")
commands.add_typer(event, name="event")

ByKg = list[values.NumberOf] | None


@blend.command("add")
def add_blend(
    ctx: typer.Context,
    material: Annotated[str, argument("MATERIAL", "The material of the powder.")],
    made_kg: Annotated[float, number("--made-kg", "What the blend weighs.", "KG")],
    powder: Annotated[
        ByKg, read_by(values.a_number_by_name, "--powder", "LOT=KG", "A supplier's lot that went in. Repeatable.")
    ] = None,
    older: Annotated[
        ByKg, read_by(values.a_number_by_name, "--blend", "BLEND=KG", "An older blend that went in. Repeatable.")
    ] = None,
    certificate: Annotated[
        list[values.FileOf] | None,
        read_by(values.a_file_by_name, "--certificate", "LOT=FILE", "The supplier's certificate. Repeatable."),
    ] = None,
    returned: Annotated[bool, flag("--returned-from-run", "Powder came back from a box run.")] = False,
    sieve_um: Annotated[float | None, number("--sieve-um", "Mesh of the sieve it went through.", "UM")] = None,
    test: Annotated[
        list[values.Pair] | None,
        read_by(values.a_pair, "--test", "FIELD=VALUE", "A reading on the powder, and tested_on=DATE. Repeatable."),
    ] = None,
) -> None:
    """Record a powder blend: what went in, what it weighs.

    Reuse and virgin fraction follow from that.

    Example:  partstead blend add 17-4PH --made-kg 25 --powder HL-0817=20 --blend M-26A0003=5
    """
    from vault.actions.blending import NewBlend, record_blend
    from vault.cli.typed import powder_test, put_in

    vault = writing(ctx)
    new = NewBlend(material, put_in(powder, older, certificate), made_kg, returned, sieve_um, powder_test(test))
    recorded = record_blend(vault, new)
    tell_recorded(vault, recorded.entry, findings=recorded.findings)


@blend.command("list")
def list_blends(
    ctx: typer.Context,
    material: Annotated[str | None, words("--material", "Of one material only.", "ID")] = None,
    as_json: AsJson = False,
) -> None:
    """List the powder blends and what stands against using each.

    Example:  partstead blend list --material 17-4PH
    """
    from vault.actions.blending import list_blends as blends_of
    from vault.cli.views.floor import blends_shown

    put(blends_shown(blends_of(reader_of(reading(ctx)), material)), as_json)


@event.command("add")
def add_event(
    ctx: typer.Context,
    equipment: Annotated[str, argument("ID", "The printer, furnace or gauge.")],
    what: Annotated[str, words("--what", "What happened.")],
    effect: Annotated[ServiceEffect, one_of("--effect", "What it means for proofs.")],
    on: Annotated[date | None, day("--on", "When; else today.")] = None,
    characteristic: Annotated[
        list[str] | None, words("--characteristic", "A characteristic to be measured again. Repeatable.", "NUMBER")
    ] = None,
    new_material: Annotated[str | None, words("--new-material", "After a clean-out: what comes next.", "ID")] = None,
    note: Annotated[str | None, words("--note", "A remark.")] = None,
) -> None:
    """Record service, a change, an upset or a clean-out.

    Example:  partstead event add PRN-1 --what "print head changed" --effect "affects quality"
    """
    from vault.actions.equipment import NewEvent, record_event

    vault = writing(ctx)
    new = NewEvent(equipment, what, effect, on, tuple(characteristic or ()), new_material, note)
    tell_recorded(vault, record_event(vault, new))


@event.command("list")
def list_events(
    ctx: typer.Context,
    equipment: Annotated[str | None, argument("[ID]", "One printer, furnace or gauge.")] = None,
    as_json: AsJson = False,
) -> None:
    """List what happened to equipment, oldest first.

    Example:  partstead event list PRN-1
    """
    from vault.cli.views.records import list_shown

    reader = reader_of(reading(ctx))
    events = reader.events()
    chosen = [each for each in events if equipment in {None, each.machine, each.furnace, each.gauge}]
    put(list_shown(reader, chosen), as_json)
