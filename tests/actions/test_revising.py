"""Recording a design revision: measured, compared, never under a label that is taken."""

from pathlib import Path

import pytest

from tests.builders import a_file, a_receipt, a_revision, ulid
from tests.given import a_path, given, given_part, reader_of
from tests.shapes import box, inside_out, stl_bytes
from vault.actions.context import Vault
from vault.actions.receiving import receive, settle
from vault.actions.revising import NewRevision, Revised, revise
from vault.errors import BadInput, Clash, NotAllowed, Refused
from vault.model.shape import ShapeVerdict
from vault.model.words import Authority, LabelScheme


def a_design(vault: Vault, name: str = "bracket.stl", height_mm: float = 10.0) -> Path:
    return a_path(vault, name, stl_bytes(box(30, 20, height_mm)))


def recorded(vault: Vault, label: str, height_mm: float = 10.0, **given: object) -> Revised:
    new = NewRevision(a_design(vault, f"{label}.stl", height_mm), "The customer's new issue", label, "mm", **given)
    return revise(vault, "BRK-204", new)


@pytest.fixture
def shop(vault: Vault) -> Vault:
    given_part(vault)
    return vault


def test_a_first_issue_is_measured_and_follows_nothing(shop: Vault) -> None:
    done = recorded(shop, "-")
    assert done.measured.volume_mm3 == pytest.approx(6000)
    assert done.revision.follows is None
    assert done.change is None


def test_a_second_revision_says_what_really_changed(shop: Vault) -> None:
    recorded(shop, "A")
    done = recorded(shop, "B", height_mm=12.0)
    assert done.change is not None
    assert done.change.verdict is ShapeVerdict.CHANGED
    assert done.change.max_mm == pytest.approx(1.0, abs=1e-3)  # the block is centred: each face moved by 1 mm
    assert done.change.volume_b_mm3 - done.change.volume_a_mm3 == pytest.approx(1200, abs=0.1)


def test_the_same_label_with_the_same_file_is_nothing_to_do(shop: Vault) -> None:
    recorded(shop, "A")
    head = shop.store.head()
    with pytest.raises(Refused, match="recorded already, with this very file"):
        recorded(shop, "a")
    assert shop.store.head() == head


def test_the_same_label_with_another_file_is_refused_until_the_customer_answers(shop: Vault) -> None:
    recorded(shop, "C")
    head = shop.store.head()
    with pytest.raises(Refused, match="SAME_LABEL_OTHER_FILE"):
        recorded(shop, "C", height_mm=11.0)
    assert shop.store.head() == head
    answer = a_path(shop, "answer.eml", b"the 11 mm one is rev C")
    done = recorded(shop, "C", height_mm=11.0, answer=answer, answered_by="P. Holm")
    history = reader_of(shop).part("BRK-204")
    assert history.unsettled_labels() == ()
    assert history.settled("C") == done.revision


def test_two_receipts_with_one_label_and_two_designs_are_unclear(shop: Vault) -> None:
    today = shop.today
    receive(shop, "BRK-204", (a_design(shop, "one.stl"),), "P. Holm", today, "C", None)
    second = receive(shop, "BRK-204", (a_design(shop, "two.stl", 11.0),), "P. Holm", today, "C", None)
    assert second.unclear_label == "C"
    assert reader_of(shop).part("BRK-204").unsettled_labels() == ("c",)


def test_one_shape_in_two_formats_is_no_clash_of_its_label(shop: Vault) -> None:
    both = (a_design(shop, "C.stl"), a_path(shop, "C.step", b"the same bracket as STEP"))
    assert receive(shop, "BRK-204", both, "P. Holm", shop.today, "C", None).unclear_label is None
    recorded(shop, "C")
    assert receive(shop, "BRK-204", both[:1], "P. Holm", shop.today, "c", None).unclear_label is None
    assert reader_of(shop).part("BRK-204").unsettled_labels() == ()
    other = (a_design(shop, "two.stl", 11.0), both[0])
    receive(shop, "BRK-204", other, "P. Holm", shop.today, "C", None)
    answer = a_path(shop, "answer.eml", b"the 11 mm one is rev C")
    recorded(shop, "C", height_mm=11.0, answer=answer, answered_by="P. Holm")
    assert reader_of(shop).part("BRK-204").unsettled_labels() == ()


