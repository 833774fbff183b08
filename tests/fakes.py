"""Stand-ins for the outside world: a clock that a test turns, and a store that is forgotten with the test."""

from datetime import UTC, datetime, timedelta

from vault.interfaces import Change
from vault.store.memory_store import MemoryStore

MORNING = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)


class FakeClock:
    """A clock that stands still until it is told to move."""

    def __init__(self, now: datetime = MORNING) -> None:
        self._now = now

    def now(self) -> datetime:
        """Return the moment that the clock stands at."""
        return self._now

    def advance(self, **step: float) -> datetime:
        """Move on by `timedelta(**step)`, as in `clock.advance(days=3)`, and return the new moment."""
        self._now += timedelta(**step)
        return self._now


def a_memory_store(**cards: bytes) -> MemoryStore:
    """Return a store in memory with one card `vault.json`, and the `cards` given by name without ".json"."""
    first = {"vault.json": b"{}\n", **{f"{name}.json": content for name, content in cards.items()}}
    return MemoryStore(Change(message="Register made", by="test", at=MORNING, cards=first))
