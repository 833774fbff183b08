"""The main job on the command line: from an empty folder to a repeat order, its package, and the customer's answer."""

import zipfile
from pathlib import Path

import pytest

from tests.cli.shop import Shop
from tests.journeys.at_work import at_work


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Shop:
    return at_work(tmp_path_factory.mktemp("journey"))


def package_file(shop: Shop, number: str) -> Path:
    return next((shop.register / "out").glob(f"{number}_*.zip"))


def test_a_proven_part_is_ready_by_the_records_of_a_day(shop: Shop) -> None:
    ran = shop.done("ready", "4471", "--qty", "200", "--json")
    assert (ran.form["part"], ran.form["revision"], ran.form["settings"]) == ("BRK-204", "C", "S1")
    assert ran.form["verdict"] in {"ready", "caution"}
    assert "not a release of parts" in ran.form["basis"]


def test_the_plan_counts_boxes(shop: Shop) -> None:
    planned = shop.done("plan", "BRK-204", "--qty", "200", "--json").form
    assert planned["quantity_to_start"] >= 200
    assert planned["plan"]["boxes"] * planned["plan"]["per_box"] >= planned["quantity_to_start"]


def test_the_package_is_intact_and_made_again_bit_for_bit(shop: Shop, tmp_path: Path) -> None:
    made = package_file(shop, "R-26A0002")
    assert shop.bare("verify", str(made)).code == 0
    assert shop.done("package", "rebuild", "R-26A0002", "--to", str(tmp_path), "--json").form["same"] is True
    assert next(tmp_path.glob("*.zip")).read_bytes() == made.read_bytes()


def test_a_changed_byte_in_a_package_is_damage(shop: Shop, tmp_path: Path) -> None:
    with zipfile.ZipFile(package_file(shop, "R-26A0002")) as bag:
        bag.extractall(tmp_path)
    file = next(path for path in tmp_path.rglob("package.json"))
    file.write_bytes(file.read_bytes().replace(b"200", b"900", 1))
    ran = shop.bare("verify", str(next(tmp_path.iterdir())))
    assert ran.code == 6
    assert "package.json" in ran.out


def test_the_package_may_be_printed_until_somebody_supersedes_it(shop: Shop) -> None:
    assert shop("package", "status", "R-26A0002").code == 0
    shop.done("package", "supersede", "R-26A0001", "--because", "all pieces shipped")
    status = shop("package", "status", str(package_file(shop, "R-26A0001")), "--json")
    assert (status.code, status.form["may_be_printed"]) == (4, False)


def test_the_lot_is_traced_from_its_powder_to_the_customer(shop: Shop) -> None:
    traced = shop.done("trace", "HL-0817", "--json").form
    assert traced["lots"] == ["L-26A0001"]
    assert traced["customers"] == ["NORTHFELL"]
    assert traced["not_shipped"][0]["pieces"] == 1


def test_the_customer_gets_the_history_of_their_parts(shop: Shop, tmp_path: Path) -> None:
    written = shop.done("history", "NORTHFELL", "--to", str(tmp_path)).out.split()
    assert {Path(path).suffix for path in written} == {".html", ".pdf", ".json"}
    assert "4471" in next(tmp_path.glob("*.json")).read_text("utf-8")


def test_the_register_is_what_it_was(shop: Shop) -> None:
    ran = shop.done("check", "--full", "--json")
    assert (ran.form["sound"], ran.form["complete"], ran.form["clashes"]) == (True, True, [])


def test_what_the_customer_said_leads_to_the_part(shop: Shop) -> None:
    for typed in ("4733", "pump bracket", "brk 204", "northfell"):
        assert "BRK-204" in shop.done("find", typed).out, typed


def test_no_more_is_shipped_than_was_made(shop: Shop) -> None:
    before = shop.head
    ran = shop("ship", "O-26A0002", "--lot", "L-26A0001", "--qty", "2")
    assert (ran.code, shop.head) == (4, before)
    assert "1 good pieces left" in ran.err
