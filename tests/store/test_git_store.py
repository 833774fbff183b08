"""The store in git keeps the contract of all stores, freshly written and packed."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.contracts.store_contract import FIRST, StoreContract
from vault.store.git_store import GitStore
from vault.store.opening import create_store


class TestGitStore(StoreContract):
    @pytest.fixture
    def store(self, tmp_path: Path) -> Iterator[GitStore]:
        with create_store(tmp_path / "register", FIRST) as store:
            yield store
