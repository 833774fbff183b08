"""Records in which every field holds something that stands nowhere else, so that a leak names where it came from."""

import hashlib
from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime, timedelta
from typing import Any

from tests.builders import a_file, ulid
from tests.fitting import fitting
from vault.model.base import Value
from vault.model.design import KeptFile
from vault.model.ids import Thing
from vault.model.words import FileRole

OURS = {
    Thing.CUSTOMER: "NORTHFELL", Thing.PART: "BRK-204", Thing.PERSON: "edda", Thing.MACHINE: "PRN-1",
    Thing.MATERIAL: "17-4PH", Thing.BOX: "BOX-S", Thing.FURNACE: "FUR-1", Thing.GAUGE: "CAL-3",
    Thing.RECEIPT: ulid("receipt"), Thing.REVISION: ulid("rev C"), Thing.SETTINGS: ulid("settings S1"),
    Thing.ENTRY: ulid("some entry"), Thing.ORDER: "O-26A0001", Thing.LOT: "L-26A0001", Thing.BOX_RUN: "K-26A0001",
    Thing.LOAD: "F-26A0001", Thing.BLEND: "M-26A0001", Thing.NONCONFORMANCE: "N-26A0001",
    Thing.DELIVERY: "D-26A0001", Thing.RETURN: "T-26A0001", Thing.ESCAPE: "E-26A0001", Thing.PACKAGE: "R-26A0001",
}  # fmt: skip
"""What the records of the customer who asks are called."""

_OTHER_CARDS = {
    Thing.CUSTOMER: "BRIGHTWATER", Thing.PART: "HSG-017", Thing.PERSON: "emil", Thing.MACHINE: "PRN-2",
    Thing.MATERIAL: "316L", Thing.BOX: "BOX-L", Thing.FURNACE: "FUR-2", Thing.GAUGE: "CAL-4",
}  # fmt: skip
THEIRS = {
    thing: _OTHER_CARDS.get(thing) or (name[:-1] + "2" if "-" in name else ulid(f"another {thing}"))
    for thing, name in OURS.items()
}
"""What the records of another customer are called."""

_WRITTEN = {
    "Settings.number": "S1", "KeptFile.ending": "stl", "Rates.currency": "EUR", "WriterCard.code": "A",
    "PayloadFile.path": "data/traveler.pdf", "RegisterCard.id": "01KJPT0000000000000000TEST",
}  # fmt: skip


class Canaries:
    """Leaves that are all different, with a list of where each one was put."""

    def __init__(self, names: Mapping[Thing, str], start: int) -> None:
        self._names = names
        self._next = start
        self.put: dict[str, str] = {}

    def _count(self) -> int:
        self._next += 1
        return self._next

    def _note(self, where: str, shown: str) -> None:
        self.put[shown] = where

    def given(self, model: type[Value]) -> Mapping[str, Any]:
        if model is not KeptFile:
            return fitting(model, self)
        kept = a_file(f"{self.text('KeptFile.name', None, 80)}.stl", FileRole.DESIGN)
        self._note("KeptFile.sha256", kept.sha256)
        return dict(kept)

    def present(self, where: str) -> bool:
        return True

    def how_many(self, where: str, at_least: int) -> int:
        return max(at_least, 1)

    def choice(self, where: str, options: Sequence[Any]) -> Any:
        return options[0]

    def reference(self, where: str, thing: Thing, pattern: str) -> str:
        return self._names[thing]

    def text(self, where: str, pattern: str | None, longest: int) -> str:
        number = self._count()
        if where in _WRITTEN:
            return _WRITTEN[where]
        if where.endswith(".label"):
            return "C"
        if pattern is None:
            canary = f"qx{number:04d}z"
        elif where.endswith(".by"):
            return self._names[Thing.PERSON]
        elif "0-9a-f" in pattern:
            length = 64 if "{64}" in pattern else 40
            canary = hashlib.sha256(str(number).encode()).hexdigest()[:length]
        elif "HJKMNP" in pattern:
            canary = self._names[Thing.RECEIPT] if where == "Receipt.id" else ulid(f"canary {number}")
            canary = self._names[Thing.SETTINGS] if where == "Settings.id" else canary
        else:
            raise AssertionError(f"{where}: say in _WRITTEN what stands for {pattern}")
        self._note(where, canary)
        return canary

    def number(self, where: str, kind: type, low: float | None, high: float | None) -> Any:
        number = self._count()
        if kind is int and high is not None and high < 1e6:
            return max(int(low or 0), 1)
        if kind is int:
            value: float = 1_000_003 + 7 * number
        elif high is None:
            value = 3_000_000.25 + 11 * number
        else:
            bottom = low or 0.0
            value = round(bottom + (high - bottom) * (0.51 + number * 1e-6), 9)
        self._note(where, repr(kind(value)).removesuffix(".0"))
        return kind(value)

    def day(self, where: str) -> date:
        value = date(2031, 1, 1) + timedelta(days=self._count())
        self._note(where, value.isoformat())
        return value

    def moment(self, where: str) -> datetime:
        value = datetime(2051, 1, 1, 8, tzinfo=UTC) + timedelta(days=self._count())
        self._note(where, value.date().isoformat())
        return value
