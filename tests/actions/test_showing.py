"""A part on one page shows facts by date and everything that belongs to it; anything else has its page too."""

from datetime import date

import pytest

from tests.builders import (
    a_change,
    a_file,
    a_move,
    a_receipt,
    a_release,
    a_revision,
    an_acceptance,
    made,
    some_requirements,
    ulid,
)
from tests.floor_builders import a_blend, a_delivery, a_hold, a_measurement, a_nonconformance, a_proof, from_blend
from tests.given import given, given_lot, given_makeable, given_order, given_package, given_part
from vault.actions.context import Vault
from vault.actions.showing import PartSheet, Sheet, show_anything, show_part
from vault.errors import Clash, NotFound
from vault.model.decisions import HoldTarget, Withdrawal
from vault.model.design import ChangedRevision


@pytest.fixture
def shop(vault: Vault) -> Vault:
    given_makeable(vault)
    given_order(vault)
    given_package(vault)
    given_lot(vault, order="O-26A0001", package="R-26A0001")
    given(vault, a_measurement(), a_proof(), a_delivery(), a_move())
    return vault


def test_a_part_on_one_page(shop: Vault) -> None:
    sheet = show_part(shop, "nf7781")
    assert (sheet.card.number, sheet.customer.name, sheet.stage) == ("BRK-204", "Northfell Pumps", "ramp")
    assert (sheet.to_print, sheet.newest, sheet.stage_since) == ("C", "C", date(2026, 3, 2))
    assert [line.words for line in sheet.orders] == [
        "order O-26A0001: 28 pieces of BRK-204 rev C, PO PO-9001 line 10, due 2026-04-01"
    ]
    assert [line.id for line in (*sheet.lots, *sheet.live_packages)] == ["L-26A0001", "R-26A0001"]
    assert sheet.delivered == 28
    assert sheet.holds == ()
    assert sheet.shown is None
    [settings] = sheet.settings
    assert (settings.number, settings.made_for, settings.covers) == ("S1", "C", "carries")
    assert settings.proofs == ("proven on rev C, L-26A0001, complete",)


def test_a_revision_shows_what_happened_to_it_by_date(vault: Vault) -> None:
    given_part(vault)
    follows = a_revision("D", follows=ulid("rev C"), receipt=ulid("receipt"), files=(a_file("bracket-D.stl"),))
    change = made(ChangedRevision, {}, part="BRK-204", revision=follows.id, since=ulid("rev C"), shape=a_change(0.3))
    withdrawn = made(
        Withdrawal, {}, id=ulid("withdrawn"), part="BRK-204", revision=follows.id, withdraws=ulid("release D"),
        what="release", reason="Wrong datum",
    )  # fmt: skip
    given(vault, a_revision("C"), a_release("C"), an_acceptance("C"), a_receipt(label="D"), some_requirements())
    vault.clock.advance(days=1)  # type: ignore[attr-defined]
    later = {"at": vault.clock.now()}
    given(vault, follows.model_copy(update=later), change, a_release("D", **later), withdrawn.model_copy(update=later))
    newer, older = show_part(vault, "BRK-204").revisions
    assert (newer.label, newer.received_on, newer.released_on, newer.accepted_on) == ("D", date(2026, 3, 1), None, None)
    assert (newer.withdrawn_on, newer.withdrawn_what, newer.recorded_by) == (date(2026, 3, 3), "release", "edda")
    assert (older.released_on, older.accepted_on, older.superseded_by) == (date(2026, 3, 2), date(2026, 3, 2), None)
    assert (older.requirements, newer.requirements) == (2, None)
    assert newer.changes == (
        "Since rev C: Largest deviation 0.300 mm; volume 6.00 cm3, was 6.00 cm3 (+0.00 %)."
        " (Shape only; drawing requirements not compared.)",
    )


