"""What every index promises, whatever it is made of. A test class inherits it and says how its index is opened."""

from abc import ABC, abstractmethod

import pytest

from tests.index.records import (
    a_customer,
    a_delivery,
    a_hold,
    a_lot,
    a_measurement,
    a_part,
    a_revision,
    a_small_shop,
    an_order,
    ulid,
    written,
)
from tests.index.scripted_store import ScriptedStore
from vault.interfaces import Hit, Index, MatchedBy
from vault.model.base import Record
from vault.records.paths import customer_card, part_card, path_of, record_of_id


class IndexContract(ABC):
    """The suite."""

    @abstractmethod
    def open(self, store: ScriptedStore) -> Index:
        """Return an index over `store`."""

    def _over(self, *records: Record) -> Index:
        index = self.open(ScriptedStore(written(records)))
        index.catch_up()
        return index

    @pytest.fixture
    def shop(self) -> Index:
        """An index over a small shop."""
        return self._over(*a_small_shop())

    def test_catching_up_returns_the_head(self) -> None:
        store = ScriptedStore(written(a_small_shop()))
        index = self.open(store)
        assert index.catch_up() == store.head()
        store.commit(written([an_order(2)]))
        assert index.catch_up() == store.head()
        assert index.rebuild() == store.head()

    def test_a_new_order_is_found_after_catching_up(self) -> None:
        store = ScriptedStore(written(a_small_shop()))
        index = self.open(store)
        index.catch_up()
        store.commit(written([an_order(7, po="AX-1")]))
        index.catch_up()
        assert [hit.name for hit in index.find("ax1")] == ["O-26A0007"]

    def test_an_edited_card_is_found_by_its_new_words_only(self) -> None:
        store = ScriptedStore(written(a_small_shop()))
        index = self.open(store)
        index.catch_up()
        store.commit(written([a_part(description="Rudder stop")]))
        index.catch_up()
        assert _names(index.find("rudder")) == ["BRK-204"]
        assert index.find("hinge") == ()

    def test_a_renamed_customer_brings_its_parts_along(self) -> None:
        store = ScriptedStore(written(a_small_shop()))
        index = self.open(store)
        index.catch_up()
        store.commit(written([a_customer(name="Stellwerk Marine")]))
        index.catch_up()
        assert _names(index.find("stellwerk hinge")) == ["BRK-204"]
        assert _by(index.find("boatworks hinge")) <= {MatchedBy.NEAR}

    def test_an_index_asked_before_it_was_caught_up_catches_up_first(self) -> None:
        index = self.open(ScriptedStore(written(a_small_shop())))
        assert _names(index.find("BRK-204"))[0] == "BRK-204"

    @pytest.mark.parametrize("typed", ["BRK-204", "brk204", "BRK 204", "brk.204", " Brk_204 "])
    def test_case_and_separators_of_a_number_do_not_count(self, shop: Index, typed: str) -> None:
        first = shop.find(typed)[0]
        assert (first.thing, first.name, first.matched_by, first.field) == (
            "part",
            "BRK-204",
            MatchedBy.NUMBER,
            "number",
        )

    @pytest.mark.parametrize(
        "typed", ["brk 204-c", "BRK204C", "BRK-204@C", "brk-204 rev c", "BRK-204 Rev. C", "brk204 revision c"]
    )
    def test_a_number_with_its_revision_label_finds_the_part_and_that_revision(self, shop: Index, typed: str) -> None:
        part, revision = shop.find(typed)[:2]
        assert (part.thing, part.name, part.matched_by) == ("part", "BRK-204", MatchedBy.NUMBER)
        assert (revision.thing, revision.name, revision.part) == ("revision", "BRK-204@C", "BRK-204")

    def test_the_customers_number_takes_a_label_too(self, shop: Index) -> None:
        part, revision = shop.find("hol 4417 02 d")[:2]
        assert (part.name, part.field) == ("BRK-204", "customer's number")
        assert revision.name == "BRK-204@D"

    def test_a_number_that_reads_as_number_and_label_is_the_number_first(self) -> None:
        index = self._over(a_part(), a_revision(1), a_part("BRK204C", customer_number="X-1"))
        names = [hit.name for hit in index.find("brk-204c")]
        assert names[0] == "BRK204C"
        assert "BRK-204@C" in names

    @pytest.mark.parametrize(
        ("typed", "thing", "name", "field"),
        [
            ("HOL-4417-02", "part", "BRK-204", "customer's number"),
            ("k9/31", "part", "BRK-204", "other number"),
            ("dwg 77120", "revision", "BRK-204@C", "drawing number"),
            ("4500778", "order", "O-26A0001", "PO"),
            ("o-26a0001", "order", "O-26A0001", "number"),
            ("L26A0001", "lot", "L-26A0001", "number"),
            ("PW-88231", "powder blend", "M-26A0001", "supplier's lot"),
            ("orrin", "customer", "ORRIN", "code"),
        ],
    )
    def test_every_number_of_the_trade_finds_its_thing(
        self, shop: Index, typed: str, thing: str, name: str, field: str
    ) -> None:
        hit = shop.find(typed)[0]
        assert (hit.thing, hit.name, hit.field, hit.matched_by) == (thing, name, field, MatchedBy.NUMBER)

    @pytest.mark.parametrize(
        ("typed", "name", "field"),
        [
            ("gehause", "VLV-20", "description"),
            ("GEHÄUSE ventil", "VLV-20", "description"),
            ("bracket northfell", "BRK-204", "customer"),
            ("boatworks hinge", "BRK-204", "description"),
            ("4417", "BRK-204", "customer's number"),
            ("bore tight", "T-26A0001", "defect"),
        ],
    )
    def test_words_are_found_anywhere_in_any_order(self, shop: Index, typed: str, name: str, field: str) -> None:
        hit = next(hit for hit in shop.find(typed) if hit.name == name)
        assert (hit.matched_by, hit.field) == (MatchedBy.TEXT, field)

    def test_a_beginning_stands_before_a_text_and_behind_the_number_itself(self) -> None:
        index = self._over(
            a_part("AB-1", customer_number="x1"),
            a_part("AB-12", customer_number="x2"),
            a_part("ZZ-9", customer_number="q AB-1 q", description="spare"),
        )
        hits = index.find("ab-1")
        assert [(hit.name, hit.matched_by) for hit in hits] == [
            ("AB-1", MatchedBy.NUMBER),
            ("AB-12", MatchedBy.PREFIX),
            ("ZZ-9", MatchedBy.TEXT),
        ]

    @pytest.mark.parametrize("typed", ["HOL-4471-02", "hol 441702x", "hinj brackett", "northfel bracktes"])
    def test_a_slip_of_the_finger_is_a_near_match_and_nothing_better(self, shop: Index, typed: str) -> None:
        hits = shop.find(typed)
        assert "BRK-204" in _names(hits)
        assert _by(hits) == {MatchedBy.NEAR}

    @pytest.mark.parametrize("typed", ["zebra crossing", "9999999", "#", "", "   ", "---", "日本語", "\x00", '"', "''"])
    def test_what_fits_nothing_finds_nothing(self, shop: Index, typed: str) -> None:
        assert shop.find(typed) == ()

    @pytest.mark.parametrize(
        "typed",
        [
            '"hinge',
            'hinge" OR "',
            "hinge AND",
            "NEAR(hinge)",
            "hinge*",
            "own:hinge",
            "^hinge",
            "-hinge",
            "(",
            "' OR 1=1 --",
            "%",
            "_",
            "%%%",
            "hin%",
            "a\x00b",
            "\ud800",
            "hinge\n\tbracket",
            "x" * 100_000,
            "hinge " * 20_000,
            "\u202ehinge",
        ],
    )
    def test_hostile_text_is_only_text(self, shop: Index, typed: str) -> None:
        assert all(isinstance(hit, Hit) for hit in shop.find(typed))

    def test_a_percent_sign_is_no_wildcard(self, shop: Index) -> None:
        assert shop.find("BR%4") == ()
        assert _by(shop.find("h_nge br_cket")) <= {MatchedBy.NEAR}

    def test_no_more_hits_than_asked_for(self) -> None:
        index = self._over(*(a_part(f"PL-{number}", customer_number=f"C{number}") for number in range(40)))
        assert len(index.find("pl", 7)) == 7
        assert len(index.find("hinge")) == 20
        assert index.find("pl", 0) == ()

    def test_a_hit_names_its_part_however_far_away(self, shop: Index) -> None:
        parts = {
            name: shop.find(name)[0].part for name in ("O-26A0001", "L-26A0001", "D-26A0001", "T-26A0001", "ORRIN")
        }
        assert parts == dict.fromkeys(("O-26A0001", "L-26A0001", "D-26A0001", "T-26A0001"), "BRK-204") | {"ORRIN": None}

    def test_a_title_says_what_the_hit_is(self, shop: Index) -> None:
        assert shop.find("brk-204")[0].title == "Hinge bracket, left (NORTHFELL HOL-4417-02)"
        assert shop.find("4500-778")[0].title == "PO 4500-778 line 10: 40 of BRK-204"

    def test_referrers_are_the_records_that_point_at_a_thing(self, shop: Index) -> None:
        of_the_lot = (a_measurement(10), a_hold(11, lot="L-26A0001"), a_delivery(1))
        assert shop.referrers("lot", "L-26A0001") == tuple(sorted(map(path_of, of_the_lot)))
        assert shop.referrers("material", "17-4PH") == (part_card("VLV-20"),)
        assert shop.referrers("part", "NOBODY") == ()

    def test_referrers_are_sorted_and_each_stands_once(self, shop: Index) -> None:
        found = shop.referrers("person", "mira")
        assert list(found) == sorted(set(found))
        assert len(found) == len(a_small_shop())

    def test_a_card_edited_away_refers_no_more(self) -> None:
        store = ScriptedStore(written([a_part()]))
        index = self.open(store)
        index.catch_up()
        store.commit(written([a_part(material="17-4PH")]))
        index.catch_up()
        assert index.referrers("material", "316L") == ()
        assert index.referrers("material", "17-4PH") == (part_card("BRK-204"),)

    def test_a_thing_is_located_by_its_name(self, shop: Index) -> None:
        assert shop.locate("part", "BRK-204") == part_card("BRK-204")
        assert shop.locate("revision", ulid(1)) == path_of(a_revision(1))
        assert shop.locate("entry", ulid(10)) == path_of(a_measurement(10))
        assert shop.locate("customer", "ORRIN") == customer_card("ORRIN")
        assert shop.locate("part", "brk-204") is None
        assert shop.locate("order", "BRK-204") is None

    def test_records_of_a_kind_come_oldest_first(self) -> None:
        index = self._over(an_order(3), an_order(1), an_order(2, part="VLV-20"))
        assert index.paths_of("order") == tuple(record_of_id(f"O-26A000{number}") for number in (1, 2, 3))
        assert index.paths_of("order", "BRK-204") == tuple(record_of_id(f"O-26A000{number}") for number in (1, 3))
        assert index.paths_of("delivery") == ()

    def test_what_belongs_to_a_lot_or_an_order_belongs_to_their_part(self, shop: Index) -> None:
        assert shop.paths_of("part", "BRK-204") == (part_card("BRK-204"),)
        assert shop.paths_of("measurement", "BRK-204") == (path_of(a_measurement(10)),)
        assert shop.paths_of("return", "BRK-204") == (record_of_id("T-26A0001"),)
        assert set(shop.paths_of("hold", "BRK-204")) == {
            path_of(a_hold(11, lot="L-26A0001")),
            path_of(a_hold(12, part="BRK-204")),
        }
        assert shop.paths_of("return", "VLV-20") == ()

    def test_moments_of_one_second_are_told_apart(self) -> None:
        early, late = a_lot(2), a_lot(1)
        early = early.model_copy(update={"at": late.at.replace(microsecond=0)})
        late = late.model_copy(update={"at": late.at.replace(microsecond=100_000)})
        index = self._over(late, early)
        assert index.paths_of("lot") == (record_of_id("L-26A0002"), record_of_id("L-26A0001"))

    def test_a_record_that_cannot_be_read_is_skipped_and_the_rest_is_found(self) -> None:
        files = written(a_small_shop()) | {part_card("BAD-1"): b"{not json"}
        index = self.open(ScriptedStore(files))
        index.catch_up()
        assert index.locate("part", "BAD-1") is None
        assert _names(index.find("BRK-204"))[0] == "BRK-204"


def _names(hits: tuple[Hit, ...]) -> list[str]:
    return [hit.name for hit in hits]


def _by(hits: tuple[Hit, ...]) -> set[MatchedBy]:
    return {hit.matched_by for hit in hits}
