"""Starting a register, the writer code of a copy, and the published forms of its records."""

import json
import socket
from pathlib import Path
from typing import Annotated

import typer

from vault.cli import values
from vault.cli.options import argument, file, words
from vault.cli.session import reading
from vault.cli.show import facts, put_lines, say

commands = typer.Typer()
writer = typer.Typer(no_args_is_help=True, help="The writer code of this copy, in the ids that it allots.")
commands.add_typer(writer, name="writer")


@commands.command()
def new(
    folder: Annotated[Path, argument("DIR", "An empty or absent folder.", values.a_path)],
    name: Annotated[str, words("--name", "What the register is called.")],
    me: Annotated[str, words("--me", "Handle of the founder, who owns it.", "HANDLE")],
    person: Annotated[str, words("--person", "The founder's name.")],
    writer: Annotated[str, words("--writer", "Writer code of this copy.", "CODE")] = "A",
) -> None:
    """Start a register in an empty folder.

    Example:  partstead new parts-register --name "Hallbeck Sintering" --me mira --person "Mira Hall"
    """
    from vault.wiring import new_vault

    with new_vault(folder, name, me, person, writer) as vault:
        put_lines(str(folder))
        say(
            f"register {name} started in {folder}, in the hands of {vault.me}, who may do everything in it",
            "next: add people with `partstead person add`, customers, materials, boxes, printers and furnaces",
        )


@writer.command("show")
def show_writer(ctx: typer.Context) -> None:
    """Show this copy's code, whose hands it is in, and its place.

    Example:  partstead writer show
    """
    vault = reading(ctx)
    code = vault.store.local("writer") or "none; claim one with `partstead writer claim CODE`"
    put_lines(*facts((("writer code", code), ("person", vault.me), ("folder", str(vault.folder.resolve())))))


@writer.command("claim")
def claim(ctx: typer.Context, code: Annotated[str, argument("CODE", "1 to 3 letters, without I, O and Q.")]) -> None:
    """Claim a code of its own for a copied register.

    Example:  partstead writer claim B
    """
    from vault.actions.starting import claim_writer
    from vault.wiring import settle_here

    vault = reading(ctx)  # a copy may write nothing but this
    claimed = claim_writer(vault, code, socket.gethostname())
    settle_here(vault)
    put_lines(f"writer code {claimed} is this copy's")


@writer.command("moved")
def moved(ctx: typer.Context) -> None:
    """Say that the register was moved here.

    It then lies nowhere else any more; a copy claims a code of its own instead.

    Example:  partstead writer moved
    """
    from vault.wiring import settle_here

    vault = reading(ctx)
    settle_here(vault)
    put_lines(f"{vault.folder.resolve()} is the register's place now")


@commands.command()
def schema(
    kind: Annotated[str | None, argument("[KIND]", "A kind of record, such as order.")] = None,
    to: Annotated[Path | None, file("--to", "Write one file per kind into this folder.", "DIR")] = None,
) -> None:
    """Print the published form of a kind of record.

    It is a JSON Schema. Without a kind, the kinds are listed.

    Example:  partstead schema revision
    """
    from vault.records.codec import json_schema
    from vault.records.kinds import PUBLISHED, class_of

    kinds = [class_of(kind)] if kind else list(PUBLISHED.values())
    forms = {each.KIND: json.dumps(json_schema(each), indent=2) for each in kinds} if kind or to else {}
    if to is not None:
        put_lines(*write_forms(forms, to))
    else:
        put_lines(*(forms.values() if kind else sorted(PUBLISHED)))


def write_forms(forms: dict[str, str], folder: Path) -> list[str]:
    """Write each form into a file of the folder and return their paths. Raises Fault."""
    from vault.packages.placing import place_file

    return [
        str(place_file(folder / f"{kind}.schema.json", f"{form}\n".encode())) for kind, form in sorted(forms.items())
    ]
