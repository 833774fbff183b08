"""A package is a bag by the book, and the same bytes wherever it is made."""

import hashlib
import os
import shutil
import subprocess
import sys
import zipfile
from datetime import date
from pathlib import Path

import bagit
import pytest

from tests.packages.bags import PACKAGE, PAYLOAD, a_bag, in_folder, in_zip
from vault.errors import BadInput
from vault.packages.bag import as_zip, make_bag

REPOSITORY = Path(__file__).parents[2]
GOLDEN = "84d806207bc1eff99d17eac8568361126f78b9ee9257ce2172aab4a9c7c8e290"


def test_the_reference_library_accepts_our_package(tmp_path: Path) -> None:
    # bagit 1.9.0 of the Library of Congress, the reference implementation of RFC 8493
    with zipfile.ZipFile(in_zip(tmp_path, a_bag())) as archive:
        archive.extractall(tmp_path / "unpacked")
    bag = bagit.Bag(str(tmp_path / "unpacked" / PACKAGE))
    bag.validate()
    assert bag.info["External-Identifier"] == PACKAGE
    assert bag.info["Bagging-Date"] == "2026-03-09"


def test_the_declaration_is_that_of_rfc_8493() -> None:
    # RFC 8493, section 2.1.1: exactly these two lines
    assert a_bag()["bagit.txt"].split(b"\n") == [b"BagIt-Version: 1.0", b"Tag-File-Character-Encoding: UTF-8", b""]


def test_the_payload_oxum_is_octets_and_streams() -> None:
    # RFC 8493, section 2.2.2
    total = sum(len(content) for content in PAYLOAD.values())
    assert f"Payload-Oxum: {total}.{len(PAYLOAD)}\n".encode() in a_bag()["bag-info.txt"]


@pytest.mark.skipif(shutil.which("sha256sum") is None, reason="sha256sum is not on this machine")
def test_unzip_and_sha256sum_are_enough_to_check_a_package(tmp_path: Path) -> None:
    top = in_folder(tmp_path, a_bag())
    for name in ("manifest-sha256.txt", "tagmanifest-sha256.txt"):
        subprocess.run(["sha256sum", "--check", "--strict", "--quiet", name], cwd=top, check=True, timeout=30)


def test_a_package_is_the_same_bytes_in_another_process_folder_and_time_zone(tmp_path: Path) -> None:
    script = "from tests.packages.bags import *; import sys; sys.stdout.buffer.write(as_zip(a_bag(), PACKAGE))"
    for zone, seed in (("Pacific/Kiritimati", "1"), ("America/St_Johns", "2")):
        environment = {**os.environ, "TZ": zone, "PYTHONHASHSEED": seed, "PYTHONPATH": str(REPOSITORY)}
        made = subprocess.run(
            [sys.executable, "-c", script], cwd=tmp_path, env=environment, capture_output=True, check=True, timeout=60
        )
        assert made.stdout == as_zip(a_bag(), PACKAGE)


def test_the_order_in_which_files_are_handed_over_does_not_matter() -> None:
    backwards = dict(reversed(PAYLOAD.items()))
    assert as_zip(a_bag(backwards), PACKAGE) == as_zip(a_bag(), PACKAGE)


def test_the_bytes_of_a_package_have_not_moved_since_they_were_first_fixed() -> None:
    # Our own golden value: old packages are rebuilt bit for bit, so this may only change with a new form of package.
    assert hashlib.sha256(as_zip(a_bag(), PACKAGE)).hexdigest() == GOLDEN


@pytest.mark.parametrize(
    "path",
    [
        "../out.txt",
        "/root.txt",
        "a//b",
        "a/./b",
        "NUL",
        "green/con.3mf",
        "a b.txt",
        "ü.txt",
        "a\\b",
        "",
        "x" * 90 + "/y" * 20,
        "dot.",
    ],
)
def test_a_name_that_some_computer_cannot_unpack_never_goes_into_a_package(path: str) -> None:
    with pytest.raises(BadInput, match="cannot go into package"):
        a_bag({path: b""})


def test_two_names_that_differ_in_case_only_are_refused() -> None:
    with pytest.raises(BadInput, match="same name on some computers"):
        a_bag({"Part.3mf": b"", "part.3mf": b""})


@pytest.mark.parametrize("description", ["two\nlines", " edge ", "", "tab\there"])
def test_a_description_is_one_line(description: str) -> None:
    with pytest.raises(BadInput, match="one line"):
        make_bag(PAYLOAD, package_id=PACKAGE, made_on=date(2026, 3, 9), description=description)


def test_an_empty_package_is_refused() -> None:
    with pytest.raises(BadInput, match="no file"):
        a_bag({})
