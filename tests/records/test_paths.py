"""Every record has one place that follows from it alone, no two kinds share one, and cards are all that may change."""

import re

import pytest
from hypothesis import HealthCheck, given, settings

from tests.builders import PART, a_file, a_part, a_receipt, a_revision, some_evidence, some_settings, ulid
from tests.floor_builders import a_lot, a_measurement, a_nonconformance, an_order
from tests.strategies import any_record
from vault.errors import BadInput
from vault.model.base import Card, Record
from vault.model.ids import Thing, parse_allotted
from vault.model.packaging import BoxPlan
from vault.records.path_reading import allotted_at, is_original, is_record, original_at, owner_at, part_at
from vault.records.paths import (
    FOLDER_OF,
    bucket,
    file_path,
    folder_of_id,
    is_write_once,
    part_folder,
    path_of,
    record_of_id,
)

_HEX, _ULID, _NAME = r"[0-9a-f]{2}", r"[0-7][0-9A-HJKMNP-TV-Z]{25}", r"[A-Za-z0-9._-]{1,40}"
_PART = rf"parts/{_HEX}/{_HEX}/{_NAME}"
_ID = r"[0-9]{4}/[A-HJ-NPR-Z]{1,3}/[0-9]{2,}/[0-9]{2}/[A-Z]-[0-9]{2}[A-HJ-NPR-Z]{1,3}[0-9]{4,}(?:\.[0-9]+)*"
_FLOOR = (
    "orders", "lots", "box-runs", "loads", "blends", "nonconformances", "deliveries", "returns", "escapes", "packages",
)  # fmt: skip
CARDS = (
    r"vault\.json", r"shop/(rates|policy)\.json", r"writers/[A-Z]{1,3}\.json", r"people/[a-z][a-z0-9-]*\.json",
    rf"customers/{_HEX}/[A-Z0-9-]+\.json", rf"shop/(machines|materials|boxes|furnaces|gauges)/{_NAME}\.json",
    rf"{_PART}/part\.json",
)  # fmt: skip
ENTRIES = (
    rf"{_PART}/receipts/{_ULID}/receipt\.json", rf"{_PART}/revisions/{_ULID}/(revision|measured|change)\.json",
    rf"{_PART}/settings/{_ULID}/settings\.json", rf"{_PART}/entries/[0-9A-Z]{{4}}/{_ULID}\.json",
    rf"shop/events/[0-9A-Z]{{4}}/{_ULID}\.json", rf"lots/{_ID}/measurements/{_ULID}\.json",
    rf"({'|'.join(_FLOOR)})/{_ID}/entries/{_ULID}\.json",
    rf"({'|'.join(_FLOOR)})/{_ID}/(order|lot|box-run|load|blend|nonconformance|delivery|return|escape|package)\.json",
)  # fmt: skip
"""The whole layout of the register, written down a second time: a path that fits none of these is a mistake."""

_RANDOM = settings(
    deadline=None, max_examples=100, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)


def fits(path: str, patterns: tuple[str, ...]) -> bool:
    return any(re.fullmatch(pattern, path) for pattern in patterns)


@_RANDOM
@given(record=any_record())
def test_every_record_lies_where_the_layout_says_and_only_cards_may_change(record: Record) -> None:
    path = path_of(record)
    assert fits(path, CARDS if isinstance(record, Card) else ENTRIES)
    assert is_write_once(path) is not isinstance(record, Card)
    assert is_record(path)
    assert all(re.fullmatch(r"[A-Za-z0-9._-]{1,80}", segment) for segment in path.split("/"))


@_RANDOM
@given(one=any_record(), other=any_record())
def test_two_kinds_never_share_a_path(one: Record, other: Record) -> None:
    assert type(one) is type(other) or path_of(one) != path_of(other)


@_RANDOM
@given(record=any_record())
def test_a_write_once_path_holds_an_id_of_its_own(record: Record) -> None:
    if not isinstance(record, Card):
        assert re.search(rf"{_ULID}|[A-Z]-[0-9]{{2}}[A-HJ-NPR-Z]{{1,3}}[0-9]{{4,}}", path_of(record))


