"""The main job on the command line: from an empty folder to a repeat order, its package, and the customer's answer."""

import zipfile
from pathlib import Path

import pytest

from tests.cli.shop import Shop, a_cube
from tests.journeys.at_work import at_work
from tests.shapes import bracket


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


def test_a_model_file_leads_to_the_part_that_we_make_already(shop: Shop, tmp_path: Path) -> None:
    same = shop.done("find", str(shop.folder / "bracket-C.stl"), "--json").form
    assert same["same_file"][-1] == {"part": "BRK-204", "words": "BRK-204 rev C, design file bracket-C.stl"}
    alike = shop.done("find", shop.stl("from-the-mail.stl", bracket(wall_mm=0.401)), "--unit", "mm", "--json").form
    assert ("BRK-204", "C") in {(one["part"], one["revision"]) for one in alike["candidates"]}
    assert shop("find", shop.stl("new.stl", a_cube(7)), "--unit", "mm").code == 3


def test_everything_with_an_id_is_shown_on_a_page(shop: Shop) -> None:
    for what, words in (("BRK-204", "live reprint packages"), ("L-26A0001", "deliveries"), ("O-26A0001", "lots"),
                        ("PRN-1", "box runs"), ("NORTHFELL", "orders"), ("BRK-204@B", "SHA-256")):  # fmt: skip
        assert words in shop.done("show", what).out
        assert shop.done("show", what, "--json").form


def test_every_listing_has_a_form_in_json(shop: Shop) -> None:
    for command in ("part", "customer", "person", "gauge", "blend", "box-run", "load", "event", "lot", "order",
                    "nonconformance", "package"):  # fmt: skip
        shop.done(command, "list")
        assert isinstance(shop.done(command, "list", "--json").form, list)
    for command in ("settings", "concession", "permit"):
        assert isinstance(shop.done(command, "list", "BRK-204", "--json").form, list)
