"""Guarantee 4: any changed byte of the repository is found, and the record or file that it belongs to is named.

One thing is no damage: compressed data has a few bits that nobody reads, and two ways to say one thing. Where such
a bit changes, every recorded byte is still the same, and these tests make sure of that instead.
"""

import random
import re
import zlib
from pathlib import Path

import pytest

from tests.contracts.store_contract import a_change
from tests.guarantees.registers import damage_of, new_register, plain_git, repository_files, write_number
from vault.errors import Damaged, NotFound
from vault.store.layout import repository_folder
from vault.store.opening import open_store

FLIPS_EACH = 100
ROUNDS = 10


@pytest.fixture
def register(tmp_path: Path) -> Path:
    """A register with records in two packs under one index of packs, loose ones, an original, and packed branches."""
    folder = new_register(tmp_path / "register")
    (tmp_path / "bracket.stl").write_bytes(b"facet normal 0 0 1\n" * 200)
    with open_store(folder) as store:
        for number in range(1, 9):
            write_number(store, number)
            if number in {3, 5}:
                store.pack()
                store.pack()  # the second time removes the loose copies of what is packed now
        plain_git(folder, "pack-refs", "--all")
        kept = store.keep(tmp_path / "bracket.stl")
        store.transact(lambda _: a_change(files={"files/bracket.stl": kept}))
        write_number(store, 9)
    assert list(repository_folder(folder).glob("objects/pack/multi-pack-index")), (
        "the index of packs is to be flipped too"
    )
    for file in repository_files(folder):
        file.chmod(0o644)  # git takes from objects the right to be written
    assert damage_of(folder) == []
    return folder


def expected_names(register: Path) -> dict[str, str]:
    """Return object id -> what a person calls it, by git's own listing."""
    names = {}
    for line in plain_git(register, "rev-list", "--objects", "main").splitlines():
        oid, _, path = line.partition(" ")
        kind = plain_git(register, "cat-file", "-t", oid)
        names[oid] = {"commit": f"commit {oid[:12]}", "tree": f"folder {path or '/'}", "blob": path}[kind]
    return names


def flipped(content: bytes, place: int, change: int) -> bytes:
    return content[:place] + bytes([content[place] ^ change]) + content[place + 1 :]


def found(register: Path) -> str:
    """Return all that the audit, or the attempt to open the register, has to say."""
    try:
        return "\n".join(f"{damage.where}: {damage.what}" for damage in damage_of(register))
    except Damaged as error:
        return str(error)


def reads_the_same(file: Path, content: bytes) -> bool:
    """Say whether a changed loose object still holds every byte that it held; `content` is what the file was."""
    if len(file.name) != 38:
        return False
    try:
        return zlib.decompress(file.read_bytes()) == zlib.decompress(content)
    except zlib.error:
        return False


def name_of(register: Path, file: Path, names: dict[str, str]) -> str:
    """Return what must be named when a byte of `file` changed."""
    inside = file.relative_to(repository_folder(register)).as_posix()
    if loose := re.fullmatch(r"objects/([0-9a-f]{2})/([0-9a-f]{38})", inside):
        return names[loose[1] + loose[2]]
    if "/pack/" in inside and file.suffix in {".pack", ".idx"}:
        return file.stem  # a pack and its index are one thing under two names
    return inside.removesuffix(".sha256")


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(ROUNDS))
def test_a_byte_changed_anywhere_is_found_and_named(register: Path, seed: int) -> None:
    names, files = expected_names(register), repository_files(register)
    chance = random.Random(seed)
    harmless = 0
    for _ in range(FLIPS_EACH):
        file = chance.choice(files)
        content = file.read_bytes()
        place, change = chance.randrange(len(content)), chance.randrange(1, 256)
        file.write_bytes(flipped(content, place, change))
        said, same = found(register), reads_the_same(file, content)
        file.write_bytes(content)
        harmless += same
        where = f"byte {place} of {file}, {content[place]:#x} ^ {change:#x}"
        assert same or name_of(register, file, names) in said, f"{where}: {said or 'not found'}"
    assert harmless <= FLIPS_EACH // 20
    assert damage_of(register) == []


@pytest.mark.slow
@pytest.mark.parametrize("which", ["a record", "the branch", "HEAD"])
def test_every_bit_of_one_file_is_found(register: Path, which: str) -> None:
    """No chance here. Of a record only bits that no reader looks at, at most seven behind its end, may stay unseen."""
    record = plain_git(register, "rev-parse", "main:card.json")
    places = {"a record": f"objects/{record[:2]}/{record[2:]}", "the branch": "refs/heads/main", "HEAD": "HEAD"}
    file = repository_folder(register) / places[which]
    content = file.read_bytes()
    unseen = 0
    for bit in range(8 * len(content)):
        file.write_bytes(flipped(content, bit // 8, 1 << bit % 8))
        if not found(register):
            assert reads_the_same(file, content), f"bit {bit} of {file}"
            unseen += 1
    assert unseen <= (7 if which == "a record" else 0)


@pytest.mark.slow
def test_a_file_missing_or_cut_short_is_found(register: Path) -> None:
    for file in repository_files(register):
        content = file.read_bytes()
        file.unlink()
        if file.name not in {"packed-refs", "multi-pack-index"}:  # without these git sees the same as with them
            assert _lost(register), f"{file} is missing"
        file.write_bytes(content[: len(content) // 2])
        assert _lost(register), f"{file} is cut short"
        file.write_bytes(content)


def _lost(register: Path) -> str:
    try:
        return found(register)
    except NotFound as error:  # without HEAD or settings it is no register any more, and that is what is said
        return str(error)
