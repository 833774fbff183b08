"""A small register in git, for the tests of what only git has."""

from pathlib import Path

import pytest

from tests.contracts.store_contract import CARD, FIRST, REVISION, write
from vault.store.opening import create_store


@pytest.fixture
def register(tmp_path: Path) -> Path:
    with create_store(tmp_path / "register", FIRST, {"writer": "A"}) as store:
        write(store, entries={REVISION: b"B"}, cards={CARD: b"{}"})
    return tmp_path / "register"
