"""G5: the index can be thrown away, damaged or fall behind, and nothing is lost and no decision changes."""

from pathlib import Path

import pytest

from tests.builders import PART
from tests.fakes import FakeClock
from tests.floor_builders import ORDER
from tests.given import given_makeable, given_order, given_package
from vault.actions.context import Vault
from vault.actions.packaging import issue
from vault.actions.readying import Question, ready
from vault.errors import Refused
from vault.index.sql_index import open_index
from vault.store.layout import local_folder
from vault.wiring import new_vault, open_vault


@pytest.fixture
def folder(tmp_path: Path, clock: FakeClock) -> Path:
    place = tmp_path / "register"
    with new_vault(place, "Shop of the tests", "edda", "Edda", clock=clock) as vault:
        given_makeable(vault)
        given_order(vault)
    return place


def asked(vault: Vault) -> list[str]:
    hits = [(hit.thing, hit.name, hit.title) for hit in vault.index.find("brk 204")]
    findings = [finding.sentence for finding in ready(vault, Question(PART, quantity=20)).readiness.findings]
    return [*map(str, hits), *findings, *vault.index.referrers("part", PART)]


def index_files(folder: Path) -> list[Path]:
    return [path for path in local_folder(folder).iterdir() if path.name.startswith("index")]


def test_an_index_that_was_thrown_away_is_made_again_the_same(folder: Path, clock: FakeClock) -> None:
    with open_vault(folder, clock=clock) as vault:
        before = asked(vault)
    for path in index_files(folder):
        path.unlink()
    with open_vault(folder, clock=clock) as vault:
        assert asked(vault) == before


def test_an_index_of_rubbish_changes_no_answer(folder: Path, clock: FakeClock) -> None:
    with open_vault(folder, clock=clock) as vault:
        before = asked(vault)
    for path in index_files(folder):
        if path.suffix == ".sqlite":
            path.write_bytes(b"rubbish" * 1000)
    with open_vault(folder, clock=clock) as vault:
        assert asked(vault) == before


def test_a_decision_sees_what_another_writer_recorded_a_moment_ago(folder: Path, clock: FakeClock) -> None:
    with open_vault(folder, clock=clock) as slow, open_vault(folder, clock=clock) as quick:
        slow.index.catch_up()
        given_package(quick)
        with pytest.raises(Refused, match="LIVE_PACKAGE"):
            issue(slow, ORDER, folder / "out")


def test_two_readers_may_make_it_anew_at_once(folder: Path, clock: FakeClock) -> None:
    with open_vault(folder, clock=clock) as one, open_vault(folder, clock=clock) as other:
        head = one.index.rebuild()
        assert other.index.rebuild() == head
        again = open_index(local_folder(folder), one.store)
        assert again.find("brk 204") == one.index.find("brk 204")
        again.close()
