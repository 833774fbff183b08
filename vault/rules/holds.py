"""Holds in words."""

from collections.abc import Iterable, Iterator

from vault.model.decisions import Hold
from vault.model.findings import Code, Finding
from vault.model.words import Role
from vault.rules.finding import stop


def hold_findings(holds: Iterable[tuple[str, Hold]]) -> Iterator[Finding]:
    """Yield a stop for each standing hold; each comes with the name of what is held, such as "lot L-26A0001"."""
    for name, hold in holds:
        command = f"partstead lift {name.rpartition(' ')[2]} --because REASON"
        words = f"{name} is on hold since {hold.at:%Y-%m-%d}: {hold.reason}"
        yield stop(Code.ON_HOLD, words[:500], Role.QUALITY, next_command=command)