def test_an_accepted_revision_supersedes_the_one_before(shop: Vault) -> None:
    shop.clock.advance(days=1)  # type: ignore[attr-defined]
    later = {"at": shop.clock.now()}
    given(shop, a_revision("D", follows=ulid("rev C"), **later), a_release("D", **later))
    assert show_part(shop, "BRK-204").revisions[1].superseded_by is None
    given(shop, an_acceptance("D", **later))
    sheet = show_part(shop, "BRK-204", "c")
    assert sheet.to_print == "D"
    assert sheet.shown is not None
    assert (sheet.shown.label, sheet.shown.superseded_by, sheet.shown.settings) == ("C", "D", ("S1",))


def test_holds_and_clashes_stand_on_the_page(shop: Vault) -> None:
    other = a_revision("C", id=ulid("other C"), files=(a_file("other.stl"),))
    given(shop, a_hold(HoldTarget(part="BRK-204")), other)
    sheet = show_part(shop, "BRK-204")
    assert sheet.holds == ("hold of BRK-204: 2026-03-02, Chart shows a cold spot",)
    assert sheet.unsettled_labels == ("c",)
    with pytest.raises(Clash):
        show_part(shop, "BRK-204", "C")


@pytest.mark.parametrize(
    ("what", "title", "headings"),
    [
        ("O-26A0001", "order O-26A0001: 28 pieces", ["recorded under it", "reprint packages", "lots", "deliveries"]),
        ("l-26a0001", "lot L-26A0001: 30 pieces of BRK-204 rev C", ["recorded under it", "deliveries"]),
        ("R-26A0001", "reprint package R-26A0001: 28 pieces", ["lots"]),
        ("F-26A0001", "furnace load F-26A0001: sinter in FUR-1", []),
        ("K-26A0001", "box run K-26A0001: BOX-S on PRN-1", ["lots"]),
        ("M-26A0001", "powder blend M-26A0001: 40.000 kg of 17-4PH", ["box runs", "lots"]),
        ("D-26A0001", "delivery D-26A0001: 28 pieces", []),
        ("northfell", "customer NORTHFELL: Northfell Pumps", ["parts", "orders"]),
        ("prn-1", "printer PRN-1: Printer one", ["box runs"]),
        ("FUR-1", "furnace FUR-1: Furnace one", ["furnace loads"]),
        ("CAL-3", "gauge CAL-3: Calliper 150 mm", ["measurements"]),
        ("17-4ph", "material 17-4PH: Demo steel", ["parts", "powder blends"]),
        ("edda", "person edda: Edda", []),
    ],
)
def test_everything_has_its_page(shop: Vault, what: str, title: str, headings: list[str]) -> None:
    sheet = show_anything(shop, what)
    assert isinstance(sheet, Sheet)
    assert sheet.title.startswith(title)
    assert [section.heading for section in sheet.sections] == headings


def test_a_part_with_a_revision_has_the_parts_page(shop: Vault) -> None:
    sheet = show_anything(shop, "BRK-204@C")
    assert isinstance(sheet, PartSheet)
    assert sheet.shown is not None
    assert sheet.shown.label == "C"


def test_a_lot_shows_the_holds_on_everything_it_was_made_of(shop: Vault) -> None:
    given(shop, a_blend("M-26A0007", from_blend("M-26A0001", 1.0)), a_hold(HoldTarget(blend="M-26A0001")))
    given(shop, a_nonconformance())
    sheet = show_anything(shop, "L-26A0001")
    assert isinstance(sheet, Sheet)
    assert sheet.holds == ("powder blend M-26A0001 since 2026-03-02: Chart shows a cold spot",)
    assert "nonconformances" in [section.heading for section in sheet.sections]
    blend = show_anything(shop, "M-26A0001")
    assert isinstance(blend, Sheet)
    assert blend.holds == ("since 2026-03-02: Chart shows a cold spot",)


@pytest.mark.parametrize("what", ["O-26A0009", "nothing", "BRK-204@Z"])
def test_what_is_not_recorded_has_no_page(shop: Vault, what: str) -> None:
    with pytest.raises(NotFound):
        show_anything(shop, what)
