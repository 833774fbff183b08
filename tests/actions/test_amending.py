"""Amending an order line: an order that waits can be made once somebody says which revision it is for."""

from datetime import timedelta
from pathlib import Path

import pytest

from tests.builders import PART, a_file, a_release, a_revision, a_shape, an_acceptance, made, some_requirements, ulid
from tests.fakes import FakeClock
from tests.floor_builders import ORDER, a_package
from tests.given import a_path, given, given_makeable, given_order, reader_of
from vault.actions.amending import NewAmendment, amend_order
from vault.actions.context import Vault
from vault.actions.ordering import Review, review_order, void_order
from vault.errors import NotAllowed, Refused
from vault.model.design import MeasuredRevision
from vault.model.findings import Code, stops
from vault.model.orders import Order


@pytest.fixture
def shop(vault: Vault, clock: FakeClock) -> Vault:
    given_makeable(vault)
    clock.advance(hours=1)
    return vault.as_person("cleo")


def given_revision_called(vault: Vault, label: str, ago: timedelta = timedelta(0)) -> None:
    revision = a_revision(label, files=(a_file(f"{label}.stl"),), at=vault.clock.now() - ago)
    shape = made(MeasuredRevision, {}, part=PART, revision=revision.id, shape=a_shape(file_sha256=a_file().sha256))
    asked = some_requirements(id=ulid(f"requirements {label}"), revision=revision.id)
    given(vault, revision, shape, asked, a_release(label), an_acceptance(label))


def recorded(vault: Vault) -> Order:
    return reader_of(vault).order(ORDER).order


def test_an_order_that_came_before_its_revision_names_it_by_an_amendment(shop: Vault) -> None:
    given_order(shop, revision=None, revision_as_written="D")
    given_revision_called(shop, "D")
    amended = amend_order(shop, ORDER, NewAmendment("rev D came today"))
    assert (amended.entry.revision, recorded(shop).revision) == (ulid("rev D"), ulid("rev D"))
    assert [finding.code for finding in stops(amended.findings)] == [Code.REVIEW_MISSING]


def test_an_amended_po_names_the_revision_and_is_reviewed_again(shop: Vault, clock: FakeClock) -> None:
    given_order(shop, revision=None, revision_as_written="latest")
    new = NewAmendment("amended PO of today", po_revision="rev C", amendment="1")
    amended = amend_order(shop, ORDER, new)
    assert [finding.code for finding in stops(amended.findings)] == [Code.REVIEW_MISSING]
    order = recorded(shop)
    assert (order.revision, order.amendment, order.revision_as_written) == (ulid("rev C"), "1", "rev C")
    clock.advance(hours=1)
    assert review_order(shop, ORDER, Review()).is_clear
    again = amend_order(shop, ORDER, NewAmendment("their second amendment", amendment="2"))
    assert recorded(shop).revision_as_written == "rev C"
    assert len(reader_of(shop).order(ORDER).amendments) == 2
    assert again.entry.amendment == "2"


def test_a_first_issue_word_is_confirmed_later_by_a_person(shop: Vault) -> None:
    given_revision_called(shop, "-", ago=timedelta(days=9))
    given_order(shop, revision=ulid("rev -"), revision_as_written="N/C")
    amended = amend_order(shop, ORDER, NewAmendment("asked them", confirm_first_issue=True))
    assert amended.entry.dash_confirmed_by == "cleo"
    assert Code.PO_DASH_NOT_CONFIRMED not in {finding.code for finding in amended.findings}


def test_the_customers_document_for_an_older_revision_comes_later(shop: Vault) -> None:
    given_revision_called(shop, "B", ago=timedelta(days=9))
    given_order(shop, revision=ulid("rev B"), revision_as_written="B")
    document = a_path(shop, "spares.eml", b"yes, rev B")
    amended = amend_order(shop, ORDER, NewAmendment("spares for old pumps", older_revision=document))
    assert Code.PO_OLDER_REVISION not in {finding.code for finding in stops(amended.findings)}
    other = amend_order(shop, ORDER, NewAmendment("rev C after all", po_revision="C"))
    assert other.entry.older_revision_document is None


def test_what_cannot_be_amended_is_said(shop: Vault, tmp_path: Path) -> None:
    given_order(shop)
    with pytest.raises(Refused, match="stands so already"):
        amend_order(shop, ORDER, NewAmendment("nothing new"))
    with pytest.raises(NotAllowed):
        amend_order(shop.as_person("rolf"), ORDER, NewAmendment("x", amendment="1"))  # type: ignore[arg-type]
    given(shop, a_package())
    with pytest.raises(Refused, match="partstead package supersede R-26A0001"):
        amend_order(shop, ORDER, NewAmendment("x", amendment="1"))
    void_order(shop, ORDER, "cancelled")
    with pytest.raises(Refused, match="was voided: cancelled"):
        amend_order(shop, ORDER, NewAmendment("x", amendment="1"))
