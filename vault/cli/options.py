"""Options and arguments that many commands share, each declared once."""

from collections.abc import Callable
from typing import Annotated, Any

import typer

from vault.cli import values
from vault.cli.completing import part_numbers


def _reading(parser: Callable[[str], Any]) -> Callable[[Any], Any]:
    """Return the parser for Typer, which hands it defaults too: those are values already."""
    return lambda typed: parser(typed) if isinstance(typed, str) else typed


def argument(metavar: str, words: str, parser: Callable[[str], Any] = values.a_text, completed: Any = None) -> Any:
    """Declare an argument; a `parser` of `values` reads it, and `completed` offers the shell what may stand there."""
    return typer.Argument(parser=_reading(parser), metavar=metavar, help=words, autocompletion=completed)


def read_by(parser: Callable[[str], Any], name: str, metavar: str, help_words: str) -> Any:
    """Declare an option that one of the parsers of `values` reads."""
    return typer.Option(name, parser=_reading(parser), metavar=metavar, help=help_words)


def words(name: str, help_words: str, metavar: str = "WORDS") -> Any:
    """Declare an option that takes a text."""
    return read_by(values.a_text, name, metavar, help_words)


def day(name: str, help_words: str) -> Any:
    """Declare an option that takes a day, YYYY-MM-DD."""
    return read_by(values.a_date, name, "DATE", help_words)


def count(name: str, help_words: str) -> Any:
    """Declare an option that takes a number of pieces from 1 up."""
    return read_by(values.a_count, name, "PIECES", help_words)


def count_or_none(name: str, help_words: str) -> Any:
    """Declare an option that takes a number of pieces from 0 up."""
    return read_by(values.a_count_or_none, name, "PIECES", help_words)


def number(name: str, help_words: str, metavar: str) -> Any:
    """Declare an option that takes a decimal number; the metavar names its unit."""
    return read_by(values.a_number, name, metavar, help_words)


def file(name: str, help_words: str, metavar: str = "FILE") -> Any:
    """Declare an option that takes a path."""
    return read_by(values.a_path, name, metavar, help_words)


def flag(name: str, help_words: str) -> Any:
    """Declare a switch that is off unless it is typed."""
    return typer.Option(name, help=help_words)


def one_of(name: str, help_words: str) -> Any:
    """Declare an option whose type lists what may be typed."""
    return typer.Option(name, help=help_words)


PartName = Annotated[
    str,
    argument("PART", "The shop's number, the customer's number, or a piece of either.", completed=part_numbers),
]
PartAtText = Annotated[str, argument("PART[@REV]", "A part, or one revision of it: BRK-204@C.", completed=part_numbers)]
RevisionOf = Annotated[str, argument("PART@REV", "A revision: BRK-204@C.", completed=part_numbers)]
LotId = Annotated[str, argument("LOT", "A lot, such as L-26A0118.")]
OrderId = Annotated[str, argument("ORDER", "An order, such as O-26A0042.")]
Because = Annotated[str, words("--because", "The reason, in one sentence.")]
AsJson = Annotated[bool, flag("--json", "Print JSON on stdout and nothing else there.")]
