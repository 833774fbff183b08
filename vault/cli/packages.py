"""Reprint packages: make, list, ask whether one may be printed, make again bit for bit; and check any, anywhere."""

from pathlib import Path
from typing import Annotated

import typer

from vault.cli import values
from vault.cli.options import AsJson, Because, OrderId, argument, count, file
from vault.cli.recorded import tell_recorded
from vault.cli.session import reader_of, reading, session_of, writing
from vault.cli.show import put
from vault.errors import Damaged, Refused

commands = typer.Typer()
package = typer.Typer(no_args_is_help=True, help="Reprint packages: the sealed files that the floor needs.")
commands.add_typer(package, name="package")

PackageId = Annotated[str, argument("PACKAGE", "A reprint package, such as R-26A0042.")]
To = Annotated[Path | None, file("--to", "Folder for the file; else `out` in the register.", "DIR")]


@package.command()
def issue(ctx: typer.Context, order: OrderId, to: To = None) -> None:
    """Make the reprint package of a recorded and reviewed order.

    Example:  partstead package issue O-26A0042 --to packages
    """
    from vault.actions.packaging import issue as make_package
    from vault.cli.views.packages import issued_shown

    put(issued_shown(make_package(writing(ctx), order, to or session_of(ctx).out)))


@package.command("list")
def list_packages(
    ctx: typer.Context,
    part: Annotated[str | None, argument("[PART]", "Of one part only.")] = None,
    as_json: AsJson = False,
) -> None:
    """List reprint packages, oldest first, and which are live.

    Example:  partstead package list BRK-204
    """
    from vault.cli.views.packages import packages_shown

    put(packages_shown(reading(ctx), part), as_json)


@package.command("show")
def show_package(ctx: typer.Context, which: PackageId, as_json: AsJson = False) -> None:
    """Show the record of a package, field by field.

    Example:  partstead package show R-26A0042
    """
    from vault.cli.views.packages import package_shown

    put(package_shown(reader_of(reading(ctx)), which), as_json)


@package.command()
def status(
    ctx: typer.Context,
    what: Annotated[str, argument("WHAT", "Its id, its file, or the text of its QR code.")],
    as_json: AsJson = False,
) -> None:
    """Say whether a package may still be printed today.

    Ends with exit code 4 where it may not.

    Example:  partstead package status R-26A0042
    """
    from vault.actions.packaging import status as status_of
    from vault.cli.views.packages import status_shown

    found = status_of(reading(ctx), what)
    put(status_shown(found), as_json)
    if not found.may_be_printed:
        raise typer.Exit(Refused.exit_code)


@package.command()
def rebuild(ctx: typer.Context, which: PackageId, to: To = None, as_json: AsJson = False) -> None:
    """Make a package again from the commit it names.

    Ends with exit code 6 where it does not come out the same, byte for byte.

    Example:  partstead package rebuild R-26A0042 --to again
    """
    from vault.actions.packaging import rebuild as make_again
    from vault.cli.views.packages import rebuilt_shown

    again = make_again(reading(ctx), which, to or session_of(ctx).out)
    put(rebuilt_shown(again), as_json)
    if not again.same:
        raise typer.Exit(Damaged.exit_code)


@package.command()
def supersede(ctx: typer.Context, which: PackageId, because: Because) -> None:
    """Say that a package must not be printed any more.

    Its paper does not leave the floor by itself; see `recovered`.

    Example:  partstead package supersede R-26A0042 --because "rev D accepted"
    """
    from vault.actions.packaging import supersede as record_end

    vault = writing(ctx)
    tell_recorded(vault, record_end(vault, which, because))


@package.command()
def recovered(
    ctx: typer.Context, which: PackageId, copies: Annotated[int, count("--copies", "How many copies.")]
) -> None:
    """Record that paper was taken back from the floor.

    Example:  partstead package recovered R-26A0042 --copies 2
    """
    from vault.actions.packaging import paper_recovered

    vault = writing(ctx)
    tell_recorded(vault, paper_recovered(vault, which, copies))


@commands.command()
def verify(
    package_file: Annotated[Path, argument("FILE", "The package: a ZIP or its unpacked folder.", values.a_path)],
    as_json: AsJson = False,
) -> None:
    """Check a package with nothing but the package.

    No register is needed. Ends with exit code 6 where it is damaged.

    Example:  partstead verify R-26A0042_BRK-204.zip
    """
    from vault.cli.views.packages import verified_shown
    from vault.packages.verify import verify_package

    report = verify_package(package_file)
    put(verified_shown(report), as_json)
    if not report.intact:
        raise typer.Exit(Damaged.exit_code)
