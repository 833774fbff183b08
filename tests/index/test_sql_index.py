"""The index in SQLite keeps the contract, and mends itself where it can."""

import logging
import sqlite3
from pathlib import Path

import pytest

from tests.contracts.index_contract import IndexContract
from tests.index.records import a_part, a_small_shop, an_order, written
from tests.index.scripted_store import ScriptedStore
from vault.index.generations import CURRENT, current_database
from vault.index.home import MemoryHome
from vault.index.sql_index import SqlIndex, open_index
from vault.interfaces import Index
from vault.records.paths import part_card


class TestSqlIndexInAFolder(IndexContract):
    """The contract, in files."""

    @pytest.fixture(autouse=True)
    def _folder(self, tmp_path: Path) -> None:
        self._folder_of_index = tmp_path

    def open(self, store: ScriptedStore) -> Index:
        """Return an index over `store`."""
        return open_index(self._folder_of_index, store)


class TestSqlIndexInMemory(IndexContract):
    """The contract, in memory."""

    def open(self, store: ScriptedStore) -> Index:
        """Return an index over `store`."""
        return SqlIndex(MemoryHome(), store)
