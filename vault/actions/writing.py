"""Writing: one decision collects its records in a draft, and the store writes them all or none."""

import re
from collections.abc import Callable, Mapping
from datetime import datetime, timedelta
from pathlib import Path

from vault.actions.context import Vault
from vault.actions.reading import AnyRecord, Reader
from vault.errors import BadInput, Clash, NotAllowed, NotFound
from vault.interfaces import Change, CommitId, Snapshot, StoredFile
from vault.model.base import Card, Entry
from vault.model.design import KeptFile
from vault.model.ids import LETTER_OF, Allotted, AllottedId, Thing, Ulid
from vault.model.words import FileRole
from vault.records import paths
from vault.records.codec import encode, make
from vault.records.references import files_of
from vault.rules.permissions import Verb, may, who_may

WRITER = "writer"
"""Name of the local setting that holds this copy's writer code."""


class Draft:
    """The records of one decision, and the ids allotted for them, on top of one snapshot."""

    def __init__(self, vault: Vault, reader: Reader, at: datetime) -> None:
        self._vault = vault
        self.reader = reader
        self.by = vault.me
        self.at = at
        self._entries: dict[str, bytes] = {}
        self._cards: dict[str, bytes] = {}
        self._files: dict[str, StoredFile] = {}
        self._allotted: dict[Thing, int] = {}

    def new_ulid(self) -> Ulid:
        """Return a fresh ULID."""
        return self._vault.new_ulid()

    def add(self, entry: Entry, kept: Mapping[str, StoredFile] | None = None) -> None:
        """Add an entry; `kept` maps the SHA-256 of each original it names to the bytes in the store."""
        self._entries[paths.path_of(entry)] = encode(entry)
        for named in files_of(entry):
            path = paths.file_path(entry, named)
            # The name is the digest: a file of this name that is there already holds the same bytes.
            if self.reader.snapshot.exists(path):
                continue
            if kept is None or named.sha256 not in kept:
                raise BadInput(f"the file {named.name} is named by a {entry.KIND} and was not given")
            self._files[path] = kept[named.sha256]

    def put(self, card: Card) -> None:
        """Add a card or replace the one that is there."""
        self._cards[paths.path_of(card)] = encode(card)

    def allot(self, thing: Thing) -> AllottedId:
        """Allot the next id of this writer: one above the highest in the register, never by a counter or the index."""
        writer = self._vault.store.local(WRITER)
        if writer is None:
            raise NotFound("this copy of the register has no writer code; claim one with `partstead writer claim CODE`")
        year = self.at.year
        if thing not in self._allotted:
            self._allotted[thing] = highest_number(self.reader.snapshot, thing, year, writer)
        self._allotted[thing] += 1
        return AllottedId(str(Allotted(thing, year, writer, self._allotted[thing])))

    def change(self, message: str) -> Change:
        """Return everything as one change."""
        return Change(message, self.by, self.at, self._entries, self._cards, self._files)


def highest_number(snapshot: Snapshot, thing: Thing, year: int, writer: str) -> int:
    """Return the highest number that a writer allotted in a year; 0 where there is none."""
    folder = f"{paths.FOLDER_OF[thing]}/{year}/{writer}"
    for _ in range(2):
        below = snapshot.children(folder)
        if not below:
            return 0
        folder = f"{folder}/{max(below, key=int)}"
    shape = re.compile(rf"{LETTER_OF[thing]}-[0-9]{{2}}{writer}([0-9]+)(\.[0-9]+)*")
    numbers = [int(found[1]) for name in snapshot.children(folder) if (found := shape.fullmatch(name))]
    return max(numbers, default=0)


def write(vault: Vault, verb: Verb, decide: Callable[[Reader, Draft], str]) -> CommitId:
    """Let `decide` read the head and fill a draft, and write it as one commit with the message it returns.

    `decide` runs under the write lock, and again if somebody else was faster, so it gathers and decides anew.

    Raises:
        NotAllowed: This person may not do this, by the people recorded at the head.
        Clash: Other writers kept winning.
        Fault: The disk is full or not writable.
    """

    def decided(snapshot: Snapshot) -> Change:
        reader = Reader(snapshot, vault.index)
        require(vault, reader, verb)
        draft = Draft(vault, reader, _moment(vault, snapshot))
        return draft.change(decide(reader, draft))

    return vault.store.transact(decided)


def _moment(vault: Vault, snapshot: Snapshot) -> datetime:
    """Return the moment of a decision, taken under the lock.

    Entries are folded by their moment: a clock that was set back must not put this decision before the one that it
    was made on, so it is dated a second after that one.
    """
    now, before = vault.clock.now(), vault.store.written_at(snapshot.commit)
    return now if now >= before else before + timedelta(seconds=1)


def require(vault: Vault, reader: Reader, verb: Verb) -> None:
    """Raise NotAllowed unless the person asking may do this."""
    if may(reader.person(vault.me), verb, vault.today):
        return
    able = ", ".join(who_may(reader.people(), verb, vault.today)) or "nobody here"
    raise NotAllowed(f"{vault.me} may not {verb}; who can: {able}")


_ENDING = re.compile(r"[a-z0-9]{1,8}")


def keep_file(vault: Vault, source: Path, role: FileRole) -> tuple[KeptFile, StoredFile]:
    """Put an original into the store ahead of its commit and describe it.

    Raises:
        BadInput: The file is missing, is no file, or its name cannot be shown.
    """
    if not source.is_file():
        raise BadInput(f"{source} is not a file that can be read")
    stored = vault.store.keep(source)
    ending = source.suffix.lower().lstrip(".")
    kept = make(
        KeptFile,
        name=source.name,
        role=role,
        sha256=stored.sha256,
        size_bytes=stored.size_bytes,
        ending=ending if _ENDING.fullmatch(ending) else "bin",
    )
    return kept, stored


def refuse_twin(reader: Reader, path: str, what: str) -> None:
    """Raise Clash where a record lies at this path already, also under a name that differs only in case."""
    folder, _, name = path.rpartition("/")
    for sibling in reader.snapshot.children(folder):
        if sibling.casefold() == name.casefold():
            raise Clash(f"{what} is recorded already")


def record_of(draft: Draft, kind: type[AnyRecord], **fields: object) -> AnyRecord:
    """Make a record of this draft's person and moment. Raises BadInput."""
    return make(kind, by=draft.by, at=draft.at, **fields)
