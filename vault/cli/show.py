"""Everything that reaches stdout and stderr: data and words, tables without frames, and no hidden characters.

File names come from disks and old records from anywhere, so every text is made plain on its way out.
"""

import json
import sys
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from vault.cli.as_json import plain_form

GAP = "  "


@dataclass(frozen=True)
class Shown:
    """One result in both forms: what `--json` prints, and the lines that a person reads."""

    data: object
    lines: tuple[str, ...]


def plain(text: str) -> str:
    """Return text with everything that a terminal would not show as itself spelled out, line ends kept."""
    return "\n".join(_plain_line(line) for line in text.split("\n"))


def _plain_line(line: str) -> str:
    return "".join(char if char.isprintable() else _spelled(char) for char in line)


def _spelled(char: str) -> str:
    return " " if char == "\t" else f"\\u{ord(char):04x}"


def put(shown: Shown, as_json: bool = False) -> None:
    """Print a result on stdout."""
    if as_json:
        print(json.dumps(plain_form(shown.data), indent=2, ensure_ascii=True, allow_nan=False))
        return
    put_lines(*shown.lines)
    if not shown.lines:
        say("nothing is recorded")


def put_lines(*lines: str) -> None:
    """Print lines of data on stdout."""
    for line in lines:
        print(plain(line))


def say(*lines: str) -> None:
    """Print words for a person on stderr: cautions, progress, what to do next."""
    for line in lines:
        print(plain(line), file=sys.stderr)


def table(headings: Sequence[str], rows: Iterable[Sequence[str]], right: frozenset[int] = frozenset()) -> list[str]:
    """Return a heading and rows in columns; the columns in `right` are numbers and end flush."""
    lines = [[_plain_line(" ".join(cell.split("\n"))) for cell in row] for row in (headings, *rows)]
    if len(lines) == 1:
        return []
    widths = [max(len(line[column]) for line in lines) for column in range(len(headings))]
    return [_aligned(line, widths, right) for line in lines]


def _aligned(line: Sequence[str], widths: Sequence[int], right: frozenset[int]) -> str:
    cells = [
        cell.rjust(width) if column in right else cell.ljust(width)
        for column, (cell, width) in enumerate(zip(line, widths, strict=True))
    ]
    return GAP.join(cells).rstrip()


def facts(pairs: Iterable[tuple[str, str]]) -> list[str]:
    """Return name and value per line, the values below each other; an empty value is left out."""
    told = [(name, value) for name, value in pairs if value]
    width = max((len(name) for name, _ in told), default=0)
    indent = "\n" + " " * (width + len(GAP))
    return [f"{name.ljust(width)}{GAP}{value}".replace("\n", indent) for name, value in told]


def indented(lines: Iterable[str]) -> list[str]:
    """Return the lines two steps in."""
    return [f"  {line}" for line in lines]
