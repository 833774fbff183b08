"""What goes wrong in a shop, on the command line: two files of one label, bad pieces, holds, returns, late changes."""

import pytest

from tests.cli.shop import DUE, Shop
from tests.journeys.at_work import at_work
from tests.shapes import bracket


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Shop:
    return at_work(tmp_path_factory.mktemp("trouble"))


def test_a_held_part_is_not_ordered_until_quality_lifts_the_hold(shop: Shop) -> None:
    order = (
        "reorder",
        "BRK-204@C",
        "--qty",
        "3",
        "--po",
        "4740",
        "--po-line",
        "1",
        "--po-rev",
        "C",
        "--due",
        DUE,
        "--yes",
    )
    shop.done("hold", "BRK-204", "--because", "hardness to be measured again")
    refused = shop(*order)
    assert (refused.code, "ON_HOLD" in refused.err) == (4, True)
    assert shop("--me", "cleo", "lift", "BRK-204", "--because", "x").code == 8
    shop.done("--me", "quin", "lift", "BRK-204", "--because", "hardness within limits")
    assert "order O-26A" in shop.done(*order).out


def test_a_second_file_of_one_label_waits_for_the_customers_answer(shop: Shop) -> None:
    first, second = (shop.stl(f"d{n}.stl", bracket(wall_mm=0.1 * n)) for n in (1, 2))
    shop.done("receive", "BRK-204", first, "--from", "A. Lund", "--label", "D")
    ran = shop.done("receive", "BRK-204", second, "--from", "A. Lund", "--label", "D")
    assert "rev D came before with another file" in ran.err
    assert shop("check").code == 7
    shop.done("revise", "BRK-204", first, "--label", "D", "--because", "rev D", "--unit", "mm")
    digest = shop.done("show", "BRK-204@D", "--json").form["files"][0]["sha256"]
    answer = shop.file("answer.txt", "It is the first one. A. Lund")
    shop.done("settle", "BRK-204@D", "--which", digest[:12], "--answered-by", "A. Lund", "--evidence", answer)
    assert shop("check").code == 0


def test_bad_pieces_are_decided_before_the_lot_goes_on(shop: Shop) -> None:
    mail = shop.file("concession.txt", "One piece accepted. A. Lund")
    added = shop.done(
        "nonconformance", "add", "L-26A0001", "--count", "1", "--words", "seam at the foot", "--found-at", "packing"
    )
    number = added.out.split(":")[0].split()[-1]
    decide = ("--me", "quin", "nonconformance", "decide", number, "--count", "1", "--decision", "use as is")
    assert shop(*decide).code == 5
    shop.done("concession", "add", "BRK-204@C", "--lot", "L-26A0001", "--reference", "NF-C-12", "--granted-by",
              "A. Lund", "--words", "seam accepted", "--quantity", "1", "--evidence", mail)  # fmt: skip
    shop.done(*decide, "--concession", "NF-C-12")
    assert shop.done("nonconformance", "list", "--json").form[0]["open"] is False
    assert "NF-C-12" in shop.done("concession", "list", "BRK-204").out


def test_pieces_come_back_and_the_customer_is_told(shop: Shop) -> None:
    assert "T-26A0001" in shop.done("return", "D-26A0001", "--qty", "1", "--defect", "bent in transport").out
    told = shop.done("escape", "D-26A0001", "--qty", "1", "--words", "bent piece packed", "--told", "A. Lund")
    assert "E-26A0001" in told.out
    assert shop("return", "D-26A0001", "--qty", "9", "--defect", "all").code == 5


def test_a_lot_is_split_counted_and_merged_again(shop: Shop) -> None:
    shop.done("lot", "start", "BRK-204@C", "--settings", "S1", "--count", "6", "--blend", "M-26A0001")
    lot = shop.done("lot", "list", "BRK-204", "--json").form[-1]["id"]
    children = shop.done("lot", "split", lot, "4", "2", "--because", "two furnaces").out.split()
    assert children == [f"{lot}/1", f"{lot}/2"]
    merged = shop.done("lot", "merge", *children, "--because", "one furnace after all").out.strip()
    ran = shop.done("lot", "operation", merged, "depowdering", "--in", "6", "--on", "4", "--scrap", "broken=1")
    assert "COUNTS_DO_NOT_BALANCE" in ran.err


