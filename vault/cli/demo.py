"""The demonstration: an invented shop, and the main job done in it from start to finish."""

from pathlib import Path
from typing import Annotated

import typer

from vault.cli import values
from vault.cli.options import argument
from vault.cli.show import put_lines, say

commands = typer.Typer()


@commands.command()
def demo(
    folder: Annotated[Path, argument("[DIR]", "An empty or absent folder.", values.a_path)] = Path("partstead-demo"),
) -> None:
    """Build an invented shop and do the main job in it.

    Its parts, grades and settings are invented and good for nothing but looking. Do not sinter by them.

    Example:  partstead demo demo-register
    """
    from demo_vault.tour import run_demo

    run_demo(folder, put_lines, _progress)


def _progress(done: int, of_how_many: int, what: str) -> None:
    say(f"[{done}/{of_how_many}] {what}")
