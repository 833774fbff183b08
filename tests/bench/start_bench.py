"""How long a person waits for the program to start, against Python with Typer imported, in the same run.

The register that is searched is a new one with one part: the search itself is measured in `index_bench`.
"""

import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from tests.bench.row import Row

RUNS = 9
PLAIN = ("-c", "import typer")
HELP = ("-m", "vault", "--help")


def rows() -> Iterator[Row]:
    """Yield the cold start of help and of a search, as ratios against the plain process."""
    with tempfile.TemporaryDirectory() as place:
        register = str(Path(place) / "register")
        started("-m", "vault", "new", register, "--name", "Bench", "--me", "ona", "--person", "Ona")
        customer = ("customer", "add", "NORTHFELL", "--name", "Northfell")
        started("-m", "vault", "--register", register, *customer)
        search = ("-m", "vault", "--register", register, "find", "northfell")
        started(*search)  # the first search makes the index
        times = paired(PLAIN, HELP, search)
    plain, of_help, of_find = (statistics.median(column) for column in times)
    yield Row("start: python with typer imported", plain * 1000, "ms")
    yield Row("start: partstead --help, cold, against that", of_help / plain, "x", 3)
    yield Row("start: partstead find, cold, against that", of_find / plain, "x", 8)


def paired(*commands: tuple[str, ...]) -> list[list[float]]:
    """Run the commands in turn, so that a machine which slows down slows all of them; return seconds by command."""
    times: list[list[float]] = [[] for _ in commands]
    for _ in range(RUNS):
        for column, command in zip(times, commands, strict=True):
            column.append(started(*command))
    return times


def started(*arguments: str) -> float:
    """Run Python with arguments and return how long it took, s."""
    begin = time.perf_counter()
    subprocess.run([sys.executable, *arguments], check=True, capture_output=True)
    return time.perf_counter() - begin
