"""A customer's question is answered with three files of one view; controlled data leave only on somebody's word."""

import json
from datetime import date
from pathlib import Path

import pypdf
import pytest

from tests.builders import CUSTOMER, a_customer, a_part, a_revision, some_settings, ulid
from tests.floor_builders import a_delivery
from tests.given import given, given_lot, given_makeable, given_order, given_package, reader_of
from vault.actions.answering import Authorisation, answer, view_for
from vault.actions.context import Vault
from vault.errors import BadInput, NotAllowed, NotFound, Refused
from vault.model.cards import ExportControl
from vault.model.customer_view import CustomerView
from vault.model.leaving import ExportLog
from vault.model.words import ControlStatus

UNDER = Authorisation("Licence 2026-114", "quin", "Northfell Pumps, Sandvika")


@pytest.fixture
def desk(vault: Vault) -> Vault:
    """A register with one delivered order, in the hands of the customer desk."""
    given_makeable(vault)
    given_order(vault)
    given_package(vault)
    given_lot(vault, order="O-26A0001")
    given(vault, a_delivery())
    return vault.as_person("dana")  # type: ignore[arg-type]


def controlled(vault: Vault, status: ControlStatus = ControlStatus.CONTROLLED) -> None:
    given(vault, a_part(control=ExportControl(status=status)))


def test_the_answer_is_a_page_a_paper_and_data_of_one_view(desk: Vault, tmp_path: Path) -> None:
    answered = answer(desk, "NF-7781", tmp_path / "out")
    assert [path.name for path in answered.files] == [
        "history-BRK-204.html", "history-BRK-204.pdf", "history-BRK-204.json"
    ]  # fmt: skip
    html, pdf, data = answered.files
    assert CustomerView.model_validate_json(data.read_bytes()) == answered.view
    assert "NF-7781" in html.read_text("utf-8")
    assert "NF-7781" in pypdf.PdfReader(pdf).pages[0].extract_text()
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == sorted(path.name for path in answered.files)
    assert answered.logged == ()


def test_a_customers_answer_holds_all_their_parts_with_what_was_delivered(desk: Vault, tmp_path: Path) -> None:
    given(desk, a_part(number="HSG-017", customer_number="NF-90"), a_customer(code="BRIGHTWATER", name="Brightwater"))
    given(desk, a_part(number="CAP-1", customer="BRIGHTWATER", customer_number="B-1"))
    view = answer(desk, "northfell", tmp_path).view
    assert [part.number for part in view.parts] == ["BRK-204", "HSG-017"]
    assert (view.customer, view.shop, view.head) == ("Northfell Pumps", "Shop of the tests", desk.store.head())
    [revision] = view.parts[0].revisions
    assert (revision.label, revision.released_on, revision.accepted_on) == ("C", date(2026, 3, 2), date(2026, 3, 2))
    assert revision.accepted_by == "P. Holm"
    assert [(d.po, d.quantity, d.shipped_on) for d in revision.deliveries] == [("PO-9001", 28, date(2026, 3, 20))]


def test_an_earlier_answer_to_the_same_customer_is_replaced(desk: Vault, tmp_path: Path) -> None:
    answer(desk, "BRK-204", tmp_path)
    given(desk, a_part(description="Bracket, left hand"))
    answered = answer(desk, "BRK-204", tmp_path)
    assert json.loads(answered.files[2].read_text("utf-8"))["parts"][0]["description"] == "Bracket, left hand"


@pytest.mark.parametrize("name", ["history-BRK-204.html", "history-BRK-204.pdf", "history-BRK-204.json"])
def test_somebody_elses_file_is_never_overwritten(desk: Vault, tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_text("mine", "utf-8")
    with pytest.raises(Refused, match=f"{name} exists and is no earlier history for Northfell Pumps"):
        answer(desk, "BRK-204", tmp_path)
    assert [path.name for path in tmp_path.iterdir() if path.is_file()] == [name]


def test_a_target_that_is_a_file_is_refused(desk: Vault, tmp_path: Path) -> None:
    (tmp_path / "out").write_text("", "utf-8")
    with pytest.raises(BadInput, match="is not a folder"):
        answer(desk, "BRK-204", tmp_path / "out")


@pytest.mark.parametrize("status", [ControlStatus.CONTROLLED, ControlStatus.NOT_CLASSIFIED])
def test_controlled_and_unclassified_parts_stay_here_without_an_authorisation(
    desk: Vault, tmp_path: Path, status: ControlStatus
) -> None:
    controlled(desk, status)
    head = desk.store.head()
    for what in ("BRK-204", CUSTOMER):
        with pytest.raises(Refused, match=rf"export control: BRK-204 \({status}\).*--authorisation") as refused:
            answer(desk, what, tmp_path / "out")
        assert refused.value.exit_code == 4
    assert not (tmp_path / "out").exists()
    assert desk.store.head() == head


def test_what_leaves_under_an_authorisation_is_noted_in_the_register(desk: Vault, tmp_path: Path) -> None:
    controlled(desk)
    answered = answer(desk, CUSTOMER, tmp_path, UNDER)
    [note] = answered.logged
    assert (note.part, note.customer, note.by) == ("BRK-204", CUSTOMER, "dana")
    assert (note.authorisation, note.responsible) == ("Licence 2026-114", "quin")
    assert note.destination == "Northfell Pumps, Sandvika"
    assert reader_of(desk).all_of(ExportLog) == (note,)
    assert desk.store.message(desk.store.head()) == (
        "History of NORTHFELL given to Northfell Pumps, Sandvika under Licence 2026-114"
    )


@pytest.mark.parametrize(
    "given_away", [Authorisation("", "quin", "x"), Authorisation("x", " ", "x"), Authorisation("x", "quin", "")]
)
def test_half_an_authorisation_is_none(desk: Vault, tmp_path: Path, given_away: Authorisation) -> None:
    controlled(desk)
    with pytest.raises(BadInput, match="needs its reference, the responsible person and the destination"):
        answer(desk, "BRK-204", tmp_path, given_away)


def test_the_responsible_person_must_be_known(desk: Vault, tmp_path: Path) -> None:
    controlled(desk)
    with pytest.raises(NotFound, match="the responsible person 'stranger' is not recorded"):
        answer(desk, "BRK-204", tmp_path, Authorisation("x", "stranger", "x"))


def test_only_those_who_answer_customers_may_answer(desk: Vault, tmp_path: Path) -> None:
    for handle in ("cleo", "rolf", "nobody"):
        with pytest.raises(NotAllowed, match="may not answer the customer; who can:.*dana"):
            answer(desk.as_person(handle), "BRK-204", tmp_path)  # type: ignore[arg-type]
    assert list(tmp_path.glob("history-*")) == []


def test_what_is_unknown_or_empty_cannot_be_answered(desk: Vault, tmp_path: Path) -> None:
    given(desk, a_customer(code="EMPTY", name="No parts yet"))
    with pytest.raises(NotFound, match="customer EMPTY has no parts"):
        answer(desk, "empty", tmp_path)
    with pytest.raises(NotFound, match="no part has the number"):
        answer(desk, "../NORTHFELL", tmp_path)


def test_nothing_that_was_added_inside_the_shop_changes_the_answer(desk: Vault) -> None:
    before = view_for(desk, "BRK-204")
    given(desk, a_revision("D", follows=ulid("rev C")), some_settings("S2"))
    after = view_for(desk, "BRK-204")
    assert after.parts == before.parts
