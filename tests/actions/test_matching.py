"""A model file leads to the part that is made from it, or to candidates that are said to be no more than that."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from tests.builders import a_file, a_part, a_receipt, a_revision, a_shape, content_of, made, some_settings, ulid
from tests.floor_builders import a_blend, an_order
from tests.given import a_path, given, given_makeable, given_part, given_revision, reader_of
from vault.actions.context import Vault
from vault.actions.finding import find, listing
from vault.actions.matching import match_file
from vault.errors import BadInput
from vault.model.design import MeasuredRevision
from vault.model.floor import Blend
from vault.model.orders import Order
from vault.model.shape import MeasuredShape
from vault.model.words import FileRole


class FixedShapes:
    """Measures every file as the one shape it was given."""

    def __init__(self, shape: MeasuredShape) -> None:
        self._shape = shape

    def measured(self, file: Path, unit: str | None) -> tuple[Any, MeasuredShape]:
        return None, self._shape

    def close(self) -> None:
        """Nothing was opened."""


def seen_as(vault: Vault, shape: MeasuredShape) -> Vault:
    return replace(vault, shapes=FixedShapes(shape))


def test_the_same_bytes_are_named_by_part_revision_and_role(vault: Vault) -> None:
    given_makeable(vault)
    found = match_file(vault, a_path(vault, "from-the-customer.stl", content_of("bracket-C.stl")))
    assert [(same.part, same.words) for same in found.same_file] == [
        ("BRK-204", "BRK-204 rev C, design file bracket-C.stl")
    ]
    assert found.candidates == ()


def test_the_same_bytes_are_found_in_receipts_and_settings_too(vault: Vault) -> None:
    given_part(vault)
    setter = some_settings().setter.model_copy(update={"files": (a_file("setter.stl", FileRole.SETTER),)})
    given(vault, a_revision(), a_receipt(files=(a_file("setter.stl"),)), some_settings(setter=setter))
    words = {same.words for same in match_file(vault, a_path(vault, "x.stl", content_of("setter.stl"))).same_file}
    assert words == {"receipt of BRK-204, design file setter.stl", "BRK-204 settings S1, setter file setter.stl"}


def test_equal_measures_make_a_candidate_and_say_that_nothing_was_compared(vault: Vault) -> None:
    given_part(vault)
    given_revision(vault)
    slightly = a_shape((30.02, 20.0, 10.0))
    found = match_file(seen_as(vault, slightly), a_path(vault, "new.stl"))
    [candidate] = found.candidates
    assert (candidate.part, candidate.revision, candidate.turned) == ("BRK-204", "C", False)
    assert candidate.words.endswith("a candidate, not compared yet")
    assert candidate.next_command == "partstead compare BRK-204@C new.stl"


def test_a_turned_box_comes_behind_the_one_that_lies_the_same(vault: Vault) -> None:
    given_part(vault)
    given_revision(vault)
    other = a_revision("A", id=ulid("other"), part="HSG-1")
    given(
        vault, a_part(number="HSG-1", customer_number="NF-1"), other,
        made(MeasuredRevision, {}, part="HSG-1", revision=other.id, shape=a_shape((10.0, 30.0, 20.0))),
    )  # fmt: skip
    found = match_file(seen_as(vault, a_shape((10.0, 30.0, 20.0))), a_path(vault, "new.stl"))
    assert [(one.part, one.turned) for one in found.candidates] == [("HSG-1", False), ("BRK-204", True)]


@pytest.mark.parametrize("size", [(30.0, 20.0, 10.2), (31.0, 20.0, 10.0), (60.0, 20.0, 5.0)])
def test_another_shape_is_no_candidate(vault: Vault, size: tuple[float, float, float]) -> None:
    given_part(vault)
    given_revision(vault)
    assert match_file(seen_as(vault, a_shape(size)), a_path(vault, "new.stl")).candidates == ()


def test_a_measure_that_is_no_number_never_fits(vault: Vault) -> None:
    given_part(vault)
    given_revision(vault)
    broken = a_shape().model_copy(update={"volume_mm3": float("nan")})
    assert match_file(seen_as(vault, broken), a_path(vault, "new.stl")).candidates == ()


def test_a_file_that_cannot_be_read_is_named(vault: Vault) -> None:
    with pytest.raises(BadInput, match=r"gone\.stl cannot be read"):
        match_file(vault, Path("gone.stl"))


# ---- lists and plain search


def test_a_list_is_newest_first_and_can_be_narrowed(vault: Vault) -> None:
    given_part(vault)
    given(vault, a_revision(), an_order("O-26A0001"), a_blend())
    vault.clock.advance(days=1)  # type: ignore[attr-defined]
    given(vault, an_order("O-26A0002", quantity=5, at=vault.clock.now()))
    reader = reader_of(vault)
    assert [order.id for order in listing(reader, Order)] == ["O-26A0002", "O-26A0001"]
    assert [order.id for order in listing(reader, Order, keep=lambda order: order.quantity > 5)] == ["O-26A0001"]
    assert listing(reader, Order, part="HSG-1") == ()
    assert [blend.id for blend in listing(reader, Blend)] == ["M-26A0001"]


def test_a_search_sees_what_was_recorded_a_moment_ago(vault: Vault) -> None:
    given_part(vault)
    assert find(vault, "brk204")[0].name == "BRK-204"
