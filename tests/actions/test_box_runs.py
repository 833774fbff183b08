"""Starting and finishing box runs."""

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from tests.builders import MACHINE, a_machine, a_material
from tests.floor_builders import BLEND, PACKAGE, a_blend, a_hold
from tests.given import (
    given,
    given_makeable,
    given_order,
    given_package,
    given_part,
    given_revision,
    given_settings,
    given_shop,
    reader_of,
)
from vault.actions.box_runs import NewRun, finish_of, finish_run, start_run
from vault.actions.equipment import NewEvent, record_event
from vault.errors import BadInput, NotFound, Refused
from vault.model.cards import PowderLimits
from vault.model.decisions import HoldTarget
from vault.model.findings import Code
from vault.model.words import ServiceEffect

RUN = NewRun(MACHINE, "BOX-S", BLEND, "BL-77", date(2026, 12, 1))


@pytest.fixture
def shop(vault):
    given_shop(vault)
    given(vault, a_blend(), a_machine(materials=()))
    return vault.as_person("cleo")


def test_a_box_run_takes_its_material_from_the_powder(shop):
    run = start_run(shop, RUN)
    assert (run.entry.id, run.entry.material, run.entry.operator) == ("K-26A0001", "17-4PH", "cleo")
    assert run.findings == ()


def test_another_material_needs_a_clean_out_for_it_since_the_last_run(shop, clock):
    given(shop, a_material(id="316L"), a_blend("M-26A0002", material="316L"))
    finish_run(shop, start_run(shop, RUN).entry.id, went_well=True)
    other = replace(RUN, blend="M-26A0002")
    with pytest.raises(Refused, match="CLEAN_OUT_MISSING"):
        start_run(shop, other)
    clock.advance(hours=1)
    record_event(shop, NewEvent(MACHINE, "Cleaned out", ServiceEffect.CLEAN_OUT, new_material="316L"))
    assert start_run(shop, other).entry.material == "316L"


def test_an_older_clean_out_does_not_count(shop, clock):
    given(shop, a_material(id="316L"), a_blend("M-26A0002", material="316L"))
    record_event(shop, NewEvent(MACHINE, "Cleaned out", ServiceEffect.CLEAN_OUT, new_material="316L"))
    clock.advance(days=1)
    finish_run(shop, start_run(shop, RUN).entry.id, went_well=True)
    with pytest.raises(Refused, match="CLEAN_OUT_MISSING"):
        start_run(shop, replace(RUN, blend="M-26A0002"))


def test_a_clean_out_on_the_same_day_but_before_the_run_does_not_count(shop, clock):
    given(shop, a_material(id="316L"), a_blend("M-26A0002", material="316L"))
    record_event(shop, NewEvent(MACHINE, "Cleaned out", ServiceEffect.CLEAN_OUT, new_material="316L"))
    clock.advance(hours=1)
    finish_run(shop, start_run(shop, RUN).entry.id, went_well=True)
    with pytest.raises(Refused, match="CLEAN_OUT_MISSING"):
        start_run(shop, replace(RUN, blend="M-26A0002"))


def test_binder_is_used_up_to_its_last_day(shop, clock):
    assert start_run(shop, replace(RUN, binder_expires=date(2026, 3, 2))).findings == ()
    finish_run(shop, "K-26A0001", went_well=True)
    clock.advance(days=1)
    with pytest.raises(Refused, match="BINDER_EXPIRED"):
        start_run(shop, replace(RUN, binder_expires=date(2026, 3, 2)))


def test_binder_without_a_known_expiry_is_a_caution(shop):
    found = start_run(shop, replace(RUN, binder_expires=None)).findings
    assert [finding.code for finding in found] == [Code.BINDER_EXPIRED]


def test_powder_out_of_limits_or_on_hold_is_not_printed(shop):
    given(shop, a_material(powder=PowderLimits(reuse_max=3)), a_blend("M-26A0003", reuse_count=4))
    with pytest.raises(Refused, match="POWDER_OUT_OF_LIMITS"):
        start_run(shop, replace(RUN, blend="M-26A0003"))
    given(shop, a_hold(HoldTarget(blend=BLEND)))
    with pytest.raises(Refused, match="ON_HOLD"):
        start_run(shop, RUN)


def test_a_printer_prints_one_box_at_a_time(shop):
    start_run(shop, RUN)
    with pytest.raises(Refused, match="STILL_RUNNING"):
        start_run(shop, RUN)


def test_a_retired_printer_a_wrong_box_and_a_wrong_material_are_all_named(shop):
    given(shop, a_machine(retired=True, boxes=("BOX-L",), materials=("316L",)))
    with pytest.raises(Refused) as refusal:
        start_run(shop, RUN)
    assert all(code in str(refusal.value) for code in ("MACHINE_RETIRED", "NOT_AS_SETTINGS", "MATERIALS_MIXED"))


def test_a_box_is_printed_from_live_packages_with_their_settings_only(vault):
    given_part(vault)
    given_revision(vault)
    given_settings(vault, machine="PRN-9")
    given_order(vault)
    given_package(vault)
    given(vault, a_blend())
    with pytest.raises(Refused, match="are for PRN-9, not PRN-1"):
        start_run(vault.as_person("cleo"), replace(RUN, packages=(PACKAGE,)))


def test_a_package_out_of_date_is_not_printed(vault, clock):
    given_makeable(vault)
    given_order(vault)
    given_package(vault)
    given(vault, a_blend())
    clock.advance(days=31)
    with pytest.raises(Refused, match="PACKAGE_NOT_LIVE"):
        start_run(vault.as_person("cleo"), replace(RUN, packages=(PACKAGE,)))


def test_alarms_of_a_run_ask_for_a_decision(shop):
    start_run(shop, RUN)
    finish = finish_run(shop, "K-26A0001", went_well=False, alarms=("recoater jam at layer 210",))
    assert [finding.code for finding in finish.findings] == [Code.RUN_WENT_BADLY]
    assert finish_of(reader_of(shop), "K-26A0001") == finish.entry


def test_a_run_is_finished_once_and_not_before_it_began(shop, clock):
    start_run(shop, RUN)
    with pytest.raises(BadInput, match="cannot end"):
        finish_run(shop, "K-26A0001", went_well=True, finished_at=datetime(2026, 3, 1, tzinfo=UTC))
    with pytest.raises(BadInput, match="cannot end"):
        finish_run(shop, "K-26A0001", went_well=True, finished_at=clock.now().replace(year=2027))
    finish_run(shop, "K-26A0001", went_well=True)
    with pytest.raises(Refused, match="finished already"):
        finish_run(shop, "K-26A0001", went_well=True)


def test_an_unknown_printer_is_named(shop):
    with pytest.raises(NotFound, match="PRN-7"):
        start_run(shop, replace(RUN, machine="PRN-7"))
