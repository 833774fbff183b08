"""Options and arguments that many commands share, each declared once."""

from typing import Annotated, Any

import typer

from vault.cli import values

PartName = Annotated[
    str,
    typer.Argument(
        parser=values.a_text, metavar="PART", help="The shop's number, the customer's number, or a piece of either."
    ),
]
PartAtText = Annotated[
    str, typer.Argument(parser=values.a_text, metavar="PART[@REV]", help="A part, or one revision of it: BRK-204@C.")
]
RevisionOf = Annotated[str, typer.Argument(parser=values.a_text, metavar="PART@REV", help="A revision: BRK-204@C.")]
LotId = Annotated[str, typer.Argument(parser=values.a_text, metavar="LOT", help="A lot, such as L-26A0118.")]
OrderId = Annotated[str, typer.Argument(parser=values.a_text, metavar="ORDER", help="An order, such as O-26A0042.")]
Because = Annotated[
    str, typer.Option("--because", parser=values.a_text, metavar="WORDS", help="The reason, in one sentence.")
]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON on stdout and nothing else there.")]


def argument(metavar: str, words: str, parser: Any = values.a_text) -> Any:
    """Declare an argument; a `parser` of `values` reads it."""
    return typer.Argument(parser=parser, metavar=metavar, help=words)


def words(name: str, help_words: str, metavar: str = "WORDS") -> Any:
    """Declare an option that takes a text."""
    return typer.Option(name, parser=values.a_text, metavar=metavar, help=help_words)


def day(name: str, help_words: str) -> Any:
    """Declare an option that takes a day, YYYY-MM-DD."""
    return typer.Option(name, parser=values.a_date, metavar="DATE", help=help_words)


def count(name: str, help_words: str) -> Any:
    """Declare an option that takes a number of pieces from 1 up."""
    return typer.Option(name, parser=values.a_count, metavar="PIECES", help=help_words)


def count_or_none(name: str, help_words: str) -> Any:
    """Declare an option that takes a number of pieces from 0 up."""
    return typer.Option(name, parser=values.a_count_or_none, metavar="PIECES", help=help_words)


def number(name: str, help_words: str, metavar: str) -> Any:
    """Declare an option that takes a decimal number; the metavar names its unit."""
    return typer.Option(name, parser=values.a_number, metavar=metavar, help=help_words)


def file(name: str, help_words: str, metavar: str = "FILE") -> Any:
    """Declare an option that takes a path."""
    return typer.Option(name, parser=values.a_path, metavar=metavar, help=help_words)


def read_by(parser: Any, name: str, metavar: str, help_words: str) -> Any:
    """Declare an option that one of the parsers of `values` reads."""
    return typer.Option(name, parser=parser, metavar=metavar, help=help_words)


def flag(name: str, help_words: str) -> Any:
    """Declare a switch that is off unless it is typed."""
    return typer.Option(name, help=help_words)


def one_of(name: str, help_words: str) -> Any:
    """Declare an option whose type lists what may be typed."""
    return typer.Option(name, help=help_words)
