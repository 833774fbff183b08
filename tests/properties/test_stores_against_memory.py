"""Whatever is done to a store, the one in git and the one in memory show and refuse the same."""

import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import Bundle, RuleBasedStateMachine, initialize, invariant, rule

from tests.contracts.store_contract import FIRST, UNKNOWN, a_change
from vault.errors import VaultError
from vault.interfaces import CommitId, Store
from vault.store.memory_store import MemoryStore
from vault.store.opening import create_store, open_store

# Few names, so that paths meet, lie below each other, and differ only in case.
PATHS = st.lists(st.sampled_from(["a", "A", "b", "b.json", "long-name_1"]), min_size=1, max_size=3).map("/".join)
CONTENTS = st.binary(max_size=40)
WRITES = st.dictionaries(PATHS, CONTENTS, max_size=3)


class StoresAgree(RuleBasedStateMachine):
    """Two stores, one in git and one in memory, that are told the same."""

    originals = Bundle("originals")
    commits = Bundle("commits")

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp())
        self.git: Store = create_store(self.folder / "register", FIRST)
        self.memory: Store = MemoryStore(FIRST)

    @initialize(target=commits)
    def the_beginning(self) -> tuple[CommitId, CommitId]:
        return self.git.head(), self.memory.head()

    @rule(target=originals, content=st.binary(max_size=200))
    def keep(self, content: bytes) -> tuple:
        source = self.folder / "original"
        source.write_bytes(content)
        kept = self.git.keep(source)
        assert kept == self.memory.keep(source)
        return kept

    @rule(target=commits, entries=WRITES, cards=WRITES, kept=st.dictionaries(PATHS, originals, max_size=1))
    def write(self, entries: dict, cards: dict, kept: dict) -> tuple[CommitId, CommitId]:
        change = a_change(entries, cards, kept)
        self._same(lambda store: bool(store.transact(lambda _: change)))
        return self.git.head(), self.memory.head()

    @rule(older=commits, newer=commits)
    def compare(self, older: tuple, newer: tuple) -> None:
        assert self.git.changed(older[0], newer[0]) == self.memory.changed(older[1], newer[1])
        assert self.git.is_ancestor(older[0], newer[0]) == self.memory.is_ancestor(older[1], newer[1])
        assert self.git.at(older[0]).walk() == self.memory.at(older[1]).walk()

    @rule(path=PATHS)
    def look(self, path: str) -> None:
        self._same(lambda store: store.at().read(path))
        self._same(lambda store: (store.at().exists(path), store.at().children(path), store.at().walk(path)))

    @rule()
    def open_again(self) -> None:
        self.git.close()
        self.git = open_store(self.folder / "register")

    @invariant()
    def everything_is_the_same(self) -> None:
        git, memory = self.git.at(), self.memory.at()
        assert list(git.read_many(git.walk())) == list(memory.read_many(memory.walk()))
        assert self.git.message(git.commit) == self.memory.message(memory.commit)
        assert not self.git.is_ancestor(UNKNOWN, git.commit)

    def _same(self, act: Callable[[Store], object]) -> None:
        assert _outcome(act, self.git) == _outcome(act, self.memory)

    def teardown(self) -> None:
        damage = list(self.git.audit(lambda _: False))
        self.git.close()
        shutil.rmtree(self.folder)
        assert damage == []


def _outcome(act: Callable[[Store], object], store: Store) -> object:
    try:
        return act(store)
    except VaultError as error:
        return type(error), str(error) if "register as of" not in str(error) else "not found"


TestStoresAgree = StoresAgree.TestCase
TestStoresAgree.settings = settings(
    max_examples=25, stateful_step_count=15, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
