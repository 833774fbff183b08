"""From a path of the register to what a person in the shop calls it: "BRK-204 rev C, design file bracket.stl"."""

import re
from datetime import UTC, datetime

from vault.errors import Damaged, NotFound
from vault.interfaces import Snapshot
from vault.model.base import Record
from vault.model.design import KeptFile, Revision
from vault.model.settings import Settings
from vault.records import paths
from vault.records.codec import decode
from vault.records.path_reading import allotted_at, is_record, original_at, owner_at, part_at
from vault.records.references import files_of
from vault.rules.naming import name_of

_LABEL = re.compile(rb'"(?:label|number)": "([A-Za-z0-9 ._/-]{1,16})"')
_DIGITS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
_FORMS = {"revisions": "revision.json", "settings": "settings.json"}


class Places:
    """Names for the paths of one snapshot, also where a record there cannot be read any more."""

    def __init__(self, snapshot: Snapshot) -> None:
        self._snapshot = snapshot
        self._labels: dict[str, dict[str, str]] = {}

    def of(self, path: str) -> str:
        """Return what a person calls the record or original at a path; the path itself where nothing is known."""
        original = original_at(path)
        if original is not None:
            return self._original(path, *original)
        record = self._record(path)
        if record is not None:
            return name_of(record, self.labels(path))
        return self._by_path(path)

    def of_file(self, source: str, kept: KeptFile) -> str:
        """Return what a person calls an original named by the record at `source`."""
        return f"{self.of(source)}, {kept.role} file {kept.name}"

    def labels(self, path: str) -> dict[str, str]:
        """Return label or number by ULID for the revisions and settings of the part that a path belongs to.

        Records on the floor lie elsewhere; for those the part is read from the record.
        """
        number = part_at(path) or getattr(self._record(path), "part", None)
        if number is None:
            return {}
        if number not in self._labels:
            self._labels[number] = {
                ulid: self._label(f"{folder}/{ulid}/{form}", ulid)
                for kind, form in _FORMS.items()
                for folder in [f"{paths.part_folder(number)}/{kind}"]
                for ulid in self._snapshot.children(folder)
            }
        return self._labels[number]

    def _label(self, path: str, ulid: str) -> str:
        record = self._record(path)
        if isinstance(record, Revision):
            return record.label
        if isinstance(record, Settings):
            return record.number
        salvaged = _LABEL.search(self._bytes(path))
        return salvaged[1].decode() if salvaged else f"recorded on {_day_of(ulid)}"

    def _original(self, path: str, folder: str, sha256: str) -> str:
        for source in self._snapshot.walk(folder):
            if is_record(source) and sha256.encode() in self._bytes(source):
                for kept in self._kept(source):
                    if kept.sha256 == sha256:
                        return self.of_file(source, kept)
        return f"{self._by_path(path)}, a file that no record names"

    def _kept(self, source: str) -> tuple[KeptFile, ...]:
        record = self._record(source)
        return files_of(record) if record is not None else ()

    def _by_path(self, path: str) -> str:
        """Name a place by its path alone."""
        part, owner = part_at(path), owner_at(path)
        if part is not None and owner is not None and owner[1] in self.labels(path):
            word = "rev" if owner[0] == "revisions" else "settings"
            return f"{part} {word} {self.labels(path)[owner[1]]}"
        return name_by_path(path)

    def _record(self, path: str) -> Record | None:
        try:
            return decode(self._bytes(path))
        except Damaged:
            return None

    def _bytes(self, path: str) -> bytes:
        try:
            return self._snapshot.read(path)
        except (NotFound, Damaged):
            return b""


def name_by_path(path: str) -> str:
    """Return the best name that a path gives by itself, where nothing in the register can be read."""
    part, allotted = part_at(path), allotted_at(path)
    if part is not None:
        return f"a record of part {part}"
    return f"a record of {allotted}" if allotted is not None else path


def _day_of(ulid: str) -> str:
    milliseconds = 0
    for char in ulid[:10]:
        milliseconds = milliseconds * 32 + max(_DIGITS.find(char), 0)
    return f"{datetime.fromtimestamp(milliseconds / 1000, UTC):%Y-%m-%d}"
