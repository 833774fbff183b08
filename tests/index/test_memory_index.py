"""The index in memory keeps the contract: it is what the other one is held against."""

from tests.contracts.index_contract import IndexContract
from tests.index.records import a_small_shop, written
from tests.index.scripted_store import ScriptedStore
from vault.index.memory_index import MemoryIndex
from vault.interfaces import Index
from vault.records.paths import part_card


class TestMemoryIndex(IndexContract):
    """The contract."""

    def open(self, store: ScriptedStore) -> Index:
        """Return an index over `store`."""
        return MemoryIndex(store)

    def test_an_unreadable_record_is_named(self) -> None:
        index = MemoryIndex(ScriptedStore(written(a_small_shop()) | {part_card("BAD-1"): b"{}"}))
        index.catch_up()
        assert [damage.where for damage in index.damage()] == [part_card("BAD-1")]
