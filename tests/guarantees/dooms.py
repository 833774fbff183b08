"""Orders deaths from `doomed_writer` and looks at what they leave behind."""

import json
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.guarantees.doomed_writer import RECORDS
from tests.guarantees.registers import is_write_once, python_environment, write_number
from vault.interfaces import CommitId
from vault.store.git_store import GitStore
from vault.store.opening import open_store


class Dooms:
    """A running `doomed_writer` for one register."""

    def __init__(self, folder: Path, process: "subprocess.Popen[str]") -> None:
        self.folder = folder
        self._process = process
        self._report = folder.parent / "report"

    def order(self, **order: object) -> tuple[int, str]:
        """Have one writer killed as ordered; return the code that it ended with, and the error that it reported."""
        self._report.unlink(missing_ok=True)
        line = json.dumps({"folder": str(self.folder), "report": str(self._report), **order})
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        self._process.stdin.write(line + "\n")
        self._process.stdin.flush()
        code = json.loads(self._process.stdout.readline())["code"]
        return code, self._report.read_text("utf-8") if self._report.exists() else ""


@contextmanager
def dooms(folder: Path) -> Iterator[Dooms]:
    """Start a `doomed_writer` for the register in `folder`, and end it afterwards."""
    with subprocess.Popen(
        [sys.executable, "-m", "tests.guarantees.doomed_writer"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env=python_environment(),
    ) as process:
        yield Dooms(folder, process)
        assert process.stdin is not None
        process.stdin.close()


def look_after_a_death(folder: Path, acknowledged: CommitId, name: str, number: int) -> CommitId:
    """Assert that a writer who died over change `name` left a whole register, and write the next entry into it."""
    with open_store(folder) as store:
        head = store.at()  # one look: where Python alone was killed, its git may still be finishing
        assert store.is_ancestor(acknowledged, head.commit), "what was acknowledged is gone"
        written = head.walk(f"doomed/{name}")
        assert len(written) in {0, RECORDS}, "half a change was recorded"
        assert bool(written) == (head.commit != acknowledged), "the branch moved without the change"
        assert list(store.audit(is_write_once)) == []
        return write_number(store, number)


def head_of(folder: Path) -> CommitId:
    """Return the register's newest commit."""
    with open_store(folder) as store:
        return store.head()


def assert_unchanged(store: GitStore, before: CommitId) -> None:
    """Assert that the register stands where it stood, and that nothing in it is broken."""
    assert store.head() == before
    assert list(store.audit(is_write_once)) == []
