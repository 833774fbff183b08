"""Starting and finishing furnace loads."""

from dataclasses import replace

import pytest

from tests.builders import FURNACE, a_cycle, a_furnace, a_material, some_settings, ulid
from tests.floor_builders import LOT, a_blend, a_box_run, a_hold, a_lot
from tests.given import a_path, given, given_makeable, given_part, given_revision, given_settings, reader_of
from vault.actions.loads import LoadEnd, NewLoad, Place, finish_load, load_finish_of, start_load
from vault.actions.lot_counts import Counts, Done, finish_lot, record_operation
from vault.errors import BadInput, NotAllowed, Refused
from vault.model.decisions import HoldTarget
from vault.model.findings import Code
from vault.model.floor import Witness
from vault.model.settings import Operation, Setter

LOAD = NewLoad(FURNACE, "sinter", "sinter A", (Place(LOT, tray="1"),), metal_kg=5.0)


@pytest.fixture
def shop(vault):
    given_makeable(vault)
    given(vault, a_blend(), a_box_run(), a_lot())
    return vault.as_person("cleo")


def test_a_load_takes_alloy_and_counts_from_its_lots(shop):
    load = start_load(shop, LOAD).entry
    assert (load.id, load.material, load.placed[0].count, load.pairing_by) == ("F-26A0001", "17-4PH", 30, None)


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"metal_kg": 40.1}, "FURNACE_LIMIT"),
        ({"metal_kg": None}, "FURNACE_LIMIT"),
        ({"cycle_name": "sinter B"}, "NOT_AS_SETTINGS"),
        ({"heat": "debind", "cycle_name": "debind A"}, "FURNACE_LIMIT"),  # nobody said how much binder
        ({"heat": "debind", "cycle_name": "debind A", "binder_kg": 1.01}, "FURNACE_LIMIT"),
        ({"placed": (Place(LOT, 31),)}, "COUNTS_DO_NOT_BALANCE"),
        ({"placed": (Place(LOT, 29),)}, "LOTS_DIFFER"),
    ],
)
def test_a_load_beyond_what_is_allowed_is_refused(shop, change, code):
    with pytest.raises(Refused, match=code):
        start_load(shop, replace(LOAD, **change))


def test_a_load_at_its_limits_is_taken(shop):
    load = replace(LOAD, heat="debind and sinter", metal_kg=40.0, binder_kg=1.0)
    assert start_load(shop, load).findings == ()


def test_two_alloys_share_a_load_only_where_an_engineer_records_it(shop):
    given(shop, a_material(id="316L"), some_settings("S2", material="316L"))
    given(shop, a_blend("M-26A0002", material="316L"), a_lot("L-26A0002", settings=ulid("settings S2")))
    mixed = replace(LOAD, placed=(Place(LOT), Place("L-26A0002")))
    with pytest.raises(Refused, match="LOAD_MIXED"):
        start_load(shop, mixed)
    with pytest.raises(NotAllowed, match="edda, emil"):
        start_load(shop, replace(mixed, paired=True))
    paired = start_load(shop.as_person("edda"), replace(mixed, paired=True))
    assert paired.entry.pairing_by == "edda"
    assert [finding.code for finding in paired.findings] == [Code.LOAD_MIXED]


def test_two_cycles_of_one_name_are_still_two_cycles(shop):
    hotter = some_settings("S2", sinter=a_cycle("sinter A", 1380.0))
    given(shop, hotter, a_lot("L-26A0002", settings=hotter.id))
    with pytest.raises(Refused, match="different cycles"):
        start_load(shop, replace(LOAD, placed=(Place(LOT), Place("L-26A0002"))))


def test_metal_stands_only_on_setters_that_its_card_allows(vault):
    given_part(vault)
    given_revision(vault)
    given_settings(vault, setter=Setter(material="graphite", layout="flat", pieces_per_setter=4))
    given(vault, a_blend(), a_box_run(), a_lot())
    with pytest.raises(Refused, match="SETTER_NOT_ALLOWED.*may stand on alumina, not on graphite"):
        start_load(vault, LOAD)


