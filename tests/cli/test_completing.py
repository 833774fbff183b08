"""The shell offers part numbers, and offers nothing rather than an error."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.shop import Shop
from tests.guarantees.registers import python_environment


def offered(*typed: str) -> list[str]:
    """Return what bash would offer for the last word."""
    words = ["partstead", *typed]
    asked = {"_PARTSTEAD_COMPLETE": "complete_bash", "COMP_WORDS": " ".join(words), "COMP_CWORD": str(len(words) - 1)}
    program = [sys.executable, "-m", "vault"]
    done = subprocess.run(program, env={**python_environment(), **asked}, capture_output=True, check=True, text=True)
    assert done.stderr == ""
    return done.stdout.split()


@pytest.mark.skipif(os.name != "posix", reason="bash is asked")
def test_part_numbers_are_offered_as_they_begin(shop: Shop) -> None:
    shop.done("find", "bracket")  # the index knows everything now
    assert offered("--register", str(shop.register), "show", "BR") == ["BRK-204"]
    assert offered("--register", str(shop.register), "ready", "pump") == []


@pytest.mark.skipif(os.name != "posix", reason="bash is asked")
def test_where_there_is_no_register_nothing_is_offered(tmp_path: Path) -> None:
    assert offered("--register", str(tmp_path), "show", "BR") == []
