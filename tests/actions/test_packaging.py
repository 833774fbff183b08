"""The reprint package: sealed, verified without a register, the same bytes again, void when it must not be printed."""

import json
import zipfile
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from lib3mf import Wrapper

from tests.builders import PART, a_characteristic, some_settings
from tests.fakes import FakeClock
from tests.floor_builders import ORDER, a_delivery, a_hold
from tests.given import a_path, given, given_lot, given_makeable, given_order, given_part, reader_of
from tests.shapes import box, stl_bytes
from vault.actions.context import Vault
from vault.actions.ordering import NewOrder, Review, reorder
from vault.actions.packaging import Issued, issue, paper_recovered, rebuild, status, supersede
from vault.actions.planning import plan
from vault.actions.readying import Question
from vault.actions.releasing import NewAcceptance, accept, release
from vault.actions.requiring import OtherRequirements, record_requirements
from vault.actions.revising import NewRevision, revise
from vault.actions.settings import ShapesForPrinting, add_settings, copy_settings
from vault.errors import Refused
from vault.model.decisions import HoldTarget
from vault.model.findings import stops
from vault.model.orders import CallOff
from vault.model.orientation import Orientation
from vault.model.settings import Scale
from vault.model.words import AcceptanceBasis
from vault.packages.verify import verify_package

EDGES_MM = (30.0, 20.0, 10.0)
SCALE = (1.21, 1.2, 1.22)
MADE_HERE = {"id", "number", "part", "made_for", "by", "at", "derived_from"}


@pytest.fixture
def shop(vault: Vault) -> Vault:
    """A part whose rev A went through the real verbs, printed on edge: part y, z, x along box x, y, z."""
    given_part(vault)
    file = a_path(vault, "bracket.stl", stl_bytes(box(*EDGES_MM)))
    revise(vault, PART, NewRevision(file, "first issue", "A", "mm"))
    release(vault, PART, "A")
    accepted = NewAcceptance(AcceptanceBasis.DRAWING, "P. Holm", vault.today, a_path(vault))
    accept(vault, PART, "A", accepted)
    record_requirements(vault, PART, "A", (a_characteristic(),), OtherRequirements(drawing_compared=True))
    on_edge = some_settings(print_orientation=Orientation.named("+y+z+x"), scale=Scale(x=1.21, y=1.2, z=1.22))
    form = on_edge.model_dump(mode="json", exclude=MADE_HERE)
    add_settings(vault, PART, "A", form)
    return vault


def an_order(vault: Vault) -> NewOrder:
    call = CallOff(due=vault.today + timedelta(days=30), quantity=20)
    return NewOrder(PART, "4500-81", "10", "A", (call,))


def made_package(vault: Vault, folder: Path) -> Issued:
    issued = reorder(vault, an_order(vault), Review(), folder).issued
    assert issued is not None
    return issued


def test_a_package_verifies_without_the_register(shop: Vault, tmp_path: Path) -> None:
    issued = made_package(shop, tmp_path / "out")
    report = verify_package(issued.file)
    assert report.intact
    assert report.as_made
    assert report.package_id == "R-26A0001"


def test_the_green_part_is_turned_first_and_scaled_along_the_box(shop: Vault, tmp_path: Path) -> None:
    issued = made_package(shop, tmp_path / "out")
    with zipfile.ZipFile(issued.file) as bag:
        (tmp_path / "part.3mf").write_bytes(bag.read("R-26A0001/data/green/part.3mf"))
    model = Wrapper().CreateModel()  # lib3mf, the consortium's own reader
    model.QueryReader("3mf").ReadFromFile(str(tmp_path / "part.3mf"))
    outbox = model.GetOutbox()
    size = [high - low for low, high in zip(outbox.MinCoordinate, outbox.MaxCoordinate, strict=True)]
    x, y, z = EDGES_MM
    assert size == pytest.approx([y * SCALE[0], z * SCALE[1], x * SCALE[2]], rel=1e-6)


def test_the_sheet_inside_names_order_revision_and_settings(shop: Vault, tmp_path: Path) -> None:
    issued = made_package(shop, tmp_path / "out")
    with zipfile.ZipFile(issued.file) as bag:
        sheet = json.loads(bag.read("R-26A0001/data/package.json"))
    assert (sheet["kind"], sheet["schema"]) == ("package-sheet", 1)
    assert sheet["revision"]["label"] == "A"
    assert sheet["settings"]["number"] == "S1"
    assert sheet["order"]["po"] == "4500-81"
    assert sheet["source_commit"] == issued.package.source_commit
    assert sheet["mass_g"] == pytest.approx(45.9)  # 30 x 20 x 10 mm at 7.65 g/cm3


