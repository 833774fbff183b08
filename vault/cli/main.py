"""The program `partstead`: its options, its groups of commands, and the one place where errors become exit codes."""

import io
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, Any

import typer

from vault.cli import (
    cards,
    demo,
    design,
    evidence,
    floor,
    looking,
    lots,
    ordering,
    orders,
    packages,
    permissions,
    requirements,
    runs,
    settings,
    shipping,
    starting,
)
from vault.cli.options import file, flag, words
from vault.cli.session import OpenVault, Session
from vault.cli.show import plain
from vault.errors import VaultError, exit_codes

_ABOUT = """The part register of a job shop that binder-jets metal: geometry, revisions and proven print settings.

Data goes to stdout, words to stderr. A command that writes says who is asking (--me) and is refused, with every reason,
where a rule of the shop or the trade says no; nothing is written then.
"""

STOPPED = 130  # as the shell counts it: 128 and the number of the interrupt signal


def _epilog() -> str:
    codes = "\n".join(f"  {code}  {meaning}" for code, meaning in exit_codes())
    return f"\b\nExit codes:\n{codes}"


def build(open_vault: OpenVault) -> typer.Typer:
    """Return the program, with `open_vault` to open the register when a command needs it."""
    app = typer.Typer(
        name="partstead",
        help=_ABOUT,
        epilog=_epilog(),
        no_args_is_help=True,
        rich_markup_mode=None,
        pretty_exceptions_enable=False,
    )

    @app.callback()
    def program(
        ctx: typer.Context,
        register: Annotated[
            Path | None,
            file("--register", "The register's folder; else the current folder or one above it.", "DIR"),
        ] = None,
        me: Annotated[
            str | None, words("--me", "Who is asking; else the person recorded for this copy.", "HANDLE")
        ] = None,
        shared_folder: Annotated[bool, flag("--shared-folder", "Allow writing on a network share.")] = False,
    ) -> None:
        named = register or _from_environment("PARTSTEAD_REGISTER")
        asking = me or os.environ.get("PARTSTEAD_ME") or None
        ctx.obj = ctx.with_resource(Session(open_vault, Path(named) if named else None, asking, shared_folder))

    for group in (starting, cards, design, requirements, settings, floor, runs, lots, evidence, permissions):
        app.add_typer(group.commands)
    for group in (ordering, orders, shipping, packages, looking, demo):
        app.add_typer(group.commands)
    return app


def _from_environment(name: str) -> str | None:
    return os.environ.get(name) or None


def run(open_vault: OpenVault, argv: Sequence[str]) -> int:
    """Run one command and return its exit code. A fault of the program itself passes as the exception it is."""
    _never_fail_on_a_letter()
    code = 1
    try:
        # Not by calling the app: that would put Typer's own hook in the place of Python's traceback.
        program = typer.main.get_command(build(open_vault))
        _keep_examples_whole(program)
        program.main(args=list(argv), prog_name="partstead")
    except VaultError as error:
        _flush()
        print(f"partstead: {plain(str(error))}", file=sys.stderr)
        code = error.exit_code
    except SystemExit as stop:
        code = stop.code if isinstance(stop.code, int) else 1
    except KeyboardInterrupt:
        code = STOPPED
    if code == STOPPED:
        print("partstead: stopped; what was not reported as recorded was not recorded", file=sys.stderr)
    _flush()
    return code


def _keep_examples_whole(command: Any) -> None:
    """Keep the lines of examples as they are, so that they can be copied; Typer would break them at dashes."""
    command.help = (command.help or "").replace("\n\nExample:", "\n\n\b\nExample:")
    for inner in getattr(command, "commands", {}).values():
        _keep_examples_whole(inner)


def _never_fail_on_a_letter() -> None:
    """Let a terminal that cannot show a letter show its number instead of ending the program."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


def _flush() -> None:
    try:
        sys.stdout.flush()
    except BrokenPipeError:
        # Whoever read our output has gone; without this Python complains about it once more at its end.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
