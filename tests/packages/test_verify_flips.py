"""Any changed byte of a package is found: in its files by their digests, in the wrapping by writing it again."""

import random
from pathlib import Path

from tests.packages.bags import a_bag, in_folder, in_zip
from vault.packages.verify import verify_package


def test_a_thousand_flipped_bits_are_all_found(tmp_path: Path) -> None:
    path = in_zip(tmp_path, a_bag())
    good = path.read_bytes()
    chance = random.Random(8493)
    for _ in range(1000):
        spoiled = bytearray(good)
        at = chance.randrange(len(good))
        spoiled[at] ^= 1 << chance.randrange(8)
        path.write_bytes(spoiled)
        report = verify_package(path)
        assert not report.intact or report.as_made is False, f"byte {at} was changed and nobody saw"


def test_every_byte_of_the_wrapping_counts(tmp_path: Path) -> None:
    path = in_zip(tmp_path, a_bag({"a.txt": b"a"}))
    good = path.read_bytes()
    for at in range(len(good)):
        path.write_bytes(good[:at] + bytes([good[at] ^ 0xFF]) + good[at + 1 :])
        report = verify_package(path)
        assert not report.intact or report.as_made is False, f"byte {at} was changed and nobody saw"


def test_a_flip_in_any_file_of_an_unpacked_package_is_named(tmp_path: Path) -> None:
    top = in_folder(tmp_path, a_bag())
    chance = random.Random(1)
    for name, content in a_bag().items():
        if not content:
            continue
        spoiled = bytearray(content)
        spoiled[chance.randrange(len(content))] ^= 0x01
        (top / name).write_bytes(spoiled)
        report = verify_package(top)
        assert not report.intact or report.as_made is False, name
        (top / name).write_bytes(content)
    assert verify_package(top).intact


def test_a_package_cut_at_any_length_is_not_intact(tmp_path: Path) -> None:
    path = in_zip(tmp_path, a_bag())
    good = path.read_bytes()
    for length in range(0, len(good), 37):
        path.write_bytes(good[:length])
        assert not verify_package(path).intact