def test_it_can_be_made_again_bit_for_bit_later_and_elsewhere(shop: Vault, tmp_path: Path, clock: FakeClock) -> None:
    issued = made_package(shop, tmp_path / "out")
    clock.advance(days=400)
    again = rebuild(shop.as_person("quin"), issued.package.id, tmp_path / "later" / "elsewhere")
    assert again.same
    assert again.file.read_bytes() == issued.file.read_bytes()


def test_a_live_package_stands_against_a_second_one(shop: Vault, tmp_path: Path) -> None:
    issued = made_package(shop, tmp_path / "out")
    with pytest.raises(Refused, match="LIVE_PACKAGE"):
        issue(shop, issued.package.order, tmp_path / "out")
    supersede(shop, issued.package.id, "settings improved")
    assert issue(shop, issued.package.order, tmp_path / "out").package.id == "R-26A0002"


def test_an_order_for_certain_settings_is_made_with_those(shop: Vault, tmp_path: Path) -> None:
    other = copy_settings(shop, PART, "S1", {"clearance_mm": 6.0}, "asked for by the customer")
    copy_settings(shop, PART, "S1", {"clearance_mm": 5.0}, "more room")
    done = reorder(shop, replace(an_order(shop), settings="S2"), Review(), tmp_path)
    assert done.order.settings == other.id
    assert done.issued is not None
    assert done.issued.package.settings == other.id


def test_boxes_are_planned_with_the_near_net_shape_that_is_printed(shop: Vault, tmp_path: Path) -> None:
    history = reader_of(shop).part(PART)
    form = history.settings[0].model_dump(mode="json", exclude=MADE_HERE)
    says = {f"holds_{what}": "no" for what in ("machining_stock", "distortion", "shrinkage_scale")}
    near_net = a_path(shop, "near.stl", stl_bytes(box(30.0, 20.0, 14.0)))
    add_settings(shop, PART, "A", form, ShapesForPrinting(near_net, says))
    issued = made_package(shop, tmp_path)
    x, y, z = (30.0, 20.0, 14.0)
    assert issued.package.plan.green_size_mm == pytest.approx((y * SCALE[0], z * SCALE[1], x * SCALE[2]))
    planned = plan(shop, Question(PART, "A", 20)).plan
    assert planned == issued.package.plan


def reasons(vault: Vault, what: str) -> str:
    return " / ".join(finding.sentence for finding in stops(status(vault, what).findings))


def test_status_says_why_a_package_may_not_be_printed(shop: Vault, tmp_path: Path, clock: FakeClock) -> None:
    issued = made_package(shop, tmp_path / "out")
    assert status(shop, str(issued.file)).may_be_printed
    assert status(shop, f"partstead:{issued.package.id}").may_be_printed
    given(shop, a_hold(HoldTarget(part=PART)))
    assert "on hold" in reasons(shop, issued.package.id)
    clock.advance(days=31)
    assert "was valid until" in reasons(shop, issued.package.id)
    supersede(shop, issued.package.id, "rev B is out")
    assert "rev B is out" in reasons(shop, issued.package.id)


def test_status_finds_a_file_that_was_changed(shop: Vault, tmp_path: Path) -> None:
    issued = made_package(shop, tmp_path / "out")
    content = bytearray(issued.file.read_bytes())
    content[len(content) // 2] ^= 1
    issued.file.write_bytes(content)
    assert status(shop, str(issued.file)).file_differs
    assert not status(shop, str(issued.file)).may_be_printed
    assert not verify_package(issued.file).intact


def test_paper_is_taken_back_from_a_superseded_package_only(shop: Vault, tmp_path: Path) -> None:
    issued = made_package(shop, tmp_path / "out")
    with pytest.raises(Refused, match="Supersede it first"):
        paper_recovered(shop, issued.package.id, 2)
    supersede(shop, issued.package.id, "rev B is out")
    assert paper_recovered(shop, issued.package.id, 2).copies == 2


def test_no_package_without_a_contract_review(vault: Vault, tmp_path: Path) -> None:
    given_makeable(vault)
    given_order(vault, reviewed=False)
    with pytest.raises(Refused, match="REVIEW_MISSING"):
        issue(vault, ORDER, tmp_path)
    assert not list(tmp_path.glob("*.zip"))


def test_a_package_whose_order_is_delivered_is_not_printed_again(shop: Vault, tmp_path: Path) -> None:
    issued = made_package(shop, tmp_path / "out")
    made = {"order": issued.package.order, "package": issued.package.id, "settings": issued.package.settings}
    given_lot(shop, "L-26A0001", revision=issued.package.revision, **made)
    given(shop, a_delivery(order=issued.package.order, lot="L-26A0001", quantity=20))
    assert "is delivered: 20 of 20 pieces" in reasons(shop, issued.package.id)
