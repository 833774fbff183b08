"""A sound register is called sound, and every kind of damage is found and named as people in the shop call it."""

import json
from pathlib import Path

import pytest

from tests.builders import a_file, a_part, a_receipt, a_revision, a_shape, made, some_evidence, some_settings, ulid
from tests.floor_builders import a_delivery, a_measurement, a_proof
from tests.given import a_path, given, given_lot, given_makeable, given_order, given_package, given_part, given_revision
from tests.on_git import on_git
from vault.actions.checking import CHECKED, NOT_COVERED, CheckReport, check
from vault.actions.context import Vault
from vault.interfaces import Change, Snapshot
from vault.model.decisions import LabelAnswer
from vault.model.design import MeasuredRevision
from vault.model.orders import OrderVoid
from vault.records.codec import encode
from vault.records.paths import file_path, path_of


def forced(vault: Vault, path: str, data: bytes) -> None:
    """Write bytes at any path, as a program might that does not know the rules."""

    def decide(_: Snapshot) -> Change:
        return Change("By another program", "ona", vault.clock.now(), cards={path: data})

    vault.store.transact(decide)


def a_whole_register(vault: Vault) -> None:
    given_makeable(vault)
    given_order(vault)
    given_package(vault)
    given_lot(vault, order="O-26A0001", package="R-26A0001")
    given(vault, a_measurement(), a_proof(), a_delivery())


def found(report: CheckReport) -> list[tuple[str, str]]:
    return [(problem.where, problem.what) for problem in report.problems]


def full(vault: Vault) -> CheckReport:
    return check(vault, full=True)


def test_a_register_with_everything_in_it_is_sound(vault: Vault) -> None:
    a_whole_register(vault)
    report = full(vault)
    assert found(report) == []
    assert report.sound
    assert report.complete
    assert report.clashes == ()
    assert report.head == vault.store.head()
    names = vault.store.at().walk()
    assert (report.records, report.files) == (
        sum("/files/" not in path for path in names),
        sum("/files/" in path for path in names),
    )
    assert report.size_bytes == sum(len(vault.store.at().read(path)) for path in names if "/files/" in path)


def test_the_progress_goes_up_to_its_end(vault: Vault) -> None:
    a_whole_register(vault)
    seen: list[tuple[int, int]] = []
    check(vault, full=True, progress=lambda done, total: seen.append((done, total)))
    assert [done for done, _ in seen] == list(range(1, len(seen) + 1))
    assert seen[-1] == (len(seen), len(seen))


def test_changed_bytes_of_a_design_are_named_by_part_revision_and_file(vault: Vault) -> None:
    given_makeable(vault)
    revision = a_revision()
    forced(vault, file_path(revision, revision.design), b"solid other")
    [(where, what)] = found(full(vault))
    assert where == "BRK-204 rev C, design file bracket-C.stl"
    assert "its bytes are not those recorded" in what


def test_an_original_that_is_absent_is_named(vault: Vault) -> None:
    given_part(vault)
    revision = a_revision()
    forced(vault, path_of(revision), encode(revision))
    assert found(full(vault)) == [
        ("BRK-204 rev C, design file bracket-C.stl", "a record names it, and it is not in the register")
    ]


def test_a_wrong_size_is_found_where_the_digest_is_right(vault: Vault) -> None:
    given_part(vault)
    kept = a_file("bracket-C.stl")
    revision = a_revision(files=(kept.model_copy(update={"size_bytes": kept.size_bytes + 1}),))
    given(vault, a_receipt(files=(kept,)))
    given(vault, revision)
    [(where, what)] = found(full(vault))
    assert where == "BRK-204 rev C, design file bracket-C.stl"
    assert what == f"it has {kept.size_bytes} bytes, recorded are {kept.size_bytes + 1}"


def test_a_record_that_cannot_be_read_is_named_by_what_is_left_of_it(vault: Vault) -> None:
    given_part(vault)
    given_revision(vault)
    path = path_of(a_revision())
    broken = encode(a_revision()).replace(b'"mm"', b'"furlong"')
    forced(vault, path, broken)
    problems = found(full(vault))
    assert problems[0][0] == "BRK-204 rev C"
    assert "cannot be read as a record: revision: unit:" in problems[0][1]


@pytest.mark.parametrize("data", [b"", b"{}", b"\xff\xfe", b"null", b'{"kind": "moon", "schema": 1}'])
def test_bytes_that_are_no_record_are_found(vault: Vault, data: bytes) -> None:
    given_part(vault)
    given_revision(vault)
    forced(vault, path_of(a_revision()), data)
    problems = dict(found(full(vault)))
    assert "cannot be read as a record" in problems["BRK-204 rev recorded on 2026-03-02"]


def test_a_record_in_the_place_of_another_is_found(vault: Vault) -> None:
    given_part(vault)
    forced(vault, path_of(a_part(number="BRK-999")), encode(a_part()))
    problems = found(full(vault))
    assert ("part BRK-204", f"by what it says it belongs at {path_of(a_part())}") in problems
    assert any("part BRK-204 is recorded twice" in what for _, what in problems)


@pytest.mark.parametrize("path", ["notes.txt", "parts/readme.md", f"parts/aa/bb/BRK-204/files/{'a' * 64}.stl"])
def test_a_path_that_no_record_names_is_found(vault: Vault, path: str) -> None:
    given_makeable(vault)
    forced(vault, path, b"hello")
    [(_, what)] = found(full(vault))
    assert what == "no record names it, and this program would not have put it there"


