"""Archives that are byte for byte the same on every machine, and that other programs read."""

import hashlib
import io
import subprocess
import sys
import zipfile

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vault.records.stored_zip import stored_zip

NAMES = st.from_regex(r"\A[a-zé][a-z0-9._-]{0,8}(/[a-z][a-z0-9]{0,5}){0,2}\Z")


@given(st.dictionaries(NAMES, st.binary(max_size=50), max_size=6))
def test_pythons_own_reader_finds_every_file_whole(files: dict[str, bytes]) -> None:
    archive = zipfile.ZipFile(io.BytesIO(stored_zip(files)))
    assert archive.testzip() is None
    assert {name: archive.read(name) for name in archive.namelist()} == files
    assert archive.namelist() == sorted(files, key=str.encode)


def test_headers_hold_nothing_of_the_machine() -> None:
    for entry in zipfile.ZipFile(io.BytesIO(stored_zip({"a.txt": b"x", "é/b": b""}))).infolist():
        assert entry.compress_type == zipfile.ZIP_STORED
        assert entry.date_time == (1980, 1, 1, 0, 0, 0)
        assert (entry.create_system, entry.external_attr >> 16, entry.flag_bits) == (3, 0o100644, 0x800)
        assert (entry.extra, entry.comment) == (b"", b"")


def test_order_of_the_files_does_not_matter() -> None:
    assert stored_zip({"a": b"1", "b": b"2"}) == stored_zip({"b": b"2", "a": b"1"})


def test_the_bytes_are_these_and_no_others() -> None:
    # A golden digest, made here once: what it guards is that nothing changes unseen.
    digest = hashlib.sha256(stored_zip({"data/a.txt": b"hello", "b.txt": b""})).hexdigest()
    assert digest == "4cb5aac55859416653cedbc5b1047808f9425a7f70638461facb1600148ed0bb"


def test_another_process_gives_the_same_bytes() -> None:
    code = (
        "import sys; from vault.records.stored_zip import stored_zip; sys.stdout.buffer.write(stored_zip({'a': b'1'}))"
    )
    other = subprocess.run([sys.executable, "-c", code], stdout=subprocess.PIPE, check=True)
    assert other.stdout == stored_zip({"a": b"1"})


@pytest.mark.parametrize("name", ["", "/a", "a/", "../a", "a/../b", "a//b", "./a", "a\\b", "a\0b"])
def test_a_name_that_leaves_the_archive_is_refused(name: str) -> None:
    with pytest.raises(ValueError, match="no name"):
        stored_zip({name: b""})