def test_two_revisions_of_one_label_clash_though_one_receipt_brought_both_files(shop: Vault) -> None:
    first, second = (a_revision("C", id=ulid(name), files=(a_file(name),)) for name in ("one.stl", "two.stl"))
    given(shop, first, second, a_receipt(files=(*first.files, *second.files)))
    assert reader_of(shop).part("BRK-204").unsettled_labels() == ("c",)


def test_the_answer_may_be_that_the_first_file_stands(shop: Vault) -> None:
    first = recorded(shop, "C").revision
    receive(shop, "BRK-204", (a_design(shop, "two.stl", 11.0),), "P. Holm", shop.today, "C", None)
    assert reader_of(shop).part("BRK-204").unsettled_labels() == ("c",)
    settle(shop, "BRK-204", "C", first.design.sha256[:8], "P. Holm", shop.today, a_path(shop))
    assert reader_of(shop).part("BRK-204").unsettled_labels() == ()


def test_a_label_with_rev_before_it_is_no_second_revision(shop: Vault) -> None:
    recorded(shop, "C")
    with pytest.raises(BadInput, match="type the label alone"):
        recorded(shop, "Rev C", height_mm=11.0)


def test_a_customers_label_is_typed_and_never_proposed(shop: Vault) -> None:
    with pytest.raises(BadInput, match="type the label as it stands on the drawing"):
        revise(shop, "BRK-204", NewRevision(a_design(shop), "no label"))


def test_the_shops_own_design_may_follow_its_scheme(vault: Vault) -> None:
    given_part(vault, design_authority=Authority.SHOP, label_scheme=LabelScheme.NUMBERS)
    recorded(vault, "1")
    new = NewRevision(a_design(vault, "next.stl", 12.0), "taller", unit="mm")
    assert revise(vault, "BRK-204", new).revision.label == "2"


def test_a_file_without_unit_is_guessed_with_a_visible_caution(shop: Vault) -> None:
    done = revise(shop, "BRK-204", NewRevision(a_design(shop), "first", "A"))
    assert done.revision.unit_basis.startswith("guessed")
    assert any("states no unit" in caution for caution in done.cautions)


def test_a_part_smaller_than_a_grain_of_powder_has_a_wrong_unit(shop: Vault) -> None:
    tiny = a_path(shop, "tiny.stl", stl_bytes(box(0.03, 0.02, 0.01)))
    head = shop.store.head()
    with pytest.raises(BadInput, match="tiny.stl: read in mm it is 0.03 mm long"):
        revise(shop, "BRK-204", NewRevision(tiny, "first", "A", "mm"))
    assert shop.store.head() == head


def test_a_surface_that_is_inside_out_is_said_to_be(shop: Vault) -> None:
    turned = a_path(shop, "turned.stl", stl_bytes(inside_out(box(30, 20, 10))))
    done = revise(shop, "BRK-204", NewRevision(turned, "first", "A", "mm"))
    assert any("inside out" in caution for caution in done.cautions)


def test_a_clerk_records_no_revision(shop: Vault) -> None:
    with pytest.raises(NotAllowed, match="who can: .*edda"):
        recorded(shop.as_person("cleo"), "A")


def test_a_file_that_is_no_shape_writes_nothing(shop: Vault) -> None:
    head = shop.store.head()
    with pytest.raises(BadInput, match="broken.stl"):
        revise(shop, "BRK-204", NewRevision(a_path(shop, "broken.stl", b"solid nothing"), "x", "A", "mm"))
    assert shop.store.head() == head


def test_a_revision_recorded_meanwhile_is_not_overlooked(shop: Vault, monkeypatch: pytest.MonkeyPatch) -> None:
    recorded(shop, "A")
    transact = shop.store.transact

    def slower(decide: object) -> object:
        monkeypatch.setattr(shop.store, "transact", transact)
        recorded(shop, "B", height_mm=11.0)
        return transact(decide)  # type: ignore[arg-type]

    monkeypatch.setattr(shop.store, "transact", slower)
    with pytest.raises(Clash, match="rev B was recorded meanwhile"):
        recorded(shop, "C", height_mm=12.0)
