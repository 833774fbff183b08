"""The cases that the conformance suite of the Library of Congress lists for BagIt 1.0, rebuilt by us.

Cases after LibraryOfCongress/bagit-conformance-suite, commit 9ab4870 (v1.0 valid: 1, invalid: 4; and those of its v0.97
cases that hold for 1.0). The files are our own.
"""

import hashlib
from collections.abc import Callable
from pathlib import Path

import bagit
import pytest

from tests.packages.bags import a_bag, faults, in_folder, sealed
from vault.packages.report import Wrong

Bag = dict[str, bytes]


def sha512_manifest(bag: Bag, leave_out: str = "") -> bytes:
    """Write a second manifest of the payload, in another algorithm."""
    payload = {path: content for path, content in sorted(bag.items()) if path.startswith("data/") and path != leave_out}
    return "".join(f"{hashlib.sha512(content).hexdigest()}  {path}\n" for path, content in payload.items()).encode()


def not_all_manifests_list_all_files(bag: Bag) -> Bag:
    return {**bag, "manifest-sha512.txt": sha512_manifest(bag, leave_out="data/empty.txt")}


def listed_twice_with_the_same_digest(bag: Bag) -> Bag:
    lines = bag["manifest-sha256.txt"].splitlines(keepends=True)
    return {**bag, "manifest-sha256.txt": b"".join([*lines, lines[0]])}


def listed_twice_with_different_digests(bag: Bag) -> Bag:
    first = bag["manifest-sha256.txt"].splitlines(keepends=True)[0]
    return {**bag, "manifest-sha256.txt": bag["manifest-sha256.txt"] + b"0" * 64 + first[64:]}


def two_manifests_disagree(bag: Bag) -> Bag:
    other = sha512_manifest({**bag, "data/traveler.pdf": b"another traveler"})
    return {**bag, "manifest-sha512.txt": other}


def whitespace_around_a_tag(bag: Bag) -> Bag:
    return {**bag, "bag-info.txt": bag["bag-info.txt"].replace(b"Bagging-Date: ", b"Bagging-Date :  ")}


def whitespace_in_the_declaration(bag: Bag) -> Bag:
    return {**bag, "bagit.txt": bag["bagit.txt"].replace(b"BagIt-Version: ", b"BagIt-Version:   ")}


def byte_order_mark(bag: Bag) -> Bag:
    return {**bag, "bagit.txt": b"\xef\xbb\xbf" + bag["bagit.txt"]}


def old_version(bag: Bag) -> Bag:
    return {**bag, "bagit.txt": bag["bagit.txt"].replace(b"1.0", b"0.97")}


def corrupted_data_file(bag: Bag) -> Bag:
    return {**bag, "data/design/bracket.step": b"ISO-10303-22;" * 40}


def dots_in_a_manifest_path(bag: Bag) -> Bag:
    return {**bag, "manifest-sha256.txt": bag["manifest-sha256.txt"].replace(b"data/empty", b"data/../data/empty")}


def outside_the_bag(bag: Bag) -> Bag:
    return {**bag, "manifest-sha256.txt": bag["manifest-sha256.txt"] + b"0" * 64 + b"  ../../secret.txt\n"}


def not_a_manifest_line(bag: Bag) -> Bag:
    return {**bag, "manifest-sha256.txt": bag["manifest-sha256.txt"] + b"no digest here\n"}


def fetch_list(bag: Bag) -> Bag:  # valid by the RFC; refused by our own rule, since a package holds all of its files
    return {**bag, "fetch.txt": b"https://shop.example/traveler.pdf 24 data/traveler.pdf\n"}


INVALID: dict[Callable[[Bag], Bag], tuple[Wrong, str]] = {
    not_all_manifests_list_all_files: (Wrong.EXTRA, "data/empty.txt"),
    listed_twice_with_the_same_digest: (Wrong.LISTED_TWICE, "data/design/bracket.step"),
    listed_twice_with_different_digests: (Wrong.LISTED_TWICE, "data/design/bracket.step"),
    two_manifests_disagree: (Wrong.CHANGED, "data/traveler.pdf"),
    whitespace_around_a_tag: (Wrong.TAG_FILE, "bag-info.txt"),
    whitespace_in_the_declaration: (Wrong.TAG_FILE, "bagit.txt"),
    byte_order_mark: (Wrong.TAG_FILE, "bagit.txt"),
    old_version: (Wrong.TAG_FILE, "bagit.txt"),
    corrupted_data_file: (Wrong.CHANGED, "data/design/bracket.step"),
    dots_in_a_manifest_path: (Wrong.MISSING, "data/../data/empty.txt"),
    outside_the_bag: (Wrong.MISSING, "../../secret.txt"),
    not_a_manifest_line: (Wrong.TAG_FILE, "manifest-sha256.txt"),
    fetch_list: (Wrong.FETCH, "fetch.txt"),
}


@pytest.mark.parametrize("spoil", INVALID, ids=lambda spoil: spoil.__name__)
def test_an_invalid_bag_is_refused_and_the_fault_named(tmp_path: Path, spoil: Callable[[Bag], Bag]) -> None:
    assert INVALID[spoil] in faults(in_folder(tmp_path, sealed(spoil(a_bag()))))


def test_a_bag_with_a_second_manifest_is_valid(tmp_path: Path) -> None:
    bag = sealed({**a_bag(), "manifest-sha512.txt": sha512_manifest(a_bag())})
    assert faults(in_folder(tmp_path, bag)) == set()


def test_a_percent_sign_in_a_name_is_written_and_read_as_the_rfc_says(tmp_path: Path) -> None:
    # RFC 8493, 2.1.3: LF, CR and % in a path are percent-encoded in manifests
    bag = a_bag()
    name = "data/100%.txt"
    listed = bag["manifest-sha256.txt"] + f"{hashlib.sha256(b'').hexdigest()}  data/100%25.txt\n".encode()
    info = bag["bag-info.txt"].replace(b".5\n", b".6\n")
    assert (
        faults(in_folder(tmp_path, sealed({**bag, name: b"", "manifest-sha256.txt": listed, "bag-info.txt": info})))
        == set()
    )


def test_we_refuse_the_one_invalid_bag_that_the_reference_library_accepts(tmp_path: Path) -> None:
    top = in_folder(tmp_path, sealed(whitespace_around_a_tag(a_bag())))
    bagit.Bag(str(top)).validate()  # raises nothing
    assert (Wrong.TAG_FILE, "bag-info.txt") in faults(top)
