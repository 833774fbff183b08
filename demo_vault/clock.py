"""The demo's clock: it stands still until the story moves it, and it never goes back."""

from datetime import UTC, date, datetime, time, timedelta


class StoryClock:
    """A clock that tells the story's time: a day, and a minute later at every look."""

    def __init__(self, day: date) -> None:
        self._now = datetime.combine(day, time(7, 30), UTC)

    def now(self) -> datetime:
        """Return the story's present moment."""
        return self._now

    def move_to(self, day: date) -> None:
        """Move to the morning of a day, or a little on where that day has begun."""
        morning = datetime.combine(day, time(7, 30), UTC)
        self._now = max(morning, self._now + timedelta(minutes=1))
