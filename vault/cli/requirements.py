"""What the drawing asks of a revision beside its shape."""

from pathlib import Path
from typing import Annotated

import typer

from vault.cli import values
from vault.cli.options import AsJson, RevisionOf, argument, flag, read_by, words
from vault.cli.parts import revision_named
from vault.cli.recorded import tell_recorded
from vault.cli.session import reader_of, reading, writing
from vault.cli.show import put, put_lines

commands = typer.Typer()
requirements = typer.Typer(no_args_is_help=True, help="What the drawing asks of a revision beside its shape.")
commands.add_typer(requirements, name="requirements")

Texts = list[str] | None


@requirements.command()
def record(
    ctx: typer.Context,
    what: RevisionOf,
    table: Annotated[Path, argument("FILE.csv", "The characteristics; see `template`.", values.a_path)],
    compared: Annotated[bool, flag("--drawing-compared", "A person held this drawing against the one before.")] = False,
    change: Annotated[
        list[values.Said] | None,
        read_by(values.a_clause, "--change", "KIND: WORDS", "A requirement that changed. Repeatable."),
    ] = None,
    material: Annotated[str | None, words("--material", "Material that the drawing asks for.", "ID")] = None,
    condition: Annotated[str | None, words("--condition", "Condition of the metal, such as H900.")] = None,
    heat_treatment: Annotated[str | None, words("--heat-treatment", "Heat treatment.")] = None,
    finish: Annotated[str | None, words("--finish", "Finish of the surface.")] = None,
    marking: Annotated[str | None, words("--marking", "What is marked on the part.")] = None,
    specification: Annotated[Texts, words("--specification", "A specification that is called. Repeatable.")] = None,
    note: Annotated[Texts, words("--note", "A note on the drawing. Repeatable.")] = None,
) -> None:
    """Record requirements from a table of characteristics.

    A later record of the same revision takes its place.

    Example:  partstead requirements record BRK-204@C characteristics.csv --drawing-compared
    """
    from vault.actions.requiring import OtherRequirements, read_table, record_requirements
    from vault.cli.typed import requirement_change

    changes = tuple(requirement_change(kind, said) for kind, said in change or ())
    other = OtherRequirements(
        material, condition, heat_treatment, finish, marking, tuple(specification or ()), tuple(note or ()), compared,
        changes,
    )  # fmt: skip
    vault = writing(ctx)
    tell_recorded(vault, record_requirements(vault, *revision_named(what), read_table(table), other))


@requirements.command("show")
def show_requirements(ctx: typer.Context, what: RevisionOf, as_json: AsJson = False) -> None:
    """Show the requirements of a revision.

    Example:  partstead requirements show BRK-204@C
    """
    from vault.actions.finding import resolve_part, resolve_revision
    from vault.cli.views.design import requirements_shown

    vault = reading(ctx)
    reader = reader_of(vault)
    part, label = revision_named(what)
    history = reader.part(resolve_part(vault, reader, part))
    put(requirements_shown(history, resolve_revision(history, label)), as_json)


@requirements.command()
def template() -> None:
    """Print a table of characteristics with one example row.

    Example:  partstead requirements template > characteristics.csv
    """
    from vault.actions.requiring import COLUMNS

    example = {
        "number": "1", "name": "bore", "form": "variable", "nominal": "30", "lower": "29.9", "upper": "30.1",
        "unit": "mm", "key": "yes", "direction": "x", "measured_in": "finished", "feature": "internal",
    }  # fmt: skip
    put_lines(",".join(COLUMNS), ",".join(example.get(column, "") for column in COLUMNS))
