"""Fixtures that every test may ask for: a clock, and an empty register with its people."""

from collections.abc import Iterator
from pathlib import Path
from random import Random

import pytest

from tests.builders import a_person, a_policy, made
from tests.fakes import MORNING, FakeClock
from vault.actions.context import NewUlids, Vault
from vault.actions.shapes import ChildShapes
from vault.index.memory_index import MemoryIndex
from vault.interfaces import Change
from vault.model.cards import RegisterCard, WriterCard
from vault.model.ids import Handle
from vault.model.words import Role
from vault.records.codec import encode
from vault.records.paths import path_of
from vault.store.memory_store import MemoryStore

PEOPLE = {
    "ona": Role.OWNER,
    "edda": Role.ENGINEER,
    "emil": Role.ENGINEER,
    "quin": Role.QUALITY,
    "cleo": Role.CLERK,
    "dana": Role.DESK,
    "rolf": Role.READER,
}
"""Who works in the tests' shop, and as what."""


@pytest.fixture
def clock() -> FakeClock:
    return FakeClock()


@pytest.fixture
def vault(tmp_path: Path, clock: FakeClock) -> Iterator[Vault]:
    """An empty register in memory, in edda's hands; `vault.as_person("quin")` hands it on."""
    cards = (
        made(RegisterCard, {}, format=1, id="01KJPT0000000000000000TEST", name="Shop of the tests"),
        made(WriterCard, {}, code="A", host="here"),
        a_policy(),
        *(a_person(handle, role) for handle, role in PEOPLE.items()),
    )
    first = Change("New register", "ona", MORNING, cards={path_of(card): encode(card) for card in cards})
    store = MemoryStore(first, {"writer": "A"})
    new_ulid = NewUlids(clock, Random(20260302).getrandbits)
    with Vault(tmp_path, store, MemoryIndex(store), clock, new_ulid, ChildShapes(), Handle("edda")) as opened:
        yield opened
