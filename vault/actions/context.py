"""What every verb is given: the store, the index, the clock, new ids, and who is asking."""

import secrets
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Protocol, Self

from vault.interfaces import Clock, Index, Store
from vault.model.ids import Handle, Ulid

if TYPE_CHECKING:
    from vault.geometry.mesh import Shape
    from vault.model.shape import MeasuredShape, ShapeChange

_ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"


def _written(number: int) -> Ulid:
    return Ulid("".join(_ALPHABET[(number >> shift) & 31] for shift in range(125, -1, -5)))


def ulid_at(moment: datetime, tail: int) -> Ulid:
    """Return the ULID of a moment (milliseconds) with an 80-bit tail."""
    return _written((int(moment.timestamp() * 1000) << 80) | tail)


class NewUlids:
    """Makes ULIDs that rise within one process, also within one millisecond."""

    def __init__(self, clock: Clock, random_bits: Callable[[int], int] = secrets.randbits) -> None:
        self._clock = clock
        self._random_bits = random_bits
        self._last = 0

    def __call__(self) -> Ulid:
        """Return the next ULID."""
        made = (int(self._clock.now().timestamp() * 1000) << 80) | self._random_bits(79)
        # A clock that was set back must not make a later entry sort before an earlier one.
        self._last = max(made, self._last + 1)
        return _written(self._last)


class Shapes(Protocol):
    """Reads and measures shape files."""

    def measured(self, file: Path, unit: str | None) -> "tuple[Shape, MeasuredShape]":
        """Load and measure a file. Raises BadInput where it cannot be read as a shape."""
        ...

    def changed(self, before: "Shape", after: "Shape") -> "ShapeChange":
        """Measure what changed from one shape to the next, as both files place it."""
        ...

    def close(self) -> None:
        """End the child process, if one was started."""
        ...


@dataclass(frozen=True)
class Vault:
    """One open register, as one person uses it in one thread."""

    folder: Path
    store: Store
    index: Index
    clock: Clock
    new_ulid: Callable[[], Ulid]
    shapes: Shapes
    me: Handle

    @property
    def today(self) -> date:
        """Today, by the clock."""
        return self.clock.now().date()

    def as_person(self, handle: Handle) -> "Vault":
        """Return the same register in another person's hands."""
        return replace(self, me=handle)

    def close(self) -> None:
        """Release the database, git's processes and the child that reads shapes."""
        self.shapes.close()
        self.index.close()
        self.store.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()
