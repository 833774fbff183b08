"""How much of a permit or concession is used: one count for everybody who asks."""

from datetime import date, timedelta

from tests.builders import PART, made, some_evidence, ulid
from tests.fakes import MORNING
from tests.floor_builders import a_lot
from vault.model.decisions import Permission, Permit
from vault.rules.permits import permit_used

GRANTED = Permission(
    reference="NF-P-3", granted_by="P. Holm", granted_on=date(2026, 3, 2), words="Without reaming", quantity=50,
    evidence=some_evidence(),
)  # fmt: skip


def a_permit(**given):
    return made(Permit, given, id=ulid("permit"), part=PART, revision=ulid("rev C"), permission=GRANTED)


def test_a_permit_counts_lots_started_since_and_their_children_once():
    lots = [
        a_lot(),
        a_lot("L-26A0001/1", count=20, parents=("L-26A0001",)),
        a_lot("L-26A0002", at=MORNING - timedelta(days=1)),
        a_lot("L-26A0003", revision=ulid("rev D")),
    ]
    assert permit_used(a_permit(), lots) == 30


def test_a_permit_for_some_settings_counts_what_was_made_with_them():
    lots = [a_lot(), a_lot("L-26A0002", settings=ulid("settings S2"), count=12)]
    assert permit_used(a_permit(settings=ulid("settings S2")), lots) == 12
    assert permit_used(a_permit(), lots) == 42
