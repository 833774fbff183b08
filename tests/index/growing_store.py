"""A store that another process lets grow: the same history in every process, its head named by a file."""

from pathlib import Path

from tests.index.records import a_part, a_small_shop, an_order, written
from tests.index.scripted_store import ScriptedStore
from vault.index.sql_index import open_index
from vault.interfaces import CommitId

COMMITS = 60


class GrowingStore(ScriptedStore):
    """Sixty commits, of which the register has as many as the file says."""

    def __init__(self, head_file: Path) -> None:
        """Make the whole history."""
        self._all: list[CommitId] = []
        super().__init__(written(a_small_shop()))
        self._all.append(self._head)
        for number in range(2, COMMITS + 1):
            part = a_part(f"NEW-{number % 7}", description=f"issue {number}")
            self._all.append(self.commit(written([an_order(number), part])))
        self._head_file = head_file

    def head(self) -> CommitId:
        """Return the newest commit that the register has by now."""
        return self._all[int(self._head_file.read_text(encoding="ascii"))]


def grow(head_file: Path, to: int) -> None:
    """Let the register have `to` + 1 commits."""
    waiting = head_file.with_suffix(".new")
    waiting.write_text(str(to), encoding="ascii")
    waiting.replace(head_file)


def follow(head_file: Path, folder: Path) -> None:
    """Catch up until the history is at its end; what goes wrong ends this process with an error."""
    store = GrowingStore(head_file)
    index = open_index(folder, store)
    last = store._all[-1]
    while index.catch_up() != last:
        assert index.find("BRK-204")[0].name == "BRK-204"
    index.close()
