"""Holds in words."""

from collections.abc import Iterable, Iterator

from vault.model.decisions import Hold
from vault.model.findings import Code, Finding
from vault.model.words import Role
from vault.rules.finding import stop
from vault.rules.history import PartHistory


def part_holds(history: PartHistory, revision: str | None) -> tuple[tuple[str, Hold], ...]:
    """Return the standing holds on a part and on this revision of it, each with the name by which it is lifted."""
    number = history.card.number

    def name(hold: Hold) -> str:
        held = hold.target.revision
        return f"part {number}@{history.label_of(held)}" if held else f"part {number}"

    return tuple((name(hold), hold) for hold in history.standing_holds(revision))


def hold_findings(holds: Iterable[tuple[str, Hold]]) -> Iterator[Finding]:
    """Yield a stop for each standing hold; each comes with the name of what is held, such as "lot L-26A0001"."""
    for name, hold in holds:
        command = f"partstead lift {name.rpartition(' ')[2]} --because REASON"
        words = f"{name} is on hold since {hold.at:%Y-%m-%d}: {hold.reason}"
        yield stop(Code.ON_HOLD, words[:500], Role.QUALITY, next_command=command)
