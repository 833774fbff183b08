"""The demonstration: an invented shop, and the main job done in it from start to finish."""

import sys
from pathlib import Path
from typing import Annotated

import typer

from vault.cli import values
from vault.cli.options import argument
from vault.cli.show import put_lines, say

commands = typer.Typer()

_BAR = 24


@commands.command()
def demo(
    folder: Annotated[Path, argument("[DIR]", "An empty or absent folder.", values.a_path)] = Path("demo-register"),
) -> None:
    """Build an invented shop and do the main job in it.

    Its parts, grades and settings are invented and good for nothing but looking. Do not sinter by them.

    Example:  partstead demo demo-register
    """
    from demo_vault.tour import run_demo

    run_demo(folder, put_lines, _progress)


def _progress(done: int, of_how_many: int, what: str) -> None:
    """Draw a bar on a terminal, where the line can be written over; elsewhere say every tenth part."""
    if sys.stderr.isatty():
        filled = _BAR * done // of_how_many
        line = f"\r[{'#' * filled}{'.' * (_BAR - filled)}] {done:4} of {of_how_many}  {what[:34]:34}"
        sys.stderr.write(line + ("\n" if done == of_how_many else ""))
        sys.stderr.flush()
    elif done * 10 // of_how_many > (done - 1) * 10 // of_how_many:
        say(f"{done} of {of_how_many} events: {what}")
