"""Checking a package finds what is wrong and says which file it is."""

import zipfile
from pathlib import Path

import pytest

from tests.packages.bags import PACKAGE, a_bag, faults, good_entries, in_folder, in_odd_zip, in_zip, report_of, sealed
from vault.errors import NotFound
from vault.packages.report import Answered, Wrong


def test_a_good_package_is_intact_and_as_made(tmp_path: Path) -> None:
    report = report_of(in_zip(tmp_path, a_bag()))
    assert (report.intact, report.as_made, report.notes) == (True, True, ())
    assert (report.package_id, report.files) == (PACKAGE, 5)


def test_a_good_package_is_intact_when_unpacked(tmp_path: Path) -> None:
    report = report_of(in_folder(tmp_path, a_bag()))
    assert (report.intact, report.as_made) == (True, None)


def test_the_report_says_what_it_did_not_check(tmp_path: Path) -> None:
    bytes_intact, signed, current = report_of(in_zip(tmp_path, a_bag())).checks
    assert (bytes_intact.answer, signed.answer, current.answer) == (Answered.YES, Answered.NO, Answered.NOT_CHECKED)
    assert "no signature is present" in signed.words
    assert "only the register knows" in current.words


def test_a_package_that_was_compressed_again_is_intact_and_that_is_noted(tmp_path: Path) -> None:
    report = report_of(in_odd_zip(tmp_path, good_entries(), zipfile.ZIP_DEFLATED))
    assert (report.intact, report.as_made) == (True, False)
    assert any("compressed" in note for note in report.notes)


def test_a_changed_a_missing_and_an_added_file_are_each_named(tmp_path: Path) -> None:
    bag = a_bag()
    bag["data/green/part.3mf"] = b"another shape"
    del bag["data/package.json"]
    bag["data/extra.stl"] = b"solid"
    found = faults(in_zip(tmp_path, bag))
    assert {
        (Wrong.CHANGED, "data/green/part.3mf"),
        (Wrong.MISSING, "data/package.json"),
        (Wrong.EXTRA, "data/extra.stl"),
    } <= found
    assert all(code is Wrong.WRONG_TOTAL for code, path in found if path == "bag-info.txt")


def test_a_changed_tag_file_is_named(tmp_path: Path) -> None:
    bag = a_bag()
    bag["bag-info.txt"] = bag["bag-info.txt"].replace(b"200 pieces", b"900 pieces")
    assert faults(in_zip(tmp_path, bag)) == {(Wrong.CHANGED, "bag-info.txt")}


def test_a_tag_file_that_no_manifest_lists_is_named(tmp_path: Path) -> None:
    assert faults(in_zip(tmp_path, {**a_bag(), "note.txt": b"print 900"})) == {(Wrong.EXTRA, "note.txt")}


@pytest.mark.parametrize("gone", ["bagit.txt", "manifest-sha256.txt", "tagmanifest-sha256.txt", "bag-info.txt"])
def test_a_tag_file_that_is_gone_is_named(tmp_path: Path, gone: str) -> None:
    bag = a_bag()
    del bag[gone]
    assert gone in {path for _, path in faults(in_zip(tmp_path, bag))}


def test_a_wrong_payload_total_is_reported(tmp_path: Path) -> None:
    bag = a_bag()
    bag["bag-info.txt"] = bag["bag-info.txt"].replace(b"Payload-Oxum: ", b"Payload-Oxum: 9")
    assert faults(in_folder(tmp_path, sealed(bag))) == {(Wrong.WRONG_TOTAL, "bag-info.txt")}


def test_a_manifest_written_in_another_form_is_intact_but_not_as_made(tmp_path: Path) -> None:
    bag = a_bag()
    bag["manifest-sha256.txt"] = bag["manifest-sha256.txt"].replace(b"  ", b"\t").replace(b"\n", b"\r\n")
    report = report_of(in_folder(tmp_path, sealed(bag)))
    assert (report.intact, report.as_made) == (True, False)


def test_a_folder_under_another_name_is_noted(tmp_path: Path) -> None:
    report = report_of(in_folder(tmp_path, a_bag()).rename(tmp_path / "copy"))
    assert report.intact
    assert any("called copy" in note for note in report.notes)


def test_a_signature_is_reported_and_not_judged(tmp_path: Path) -> None:
    bag = sealed({**a_bag(), "manifest-sha256.txt.sig": b"anything"})
    signed = report_of(in_zip(tmp_path, bag)).checks[1]
    assert (signed.answer, "manifest-sha256.txt.sig" in signed.words) == (Answered.NOT_CHECKED, True)


def test_a_package_that_is_not_there_is_not_found(tmp_path: Path) -> None:
    with pytest.raises(NotFound, match="no package at"):
        report_of(tmp_path / "nothing.zip")
