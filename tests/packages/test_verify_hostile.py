"""A package may come from anywhere: what an archive can do to its reader is refused, by name, and quickly."""

import io
import os
import stat
import struct
import zipfile
from pathlib import Path

import pytest

from tests.packages.bags import PACKAGE, a_bag, faults, good_entries, in_folder, in_odd_zip, in_zip
from vault.packages.container import Limits
from vault.packages.report import Wrong
from vault.packages.verify import verify_package

OUT_OF_ITS_FOLDER = [
    "../evil",
    f"{PACKAGE}/../../evil",
    "/etc/evil",
    "C:/evil",
    f"{PACKAGE}\\evil",
    f"{PACKAGE}//evil",
    f"{PACKAGE}/a\u202eb",
]


@pytest.mark.parametrize("name", OUT_OF_ITS_FOLDER)
def test_a_name_that_leaves_its_folder_or_hides_is_refused(tmp_path: Path, name: str) -> None:
    codes = {code for code, _ in faults(in_odd_zip(tmp_path, [*good_entries(), (name, b"x")]))}
    assert codes == {Wrong.UNSAFE_NAME}


def test_a_hostile_name_is_shown_harmlessly(tmp_path: Path) -> None:
    path = in_odd_zip(tmp_path, [*good_entries(), (f"{PACKAGE}/\x1b[2J\u202egpj", b"x")])
    assert (Wrong.UNSAFE_NAME, f"{PACKAGE}/\\u001b[2J\\u202egpj") in faults(path)


def test_a_link_in_a_zip_is_refused(tmp_path: Path) -> None:
    link = zipfile.ZipInfo(f"{PACKAGE}/data/link")
    link.create_system = 3
    link.external_attr = (stat.S_IFLNK | 0o777) << 16
    assert (Wrong.LINK, f"{PACKAGE}/data/link") in faults(
        in_odd_zip(tmp_path, [*good_entries(), (link, b"/etc/passwd")])
    )


@pytest.mark.skipif(not hasattr(os, "symlink") or os.name == "nt", reason="links need a right on Windows")
def test_a_link_in_a_folder_is_refused_and_not_followed(tmp_path: Path) -> None:
    top = in_folder(tmp_path, a_bag())
    (top / "data/empty.txt").unlink()
    (top / "data/empty.txt").symlink_to("/dev/zero")
    assert faults(top) >= {(Wrong.LINK, "data/empty.txt"), (Wrong.MISSING, "data/empty.txt")}


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes here")
def test_a_named_pipe_in_a_folder_does_not_stop_the_check(tmp_path: Path) -> None:
    top = in_folder(tmp_path, a_bag())
    os.mkfifo(top / "data/pipe")
    assert (Wrong.LINK, "data/pipe") in faults(top)


@pytest.mark.filterwarnings("ignore:Duplicate name")
def test_two_files_under_one_name_are_refused(tmp_path: Path) -> None:
    path = in_odd_zip(tmp_path, [*good_entries(), (f"{PACKAGE}/data/traveler.pdf", b"another traveler")])
    assert (Wrong.NAME_CLASH, "data/traveler.pdf") in faults(path)


@pytest.mark.parametrize("name", ["data/TRAVELER.pdf", "data/traveler.pdf/inside"])
def test_names_that_cannot_lie_side_by_side_are_refused(tmp_path: Path, name: str) -> None:
    path = in_odd_zip(tmp_path, [*good_entries(), (f"{PACKAGE}/{name}", b"x")])
    assert (Wrong.NAME_CLASH, name) in faults(path)


def test_a_second_top_folder_is_refused(tmp_path: Path) -> None:
    assert (Wrong.EXTRA, "other/run-me") in faults(in_odd_zip(tmp_path, [*good_entries(), ("other/run-me", b"x")]))


def test_an_encrypted_file_is_refused(tmp_path: Path) -> None:
    packed = bytearray(in_zip(tmp_path, a_bag()).read_bytes())
    for signature, flag_at in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        packed[packed.index(signature) + flag_at] |= 1
    path = tmp_path / "locked.zip"
    path.write_bytes(packed)
    assert (Wrong.ENCRYPTED, f"{PACKAGE}/bag-info.txt") in faults(path)


def test_another_compression_is_refused(tmp_path: Path) -> None:
    codes = {code for code, _ in faults(in_odd_zip(tmp_path, good_entries(), zipfile.ZIP_BZIP2))}
    assert Wrong.UNREADABLE in codes


def test_a_file_that_blows_up_is_refused_before_it_is_read(tmp_path: Path) -> None:
    path = in_odd_zip(tmp_path, [*good_entries(), (f"{PACKAGE}/data/bomb", bytes(50_000_000))], zipfile.ZIP_DEFLATED)
    assert (Wrong.TOO_MUCH, f"{PACKAGE}/data/bomb") in faults(path)


def test_too_many_files_and_too_many_bytes_are_refused(tmp_path: Path) -> None:
    path = in_zip(tmp_path, a_bag())
    for limits in (Limits(files=3), Limits(total_bytes=100), Limits(directory_bytes=100)):
        assert {problem.code for problem in verify_package(path, limits).problems} == {Wrong.TOO_MUCH}


def test_a_folder_with_too_many_files_is_refused(tmp_path: Path) -> None:
    report = verify_package(in_folder(tmp_path, a_bag()), Limits(files=3))
    assert {problem.code for problem in report.problems} == {Wrong.TOO_MUCH}


def test_a_huge_tag_file_is_not_read_into_memory(tmp_path: Path) -> None:
    report = verify_package(in_zip(tmp_path, a_bag()), Limits(tag_file_bytes=10))
    assert (Wrong.TOO_MUCH, "manifest-sha256.txt") in {(problem.code, problem.path) for problem in report.problems}


def test_files_that_share_their_bytes_are_refused(tmp_path: Path) -> None:
    """The bomb that lists one compressed body many times: each entry is small, together they are not."""
    packed = bytearray(in_zip(tmp_path, a_bag()).read_bytes())
    first = packed.index(b"PK\x01\x02")
    second = packed.index(b"PK\x01\x02", first + 4)
    packed[second + 42 : second + 46] = packed[first + 42 : first + 46]
    path = tmp_path / "shared.zip"
    path.write_bytes(packed)
    assert Wrong.TOO_MUCH in {code for code, _ in faults(path)}


def test_zip64_comments_and_added_bytes_are_refused(tmp_path: Path) -> None:
    packed = in_zip(tmp_path, a_bag()).read_bytes()
    locator = struct.pack("<4sLQL", b"PK\x06\x07", 0, 0, 1)
    odd = {
        "after": packed + b"more",
        "before": b"more" + packed,
        "comment": packed[:-2] + b"\x02\x00hi",
        "zip64": packed[:-22] + locator + packed[-22:],
        "cut": packed[:-9],
        "nothing": b"",
        "text": b"this is no archive at all, only a line of text\n",
    }
    for name, content in odd.items():
        path = tmp_path / name
        path.write_bytes(content)
        assert not verify_package(path).intact, name


def test_a_name_cut_short_by_a_zero_byte_is_refused(tmp_path: Path) -> None:
    buffer = io.BytesIO(in_zip(tmp_path, a_bag()).read_bytes().replace(b"data/empty.txt", b"data/empty\0txt"))
    path = tmp_path / "zero.zip"
    path.write_bytes(buffer.getvalue())
    assert Wrong.UNSAFE_NAME in {code for code, _ in faults(path)}
