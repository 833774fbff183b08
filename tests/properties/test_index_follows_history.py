"""Whatever happened to a register and whenever the index caught up: its rows are those of an index made anew."""

import sqlite3
from dataclasses import dataclass, field

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.index.dumps import check_whole, dumped
from tests.index.records import (
    a_blend,
    a_customer,
    a_delivery,
    a_hold,
    a_lot,
    a_material,
    a_measurement,
    a_part,
    a_release,
    a_return,
    a_revision,
    an_order,
    written,
)
from tests.index.scripted_store import ScriptedStore
from vault.index.home import MemoryHome
from vault.index.memory_index import MemoryIndex
from vault.index.sql_index import SqlIndex
from vault.index.sqlite import driver_connection
from vault.interfaces import Index, MatchedBy
from vault.model.base import Record
from vault.records.kinds import BY_KIND
from vault.records.paths import customer_card, path_of

_SPELLINGS: tuple[tuple[Record, ...], ...] = (
    (a_customer(), a_customer(name="Stellwerk Marine"), a_customer(name="Hinge Bracket Works")),
    (a_customer("ORRIN", "Orrin Hydraulics"), a_customer("ORRIN", "Orrin")),
    (a_material(), a_material(name="stainless, sinter grade")),
    (
        a_part(),
        a_part(description="Rudder stop"),
        a_part(customer="ORRIN", material="17-4PH", other_numbers=("K 9/31",)),
    ),
    (a_part("VLV-20", customer="ORRIN", customer_number="2044"), a_part("VLV-20", description="Gehäuse, Ventil")),
    (a_part("BRK-204C", customer_number="HOL-1"),),
    (a_revision(1, drawing_number="DWG-77120"),),
    (a_revision(2, label="D"),),
    (a_revision(3, part="VLV-20", label="4"),),
    (an_order(1),),
    (an_order(2, part="VLV-20", po="2044"),),
    (a_lot(1, order="O-26A0001"),),
    (a_lot(2, part="VLV-20"),),
    (a_measurement(10),),
    (a_delivery(1),),
    (a_return(1),),
    (a_hold(11, lot="L-26A0001"),),
    (a_hold(12, part="BRK-204"),),
    (a_release(13),),
    (a_blend(),),
)
_BAD = (b"", b"{", b'{"kind": "part", "schema": 1}')
_FILES: dict[str, tuple[bytes, ...]] = {
    path_of(spellings[0]): (*(written([one])[path_of(one)] for one in spellings), *_BAD[: len(spellings) > 1])
    for spellings in _SPELLINGS
} | {
    "customers/zz/ELSEWHERE.json": (written([a_customer(name="Not Here")])[customer_card("NORTHFELL")], *_BAD),
    "parts/aa/bb/BAD-1/part.json": _BAD,
    f"parts/aa/bb/BAD-1/receipts/x/files/{'a' * 64}.json": (b"{", b"[]"),
}
_PATHS = sorted(_FILES)
_EDITED = [path for path in _PATHS if len(_FILES[path]) > 1]  # drawn as often as all others together
_TYPED = (
    "brk204", "brk-204 c", "brk 204 rev d", "hinge", "bracket boatworks", "hydraulics", "stellwerk rudder", "2044",
    "20", "4500", "o-26", "gehause", "stainless", "sinter grade hinge", "k9", "l", "dwg77120", "bore tight",
    "hol 44 17", "e",
)  # fmt: skip


@dataclass(frozen=True)
class _Step:
    """One commit: path -> which spelling is written (None: the file is deleted), and what happens around it."""

    files: dict[str, int | None] = field(default_factory=dict)
    catches_up: bool = True
    back_to: int | None = None  # before it, the register is restored to this commit
    merges: int | None = None  # it also has this commit as a parent


_steps = st.lists(
    st.builds(
        _Step,
        files=st.dictionaries(
            st.sampled_from(_EDITED) | st.sampled_from(_PATHS), st.none() | st.integers(0, 3), max_size=12
        ),
        catches_up=st.booleans(),
        back_to=st.none() | st.none() | st.integers(0, 5),
        merges=st.none() | st.integers(0, 5),
    ),
    min_size=1,
    max_size=8,
)


def _spelled(step: _Step) -> dict[str, bytes | None]:
    return {
        path: None if spelling is None else _FILES[path][spelling % len(_FILES[path])]
        for path, spelling in step.files.items()
    }


def _lived(steps: list[_Step], *indexes: Index) -> None:
    """Play the steps on the store that the indexes share, and let them catch up now and then, and at the end."""
    store: ScriptedStore = indexes[0]._store  # type: ignore[attr-defined]
    commits = [store.head()]
    for step in steps:
        if step.back_to is not None:
            store.move_head(commits[step.back_to % len(commits)])
        parents = () if step.merges is None else (commits[step.merges % len(commits)],)
        commits.append(store.commit(_spelled(step), *parents))
        if step.catches_up:
            for index in indexes:
                index.catch_up()
    for index in indexes:
        assert index.catch_up() == store.head()


def _connection(home: MemoryHome) -> sqlite3.Connection:
    engine = home.engine()
    assert engine is not None
    return driver_connection(engine)


@settings(deadline=None, max_examples=150)
@given(_steps)
def test_rows_after_catching_up_in_any_steps_are_the_rows_of_a_rebuild(steps: list[_Step]) -> None:
    store = ScriptedStore()
    followed, anew = MemoryHome(), MemoryHome()
    _lived(steps, SqlIndex(followed, store))
    SqlIndex(anew, store).rebuild()
    assert dumped(_connection(followed)) == dumped(_connection(anew))
    check_whole(_connection(followed))


@settings(deadline=None, max_examples=100)
@given(_steps, st.sampled_from(("part", "lot", "order", "material", "customer", "person")))
def test_answers_are_those_of_the_plain_index(steps: list[_Step], thing: str) -> None:
    store = ScriptedStore()
    quick, plain = SqlIndex(MemoryHome(), store), MemoryIndex(store)
    _lived(steps, quick, plain)
    for kind in BY_KIND:
        assert quick.paths_of(kind) == plain.paths_of(kind)
        assert quick.paths_of(kind, "BRK-204") == plain.paths_of(kind, "BRK-204")
    for name in ("BRK-204", "VLV-20", "L-26A0001", "O-26A0001", "316L", "17-4PH", "NORTHFELL", "mira"):
        assert quick.referrers(thing, name) == plain.referrers(thing, name)
        assert quick.locate(thing, name) == plain.locate(thing, name)
    assert [damage.where for damage in quick.damage()] == [damage.where for damage in plain.damage()]


@settings(deadline=None, max_examples=100)
@given(_steps, st.lists(st.sampled_from(_TYPED) | st.text(max_size=12), min_size=3, max_size=6))
def test_what_is_found_is_what_the_plain_index_finds(steps: list[_Step], typed: list[str]) -> None:
    store = ScriptedStore()
    quick, plain = SqlIndex(MemoryHome(), store), MemoryIndex(store)
    _lived(steps, quick, plain)
    for text in typed:
        found, expected = quick.find(text, 100), plain.find(text, 100)
        if any(hit.matched_by is MatchedBy.NEAR for hit in (*found, *expected)):
            assert set(found) <= set(expected)  # the quick one sees only lines that share three characters in a row
        else:
            assert found == expected
