"""Settings: all that is needed to print, sinter and finish a part again. S1, S2 ... per part."""

from pathlib import Path
from typing import Annotated

import typer

from vault.cli import values
from vault.cli.cards import Sets
from vault.cli.options import AsJson, Because, PartName, RevisionOf, argument, file, read_by, words
from vault.cli.parts import revision_named
from vault.cli.recorded import tell_recorded
from vault.cli.session import reader_of, reading, writing
from vault.cli.show import put, put_lines

commands = typer.Typer()
settings = typer.Typer(no_args_is_help=True, help="Settings: how a part is printed, sintered and finished.")
commands.add_typer(settings, name="settings")

Number = Annotated[str, argument("NUMBER", "Number of the settings, such as S2.")]


@settings.command()
def add(
    ctx: typer.Context,
    what: RevisionOf,
    form: Annotated[Path, argument("FILE.json", "A filled-in form; see `form`.", values.a_path)],
    near_net: Annotated[Path | None, file("--near-net", "The shape to print, where it is not the design.")] = None,
    says: Annotated[
        list[values.Pair] | None,
        read_by(values.a_pair, "--near-net-says", "FIELD=VALUE", "What that shape holds already. Repeatable."),
    ] = None,
    setter: Annotated[list[Path] | None, file("--setter", "Shape of a setter. Repeatable.")] = None,
) -> None:
    """Record settings for a revision from a filled-in form.

    Example:  partstead settings add BRK-204@C settings.json
    """
    from vault.actions.settings import ShapesForPrinting, add_settings
    from vault.cli.forms import near_net_fields, read_settings

    vault = writing(ctx)
    shapes = ShapesForPrinting(near_net, near_net_fields(says), tuple(setter or ()))
    tell_recorded(vault, add_settings(vault, *revision_named(what), read_settings(form), shapes))


@settings.command("show")
def show_settings(ctx: typer.Context, part: PartName, number: Number, as_json: AsJson = False) -> None:
    """Show one of a part's settings, field by field.

    Example:  partstead settings show BRK-204 S2
    """
    from vault.actions.finding import resolve_part
    from vault.actions.settings import settings_called
    from vault.cli.views.records import record_shown

    vault = reading(ctx)
    reader = reader_of(vault)
    history = reader.part(resolve_part(vault, reader, part))
    put(record_shown(settings_called(history, number)), as_json)


@settings.command("list")
def list_settings(ctx: typer.Context, part: PartName, as_json: AsJson = False) -> None:
    """List the settings of a part with what proves each.

    Example:  partstead settings list BRK-204
    """
    from vault.actions.finding import resolve_part
    from vault.cli.views.design import settings_shown

    vault = reading(ctx)
    reader = reader_of(vault)
    put(settings_shown(reader.part(resolve_part(vault, reader, part))), as_json)


@settings.command()
def copy(
    ctx: typer.Context,
    part: PartName,
    number: Number,
    because: Because,
    sets: Sets = None,
    label: Annotated[str | None, words("--for", "For another revision than the old ones.", "REV")] = None,
) -> None:
    """Record settings that are older ones with some changes.

    The old ones stay as they are.

    Example:  partstead settings copy BRK-204 S2 --set scale.z=1.21 --because "z came out 0.4 % short"
    """
    from vault.actions.settings import copy_settings
    from vault.cli.forms import settings_changes

    vault = writing(ctx)
    tell_recorded(vault, copy_settings(vault, part, number, settings_changes(sets), because, label))


@settings.command("form")
def empty_form() -> None:
    """Print an empty form to fill in for `settings add`.

    Example:  partstead settings form > settings.json
    """
    from vault.cli.forms import settings_form

    put_lines(settings_form())
