"""One line of the bench: what was measured, and where a budget bounds it."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Row:
    """A measured value with its unit, and the most it may be (None: told, not bounded)."""

    what: str
    value: float
    unit: str
    at_most: float | None = None

    @property
    def holds(self) -> bool:
        """True where the budget is kept."""
        return self.at_most is None or self.value <= self.at_most

    def __str__(self) -> str:
        budget = "" if self.at_most is None else f"   (at most {self.at_most:g}: {'kept' if self.holds else 'BROKEN'})"
        return f"{self.what:<72} {self.value:>10.3g} {self.unit}{budget}"
