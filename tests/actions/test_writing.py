"""Writing: entries sort as they were decided, whoever waited and whatever the clocks say; ids are never given twice."""

from datetime import timedelta

from tests.builders import PART
from tests.fakes import FakeClock
from tests.given import given_lot, given_part, reader_of
from vault.actions.context import Vault
from vault.actions.holding import hold, lift
from vault.actions.writing import Draft
from vault.model.ids import Thing


def test_a_decision_is_not_dated_before_the_one_it_was_made_on(vault: Vault, clock: FakeClock) -> None:
    given_part(vault)
    held = hold(vault, PART, "cracks seen")
    clock.advance(hours=-2)
    lifted = lift(vault.as_person("quin"), PART, "no cracks")[0]  # type: ignore[arg-type]
    again = hold(vault, PART, "cracks after all")
    assert held.at < lifted.at < again.at
    assert [entry.reason for entry in reader_of(vault).part(PART).holds] == ["cracks seen", "cracks after all"]


def test_the_moment_is_taken_when_the_decision_is_made(vault: Vault, clock: FakeClock) -> None:
    given_part(vault)
    waited = vault.clock.now() + timedelta(seconds=20)
    transact = vault.store.transact

    def after_waiting(decide: object) -> object:
        clock.advance(seconds=20)
        return transact(decide)  # type: ignore[arg-type]

    vault.store.transact = after_waiting  # type: ignore[method-assign, assignment]
    assert hold(vault, PART, "cracks seen").at == waited


def test_two_ids_of_one_decision_differ_and_the_next_decision_goes_on(vault: Vault) -> None:
    reader = reader_of(vault)
    draft = Draft(vault, reader, vault.clock.now())
    year = f"{vault.clock.now():%y}"
    assert [draft.allot(Thing.LOT), draft.allot(Thing.LOT)] == [f"L-{year}A0001", f"L-{year}A0002"]
    given_lot(vault, f"L-{year}A9999")
    assert Draft(vault, reader_of(vault), vault.clock.now()).allot(Thing.LOT) == f"L-{year}A10000"
