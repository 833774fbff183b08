"""The store in memory keeps the contract of all stores."""

import pytest

from tests.contracts.store_contract import FIRST, StoreContract
from vault.store.memory_store import MemoryStore


class TestMemoryStore(StoreContract):
    @pytest.fixture
    def store(self) -> MemoryStore:
        return MemoryStore(FIRST)
