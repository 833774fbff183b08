"""What the shell offers while somebody types: part numbers, from the index as it lies there; never an error."""

import os
from pathlib import Path

import typer

from vault.cli.session import register_folder
from vault.errors import VaultError

_OFFERED = 20


def part_numbers(ctx: typer.Context, incomplete: str) -> list[tuple[str, str]]:
    """Return part numbers that begin with what was typed, each with what the part is."""
    from vault.quick import quick_find

    named = ctx.find_root().params.get("register") or os.environ.get("PARTSTEAD_REGISTER")
    try:
        hits = quick_find(register_folder(Path(named) if named else None), incomplete, _OFFERED) or ()
    except VaultError:
        return []
    begun = incomplete.casefold()
    return [(hit.name, hit.title) for hit in hits if hit.thing == "part" and hit.name.casefold().startswith(begun)]
