"""Bad input gets a sentence that names the thing, the right exit code, and nothing is written."""

import json
from pathlib import Path

import pytest

from tests.cli.shop import DUE, Shop, a_cube
from vault.interfaces import Change
from vault.store.opening import open_store

REORDER = ("reorder", "BRK-204@C", "--po", "4711", "--po-line", "1", "--po-rev", "C", "--yes")
ORDER = (*REORDER, "--due", DUE)
PART = ("--customer", "NORTHFELL", "--customer-number", "7", "--design-authority", "customer", "--material", "17-4PH")
ACCEPT = ("accept", "BRK-204@C", "--accepted-by", "A. Lund", "--basis", "sample approval")

ROWS: dict[str, tuple[tuple[str, ...], int, str]] = {
    "no pieces": ((*ORDER, "--qty", "0"), 5, "0"),
    "fewer than no pieces": ((*ORDER, "--qty", "-5"), 5, "-5"),
    "half a piece": ((*ORDER, "--qty", "2.5"), 5, "2.5"),
    "more pieces than there can be": ((*ORDER, "--qty", "999999999"), 5, "999999999"),
    "pieces that are no number": ((*ORDER, "--qty", "nan"), 5, "nan"),
    "pieces with a separator": ((*ORDER, "--qty", "1_000"), 5, "1_000"),
    "pieces with an exponent": ((*ORDER, "--qty", "1e3"), 5, "1e3"),
    "pieces left empty": ((*ORDER, "--qty", ""), 5, "quantity ''"),
    "a day without dashes": ((*REORDER, "--qty", "5", "--due", "20260601"), 5, "20260601"),
    "a day that is none": ((*REORDER, "--qty", "5", "--due", "2026-02-30"), 5, "2026-02-30"),
    "a day in another order": ((*REORDER, "--qty", "5", "--due", "01.06.2026"), 5, "01.06.2026"),
    "a day in words": ((*REORDER, "--qty", "5", "--due", "tomorrow"), 5, "tomorrow"),
    "no day": ((*REORDER, "--qty", "5"), 5, "--due"),
    "a day that has passed": ((*REORDER[:-1], "--qty", "5", "--due", "2026-01-01"), 4, "DUE_DATE_PAST"),
    "call-offs that do not add up": ((*REORDER, "--qty", "5", "--call-off", f"{DUE}:4"), 5, "add up to 4"),
    "a call-off without pieces": ((*REORDER, "--qty", "5", "--call-off", DUE), 5, "DATE:QUANTITY"),
    "a clause about nothing known": ((*ORDER, "--qty", "5", "--clause", "weather: fine"), 5, "weather"),
    "a revision nobody recorded": (("reorder", "BRK-204@Q", *ORDER[2:], "--qty", "5"), 4, "Q"),
    "another revision on the PO": ((*ORDER, "--qty", "5", "--po-rev", "B"), 4, "PO_REVISION_DIFFERS"),
    "a review that nobody made": ((*ORDER[:-3], *ORDER[-2:], "--qty", "5"), 4, "--yes"),
    "a part nobody recorded": (("ready", "NOPE-1"), 3, "NOPE-1"),
    "a release of what does not exist": (("release", "BRK-204@Z"), 3, "Z"),
    "a release of no part": (("release", "NOPE-1@A"), 3, "NOPE-1"),
    "a release of no revision": (("release", "BRK-204"), 2, "PART@REV"),
    "a release of half a name": (("release", "@C"), 5, "@C"),
    "a release twice": (("release", "BRK-204@C"), 4, "released already"),
    "an order nobody recorded": (("order", "show", "O-26A9999"), 3, "O-26A9999"),
    "an order that is none": (("order", "show", "4711"), 5, "4711"),
    "a lot nobody recorded": (("lot", "show", "L-26A9999"), 3, "L-26A9999"),
    "a package nobody recorded": (("package", "status", "R-26A9999"), 3, "R-26A9999"),
    "settings nobody recorded": (("settings", "show", "BRK-204", "S9"), 3, "S9"),
    "settings that are none": (("settings", "show", "BRK-204", "nine"), 5, "nine"),
    "a name with a step up": (("part", "add", "../evil", "--description", "x", *PART), 5, "../evil"),
    "a name with a slash": (("part", "add", "a/b", "--description", "x", *PART), 5, "a/b"),
    "a name of two dots": (("part", "add", "..", "--description", "x", *PART), 5, "'..'"),
    "a name of a device": (("part", "add", "CON", "--description", "x", *PART), 5, "CON"),
    "a name with a bell": (("part", "add", "BRK\x07", "--description", "x", *PART), 5, "BRK"),
    "a name with brackets": (("part", "add", "BRK[1]", "--description", "x", *PART), 5, "BRK[1]"),
    "a name from right to left": (("part", "add", "\u202eBRK", "--description", "x", *PART), 5, "BRK"),
    "words with an escape": (("part", "add", "BRK-9", "--description", "a\x1b[31mb", *PART), 5, "U+001B"),
    "words from right to left": (("part", "add", "BRK-9", "--description", "a\u202eb", *PART), 5, "U+202E"),
    "words left empty": (("part", "add", "BRK-9", "--description", " ", *PART), 5, "empty"),
    "an unknown customer": (("part", "add", "B-9", *PART, "--description", "x", "--customer", "OTHR"), 3, "OTHR"),
    "a card twice": (("part", "add", "brk-204", "--description", "x", *PART), 7, "recorded already"),
    "a field there is not": (("part", "edit", "BRK-204", "--set", "colour=red"), 5, "colour"),
    "a field without value": (("part", "edit", "BRK-204", "--set", "note"), 5, "note"),
    "a word that is no choice": (("part", "edit", "BRK-204", "--criticality", "very"), 5, "criticality"),
    "nothing to change": (("part", "edit", "BRK-204"), 5, "--set"),
    "a density that is no number": (("material", "edit", "17-4PH", "--reference-density-g-cm3", "NaN"), 5, "density"),
    "a density below nothing": (("material", "edit", "17-4PH", "--reference-density-g-cm3", "-7"), 5, "density"),
    "a design that is not there": (("revise", "BRK-204", "gone.stl", "--label", "D", "--because", "x"), 5, "gone.stl"),
    "a design without a path": (("revise", "BRK-204", "", "--label", "D", "--because", "x"), 5, "path"),
    "evidence that is not there": ((*ACCEPT, "--evidence", "gone.pdf"), 5, "gone.pdf"),
    "an acceptance to come": ((*ACCEPT, "--evidence", __file__, "--on", "2027-01-01"), 5, "2027-01-01"),
    "a table that is not there": (("requirements", "record", "BRK-204@C", "gone.csv"), 3, "gone.csv"),
    "a form that is not there": (("settings", "add", "BRK-204@C", "gone.json"), 5, "gone.json"),
    "a package that is not there": (("verify", "gone.zip"), 3, "gone.zip"),
    "a kind there is not": (("schema", "poem"), 5, "poem"),
    "a person who may not": (("--me", "rolf", "release", "BRK-204@B"), 8, "rolf"),
    "a person nobody recorded": (("--me", "nobody", "release", "BRK-204@B"), 8, "nobody"),
    "a person with a strange name": (("--me", "R O", "release", "BRK-204@B"), 5, "R O"),
    "an option there is not": (("ready", "BRK-204", "--colour"), 2, "--colour"),
    "an option left away": (("hold", "BRK-204"), 2, "--because"),
    "a command there is not": (("print", "BRK-204"), 2, "print"),
    "a hold that is not": (("lift", "BRK-204", "--because", "x"), 4, "not on hold"),
    "nothing to be found": (("find", "zzzzqqqq"), 3, "zzzzqqqq"),
}  # fmt: skip


