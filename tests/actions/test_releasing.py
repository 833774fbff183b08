"""Releasing, accepting, withdrawing and holding: facts by date, each taken back by another entry."""

from datetime import timedelta

import pytest

from tests.builders import PART, a_move, a_shape
from tests.floor_builders import a_proof
from tests.given import a_path, given, given_part, given_revision, reader_of
from vault.actions.context import Vault
from vault.actions.holding import hold, lift
from vault.actions.releasing import NewAcceptance, accept, release, withdraw
from vault.errors import BadInput, NotAllowed, NotFound, Refused
from vault.model.shape import Topology
from vault.model.words import AcceptanceBasis, Stage


@pytest.fixture
def shop(vault: Vault) -> Vault:
    given_part(vault)
    return vault


def an_answer(vault: Vault, **fields: object) -> NewAcceptance:
    usual = {"basis": AcceptanceBasis.SAMPLE, "accepted_by": "P. Holm", "accepted_on": vault.today}
    return NewAcceptance(**{**usual, "evidence": a_path(vault), **fields})  # type: ignore[arg-type]


def test_a_released_and_accepted_revision_is_the_one_to_print(shop: Vault) -> None:
    revision = given_revision(shop, released=False, accepted=False)
    release(shop, PART, "C")
    accept(shop.as_person("dana"), PART, "C", an_answer(shop))  # type: ignore[arg-type]
    assert reader_of(shop).part(PART).printable == revision


def test_nothing_is_accepted_before_it_is_released(shop: Vault) -> None:
    given_revision(shop, released=False, accepted=False)
    with pytest.raises(Refused, match="NOT_RELEASED"):
        accept(shop, PART, "C", an_answer(shop))


def test_an_open_surface_is_not_released(shop: Vault) -> None:
    torn = Topology(triangles=11, vertices=8, shells=1, closed=False, winding_consistent=True, euler_number=1)
    given_revision(shop, released=False, accepted=False, shape=a_shape(topology=torn))
    with pytest.raises(Refused, match="SHAPE_OPEN"):
        release(shop, PART, "C")


def test_releasing_what_does_not_exist_is_not_found(shop: Vault) -> None:
    given_revision(shop)
    with pytest.raises(NotFound, match="Z"):
        release(shop, PART, "Z")


def test_acceptance_without_evidence_or_from_the_future_is_bad_input(shop: Vault) -> None:
    given_revision(shop, accepted=False)
    with pytest.raises(BadInput, match="is not a file"):
        accept(shop, PART, "C", an_answer(shop, evidence=shop.folder / "phone call"))
    with pytest.raises(BadInput, match="nobody can have accepted"):
        accept(shop, PART, "C", an_answer(shop, accepted_on=shop.today + timedelta(days=1)))


def test_a_withdrawn_acceptance_no_longer_stands(shop: Vault) -> None:
    given_revision(shop)
    withdraw(shop, PART, "C", "cracks at the customer", "acceptance")
    assert reader_of(shop).part(PART).printable is None
    with pytest.raises(Refused, match="no standing acceptance"):
        withdraw(shop, PART, "C", "again", "acceptance")


def test_in_production_one_person_does_not_record_prove_and_release(shop: Vault) -> None:
    given_revision(shop, released=False, accepted=False)  # recorded by edda
    given(shop, a_move(Stage.PRODUCTION), a_proof(by="edda"))
    with pytest.raises(Refused, match="TWO_PERSONS.*emil"):
        release(shop, PART, "C")
    assert release(shop.as_person("emil"), PART, "C").by == "emil"  # type: ignore[arg-type]


def test_who_recorded_a_revision_releases_it_where_another_proves_it(shop: Vault) -> None:
    given_revision(shop, released=False, accepted=False)  # recorded by edda
    given(shop, a_move(Stage.PRODUCTION))
    assert release(shop, PART, "C").by == "edda"


def test_anybody_holds_and_quality_lifts(shop: Vault) -> None:
    given_revision(shop)
    hold(shop.as_person("cleo"), PART, "cracks seen")  # type: ignore[arg-type]
    with pytest.raises(NotAllowed):
        lift(shop, PART, "looks fine")
    lift(shop.as_person("quin"), PART, "inspected: no cracks")  # type: ignore[arg-type]
    assert reader_of(shop).part(PART).standing_holds(None) == ()
    with pytest.raises(Refused, match="not on hold"):
        lift(shop.as_person("quin"), PART, "again")  # type: ignore[arg-type]


def test_a_hold_on_one_revision_leaves_the_others(shop: Vault) -> None:
    held, free = given_revision(shop, "B"), given_revision(shop, "C")
    hold(shop, f"{PART}@B", "wrong fillet")
    history = reader_of(shop).part(PART)
    assert len(history.standing_holds(held.id)) == 1
    assert history.standing_holds(free.id) == ()