def test_what_happened_to_a_printer_is_kept(shop: Shop) -> None:
    shop.done("event", "add", "PRN-1", "--what", "recoater changed", "--effect", "routine")
    assert "recoater changed" in shop.done("event", "list", "PRN-1").out
    assert shop.done("event", "list", "FUR-1", "--json").form == []


def test_an_order_may_wait_and_be_voided(shop: Shop) -> None:
    ran = shop.done("order", "record", "BRK-204", "--qty", "7", "--po", "4790", "--po-line", "1", "--due", DUE)
    number = ran.out.split(":")[0].split()[-1]
    assert "PO_NAMES_NO_REVISION" in ran.err
    assert shop("package", "issue", number).code == 4
    shop.done("order", "void", number, "--because", "entered twice")
    orders = {order["id"]: order for order in shop.done("order", "list", "--json").form}
    assert orders[number]["void"] is True
    assert number not in shop.done("order", "list", "--open").out


def test_other_settings_are_copied_and_not_proven(shop: Shop) -> None:
    shop.done("settings", "copy", "BRK-204", "S1", "--set", "scale.z=1.215", "--set", "print-orientation=+y-x+z",
              "--because", "z came out short")  # fmt: skip
    copied = shop.done("settings", "show", "BRK-204", "S2", "--json").form
    assert (copied["scale"]["z"], copied["reason"]) == (1.215, "z came out short")
    assert "NEVER_PROVEN" in shop("ready", "BRK-204@C", "--settings", "S2").out
    assert shop("carry", "BRK-204@C", "--as", "carries", "--settings", "S2", "--because", "like S1").code == 3


def test_a_permit_is_recorded_before_making(shop: Shop) -> None:
    mail = shop.file("permit.txt", "Without marking. A. Lund")
    permit = ("permit", "add", "BRK-204@D", "--reference", "NF-P-3", "--granted-by", "A. Lund", "--words",
              "without marking", "--evidence", mail)  # fmt: skip
    assert shop(*permit).code == 5
    shop.done(*permit, "--quantity", "20")
    assert "NF-P-3" in shop.done("permit", "list", "BRK-204").out


def test_a_review_is_made_later(shop: Shop) -> None:
    shop.done(
        "order", "record", "BRK-204@C", "--qty", "4", "--po", "4795", "--po-line", "1", "--po-rev", "C", "--due", DUE
    )
    number = shop.done("order", "list", "--json").form[-1]["id"]
    assert "REVIEW_MISSING" in shop("package", "issue", number).err
    shop.done("review", number, "--yes", "--quote-agrees", "agrees")
    package = shop.done("package", "issue", number).out.split(":")[0].split()[-1]
    shop.done("package", "supersede", package, "--because", "ordered again")
    shop.done("package", "recovered", package, "--copies", "2")
    assert "superseded" in shop.done("package", "list", "BRK-204").out
    assert package in shop.done("package", "show", package).out


def test_surplus_is_kept_with_a_place_and_a_last_day(shop: Shop) -> None:
    shop.done("lot", "start", "BRK-204@C", "--settings", "S1", "--count", "2", "--blend", "M-26A0001")
    lot = shop.done("lot", "list", "BRK-204", "--json").form[-1]["id"]
    shop.done("lot", "finish", lot, "--good", "2")
    assert shop("lot", "surplus", lot, "--count", "1", "--decision", "keep").code == 5
    kept = ("lot", "surplus", lot, "--count", "1", "--decision", "keep", "--where", "shelf 4", "--until", shop.day(90))
    shop.done(*kept)
    assert "surplus" in shop.done("lot", "show", lot).out


def test_a_withdrawn_release_stops_the_next_order(shop: Shop) -> None:
    shop.done("withdraw", "BRK-204@C", "--because", "crack found at the web")
    ran = shop("ready", "BRK-204@C", "--json")
    assert (ran.code, ran.form["verdict"]) == (4, "stop")
    assert "WITHDRAWN" in {finding["code"] for finding in ran.form["findings"]}
    shop.done("release", "BRK-204@C")