@pytest.mark.parametrize("row", ROWS)
def test_bad_input_is_named_refused_and_not_written(shop: Shop, row: str) -> None:
    argv, code, named = ROWS[row]
    before = shop.head
    ran = shop(*argv)
    assert (ran.code, shop.head) == (code, before), ran.err
    assert named in ran.err
    assert "Traceback" not in ran.err
    assert not any(char in ran.err for char in "\x1b\x07\u202e")


def test_one_label_with_two_files_is_refused(shop: Shop) -> None:
    before = shop.head
    other = shop.stl("other.stl", a_cube(12))
    ran = shop("revise", "BRK-204", other, "--label", "C", "--because", "x", "--unit", "mm")
    assert (ran.code, shop.head) == (4, before)
    assert "SAME_LABEL_OTHER_FILE" in ran.err


def test_a_text_that_calls_itself_a_shape_is_refused(shop: Shop) -> None:
    before = shop.head
    ran = shop("revise", "BRK-204", shop.file("text.stl", "hello"), "--label", "D", "--because", "x", "--unit", "mm")
    assert (ran.code, shop.head) == (5, before)
    assert "text.stl" in ran.err


def test_brackets_are_words_like_others(shop: Shop) -> None:
    text = "bracket [mm] {x} <b> %s"
    shop.done("part", "edit", "BRK-204", "--set", f"note={text}")
    assert text in shop.done("part", "show", "BRK-204").out


def test_a_folder_that_is_no_register_is_named(tmp_path: Path) -> None:
    ran = Shop(tmp_path)("find", "bracket")
    assert ran.code == 3
    assert str(tmp_path) in ran.err


def test_outside_every_register_the_next_command_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    ran = Shop(tmp_path).bare("find", "bracket")
    assert ran.code == 3
    assert "partstead new" in ran.err


def test_inside_a_register_it_need_not_be_named(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(shop.register / "local")
    assert "BRK-204" in shop.bare("find", "bracket").out


def test_a_register_of_a_newer_form_is_left_alone(tmp_path: Path) -> None:
    shop = Shop(tmp_path).start()
    with open_store(shop.register) as store:
        card = json.loads(store.at().read("vault.json"))
        newer = json.dumps({**card, "format": 99}).encode()
        store.transact(lambda _: Change("Newer", "mira", shop.clock.now(), cards={"vault.json": newer}))
    ran = shop("find", "bracket")
    assert ran.code == 5
    assert "99" in ran.err


def test_a_copied_register_may_not_write_until_it_has_a_code_of_its_own(tmp_path: Path) -> None:
    shop = Shop(tmp_path).start()
    shop.register.rename(tmp_path / "elsewhere")
    (tmp_path / "elsewhere").rename(tmp_path / "register2")
    moved = ("--register", str(tmp_path / "register2"))
    assert shop.bare(*moved, "person", "add", "edda", "--name", "Edda", "--roles", "engineer").code == 7
    assert shop.bare(*moved, "writer", "claim", "B").code == 0
    assert shop.bare(*moved, "person", "add", "edda", "--name", "Edda", "--roles", "engineer").code == 0