def test_a_reference_that_leads_nowhere_is_named_with_its_field(vault: Vault) -> None:
    given_makeable(vault)
    given(vault, made(OrderVoid, {}, id=ulid("void"), order="O-26A0099", reason="Entered twice"))
    where_and_what = [(where, what) for where, what in found(full(vault))]
    assert where_and_what == [
        ("voiding of O-26A0099", "order names the order O-26A0099, which is not recorded"),
    ]


def test_a_person_nobody_knows_is_found(vault: Vault) -> None:
    given_part(vault, by="nobody")
    assert ("part BRK-204", "by names the person nobody, which is not recorded") in found(full(vault))


def test_a_shape_measured_from_other_bytes_than_the_design_is_found(vault: Vault) -> None:
    given_part(vault)
    revision = a_revision()
    shape = a_shape(file_sha256="f" * 64)
    given(vault, revision, made(MeasuredRevision, {}, part=revision.part, revision=revision.id, shape=shape))
    [(where, what)] = found(full(vault))
    assert (where, what) == (
        "measured shape of BRK-204 rev C",
        "it was measured from other bytes than the design file of its revision",
    )


# ---- clashes: no damage, but somebody must settle them


def test_one_label_on_two_files_is_a_clash_until_the_customer_answers(vault: Vault) -> None:
    given_part(vault)
    other = a_revision("C", id=ulid("other C"), files=(a_file("other.stl"),))
    given(vault, a_revision("C"), other)
    report = full(vault)
    assert report.sound
    [clash] = report.clashes
    assert clash.where == "BRK-204 rev C"
    assert "partstead settle BRK-204@C --which SHA --answered-by NAME --evidence FILE" in clash.what
    answer = made(
        LabelAnswer, {}, id=ulid("answer"), part="BRK-204", label="C", revision=other.id, answered_by="P. Holm",
        answered_on=vault.today, evidence=some_evidence(),
    )  # fmt: skip
    given(vault, answer)
    assert full(vault).clashes == ()


def test_a_label_that_arrived_with_two_designs_is_a_clash_before_any_revision_is(vault: Vault) -> None:
    given_part(vault)
    given(vault, a_receipt(), a_receipt(id=ulid("again"), files=(a_file("changed.stl"),)))
    [clash] = full(vault).clashes
    assert clash.where == "part BRK-204"


def test_two_settings_with_one_number_are_a_clash(vault: Vault) -> None:
    given_makeable(vault)
    given(vault, some_settings("S1", id=ulid("again")))
    [clash] = full(vault).clashes
    assert clash.what == "BRK-204 has 2 settings S1; copy the right ones to a new number"


# ---- the quick form


def test_the_quick_form_looks_only_at_what_came_since_a_full_check_here(vault: Vault) -> None:
    given_makeable(vault)
    assert check(vault, full=False).full  # nothing was checked here yet
    given_order(vault)
    report = check(vault, full=False)
    assert not report.full
    assert report.sound
    assert report.records == 2  # the order and its contract review


def test_the_quick_form_finds_what_was_changed_or_removed_since(vault: Vault) -> None:
    a_whole_register(vault)
    assert full(vault).sound
    revision = a_revision()
    forced(vault, path_of(revision), encode(revision.model_copy(update={"label": "D"})))
    assert ("BRK-204 rev D", "it was changed after it had been recorded once and for all") in found(
        check(vault, full=False)
    )


def test_the_quick_form_finds_a_reference_that_leads_nowhere_and_a_false_file(vault: Vault) -> None:
    given_makeable(vault)
    assert full(vault).sound
    revision = a_revision("D", follows=ulid("rev C"), receipt=ulid("never"))
    given(vault, revision)
    forced(vault, file_path(revision, revision.design), b"other")
    assert {where for where, _ in found(check(vault, full=False))} == {
        "BRK-204 rev D",
        "BRK-204 rev D, design file bracket-D.stl",
    }


def test_damage_is_never_remembered_as_checked(vault: Vault) -> None:
    given_makeable(vault)
    forced(vault, "notes.txt", b"hello")
    assert not full(vault).sound
    assert vault.store.local(CHECKED) is None


def test_a_commit_checked_elsewhere_is_not_trusted(vault: Vault) -> None:
    given_makeable(vault)
    vault.store.set_local(CHECKED, "0" * 40)
    assert check(vault, full=False).full


def test_what_is_not_covered_is_said(vault: Vault) -> None:
    assert any("index" in words for words in NOT_COVERED)
    assert any("compare the head" in words for words in NOT_COVERED)


def test_a_register_on_git_is_checked_like_one_in_memory(vault: Vault, tmp_path: Path) -> None:
    with on_git(vault, tmp_path / "register") as opened:
        a_whole_register(opened)
        big = a_path(opened, "big.bin", bytes(3 << 20))
        kept, stored = a_file("big.bin"), opened.store.keep(big)
        kept = kept.model_copy(update={"sha256": stored.sha256, "size_bytes": stored.size_bytes})
        receipt = a_receipt(files=(kept,), id=ulid("big one"), label=None)

        def decide(_: Snapshot) -> Change:
            entry, file = {path_of(receipt): encode(receipt)}, {file_path(receipt, kept): stored}
            return Change("A large file", "ona", opened.clock.now(), entry, {}, file)

        opened.store.transact(decide)
        report = full(opened)
        assert found(report) == []
        assert report.size_bytes > 3 << 20
        assert json.loads(opened.store.at().read(path_of(receipt)))["files"][0]["size_bytes"] == 3 << 20
        assert not check(opened, full=False).full
