"""Measure everything that has a budget: `python -m tests.bench [NAME ...]` runs the rows of every `*_bench` module."""

import importlib
import sys
from pathlib import Path


def main(names: list[str]) -> int:
    """Print every row, and return 1 where a budget is broken."""
    found = sorted(path.stem for path in Path(__file__).parent.glob("*_bench.py"))
    broken = 0
    for name in found:
        if names and name.removesuffix("_bench") not in names:
            continue
        for row in importlib.import_module(f"tests.bench.{name}").rows():
            sys.stdout.write(f"{row}\n")
            sys.stdout.flush()
            broken += not row.holds
    return 1 if broken else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