def test_a_value_that_is_no_record_has_no_place() -> None:
    class Stray(Card):
        KIND = "stray"

    with pytest.raises(BadInput, match="a stray has no place in the register"):
        path_of(Stray(by="edda", at=a_part().at))
    assert not issubclass(BoxPlan, Record)


def test_originals_lie_beside_the_record_or_with_its_owner() -> None:
    revision, receipt, made_with = a_revision(), a_receipt(), some_settings()
    folder, name = part_folder(PART), a_file().stored_name
    assert file_path(revision, a_file()) == f"{folder}/revisions/{revision.id}/files/{name}"
    assert file_path(receipt, a_file()) == f"{folder}/receipts/{receipt.id}/files/{name}"
    assert file_path(made_with, a_file()) == f"{folder}/settings/{made_with.id}/files/{name}"
    lot = "lots/2026/A/00/00/L-26A0001"
    assert file_path(a_measurement(), a_file()) == f"{lot}/files/{name}"
    found = a_nonconformance(evidence=some_evidence())
    assert file_path(found, a_file()) == f"nonconformances/2026/A/00/00/N-26A0001/files/{name}"
    assert all(map(is_original, (file_path(revision, a_file()), file_path(found, a_file()))))
    assert is_write_once(file_path(revision, a_file()))


def test_parts_that_differ_only_in_case_share_a_folder_so_that_a_twin_is_seen() -> None:
    assert part_folder("BRK-204").rpartition("/")[0] == part_folder("brk-204").rpartition("/")[0]


@pytest.mark.parametrize(
    ("number", "folders"),
    [
        (1, ("00", "00")),
        (99, ("00", "00")),
        (100, ("00", "01")),
        (9_999, ("00", "99")),
        (10_000, ("01", "00")),
        (1_234_567, ("123", "45")),
    ],
)
def test_no_folder_of_ids_grows_beyond_a_hundred(number: int, folders: tuple[str, str]) -> None:
    assert bucket(parse_allotted(f"O-26A{number:04d}")) == ("2026", "A", *folders)


def test_a_piece_of_a_lot_lies_beside_the_lot_and_not_in_it() -> None:
    assert folder_of_id("L-26A0118/1") == "lots/2026/A/00/01/L-26A0118.1"
    assert record_of_id("L-26A0118/1/2") == "lots/2026/A/00/01/L-26A0118.1.2/lot.json"
    assert path_of(a_lot("L-26A0118/1")) == record_of_id("L-26A0118/1")


def test_every_allotted_kind_has_a_folder_of_its_own() -> None:
    assert len(set(FOLDER_OF.values())) == len(FOLDER_OF) == len(_FLOOR)
    assert set(FOLDER_OF.values()) == set(_FLOOR)
    assert FOLDER_OF[Thing.ORDER] == "orders"


@pytest.mark.parametrize(
    ("path", "write_once"),
    [
        ("vault.json", False),
        ("shop/rates.json", False),
        ("shop/events/01KJ/x.json", True),
        ("people/edda.json", False),
        ("people/edda.json.sig", True),
        ("parts/aa/bb/BRK-204/part.json", False),
        ("parts/aa/bb/BRK-204/entries/part.json", True),
        ("parts/aa/bb/BRK-204/x/part.json", True),
        ("orders/2026/A/00/00/O-26A0001/order.json", True),
        ("notes.txt", True),
        ("", True),
    ],
)
def test_what_is_no_card_may_never_change(path: str, write_once: bool) -> None:
    assert is_write_once(path) is write_once


# ---- the way back


def test_a_path_tells_what_it_belongs_to() -> None:
    revision = a_revision()
    original = file_path(revision, revision.design)
    assert part_at(path_of(a_part())) == part_at(original) == PART
    assert owner_at(original) == ("revisions", ulid("rev C"))
    assert original_at(original) == (path_of(revision).rpartition("/")[0], revision.design.sha256)
    assert allotted_at(path_of(a_lot("L-26A0118/1"))) == "L-26A0118/1"
    assert allotted_at(path_of(an_order())) == "O-26A0001"


@pytest.mark.parametrize("path", ["", "vault.json", "people/edda.json", "parts/x", "register.git/refs/heads/main"])
def test_a_path_that_belongs_to_nothing_tells_nothing(path: str) -> None:
    assert part_at(path) is owner_at(path) is original_at(path) is allotted_at(path) is None