def test_a_cycle_hotter_than_the_furnace_and_made_for_another_is_refused(shop):
    given(shop, a_furnace(max_c=1200.0), a_furnace(id="FUR-2"))
    with pytest.raises(Refused, match="reaches 1200 C"):
        start_load(shop, LOAD)
    with pytest.raises(Refused, match="was made for FUR-1, not for FUR-2"):
        start_load(shop, replace(LOAD, furnace="FUR-2"))


def test_pieces_of_a_held_box_run_do_not_go_into_the_furnace(shop):
    given(shop, a_hold(HoldTarget(box_run="K-26A0001")))
    with pytest.raises(Refused, match="box run K-26A0001 is on hold"):
        start_load(shop, LOAD)


def test_a_second_sinter_is_rework_that_the_settings_must_allow(shop):
    start_load(shop, LOAD)
    finish_load(shop, "F-26A0001", LoadEnd())
    record_operation(shop, LOT, "sinter", Counts(30, 30), Done(load="F-26A0001"))
    with pytest.raises(Refused, match="REWORK_NOT_ALLOWED"):
        start_load(shop, LOAD)


def test_a_second_sinter_goes_where_the_settings_allow_one(vault):
    again = Operation(number=10, name="sinter again", kind="other", is_rework=True, times_allowed=1)
    given_part(vault)
    given_revision(vault)
    given_settings(vault, operations=(again,))
    given(vault, a_blend(), a_box_run(), a_lot())
    for load in ("F-26A0001", "F-26A0002"):
        assert start_load(vault, LOAD).entry.id == load
        finish_load(vault, load, LoadEnd())
    with pytest.raises(Refused, match="F-26A0001, F-26A0002 already"):
        start_load(vault, LOAD)


def test_a_furnace_holds_one_load_at_a_time(shop):
    start_load(shop, LOAD)
    given(shop, a_lot("L-26A0002"))
    with pytest.raises(Refused, match="STILL_RUNNING"):
        start_load(shop, replace(LOAD, placed=(Place("L-26A0002"),)))


def test_more_trays_than_the_furnace_has_are_refused(shop):
    given(shop, a_furnace(trays=1), a_lot("L-26A0002"))
    with pytest.raises(Refused, match="2 trays are named, FUR-1 has 1"):
        start_load(shop, replace(LOAD, placed=(Place(LOT, tray="1"), Place("L-26A0002", tray="2"))))


def test_a_finished_lot_does_not_go_into_the_furnace(shop):
    finish_lot(shop, LOT, 30)
    with pytest.raises(Refused, match="LOT_HAS_ENDED"):
        start_load(shop, LOAD)


def test_witness_pieces_that_lack_a_result_are_told(shop):
    given(shop, a_material(witness_needed=("density", "carbon")))
    start_load(shop, LOAD)
    end = LoadEnd(witnesses=(Witness(name="bar 1", density_g_cm3=7.66),), reports={"bar 1": a_path(shop, "lab.pdf")})
    finish = finish_load(shop, "F-26A0001", end)
    assert [finding.sentence for finding in finish.findings] == [
        "load F-26A0001: the witness pieces give no carbon, 17-4PH asks for it"
    ]
    assert load_finish_of(reader_of(shop), "F-26A0001").witnesses[0].report.name == "lab.pdf"


def test_deviations_of_a_load_are_kept_and_told(shop):
    start_load(shop, LOAD)
    end = LoadEnd(deviations="Gas lost for 4 min at 900 C", chart=a_path(shop, "chart.csv"))
    finish = finish_load(shop, "F-26A0001", end)
    assert (finish.entry.as_run, finish.entry.chart.name) == ("deviations, see words", "chart.csv")
    assert [finding.code for finding in finish.findings] == [Code.RUN_WENT_BADLY]


def test_a_report_of_no_witness_piece_and_an_empty_load_are_refused(shop):
    with pytest.raises(BadInput, match="empty furnace"):
        start_load(shop, replace(LOAD, placed=()))
    start_load(shop, LOAD)
    with pytest.raises(BadInput, match="no witness piece"):
        finish_load(shop, "F-26A0001", LoadEnd(reports={"bar 9": a_path(shop, "lab.pdf")}))
