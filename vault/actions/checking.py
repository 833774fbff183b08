"""Is the register what it was when it was recorded? Every damage found is named in the trade's words.

The full form reads everything. The quick form trusts what a full check has read on this machine before and looks at
what was recorded since. A history that somebody re-made as a whole, with every digest right, is only found by comparing
the head with a copy kept elsewhere: that is what the head is printed for.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from vault.actions.checking_files import FilesSeen, file_problems
from vault.actions.checking_records import Gathered, gather, record_problems, twins
from vault.actions.context import Vault
from vault.actions.places import Places, name_by_path
from vault.actions.reading import Reader
from vault.errors import Damaged, NotFound, VaultError
from vault.interfaces import CommitId, HowChanged, Snapshot
from vault.model.ids import Thing
from vault.records.path_reading import is_original, is_record
from vault.records.paths import is_write_once, path_of

CHECKED = "checked"
"""Name of the local setting that holds the last commit found sound by a full check on this machine."""

NOT_COVERED = (
    "the index and the caches, which are made again from the records",
    "older states of cards, which git keeps and its own digests protect",
    "a whole history made anew with all digests right: compare the head with a copy kept elsewhere",
)

Progress = Callable[[int, int], None]
"""Called with (done, of how many)."""


@dataclass(frozen=True)
class Problem:
    """Something that is not as it should be: where, in the trade's words, what, and at which path."""

    where: str
    what: str
    path: str


@dataclass(frozen=True)
class CheckReport:
    """What was looked at, and everything found. Clashes are for a person to settle and are no damage."""

    head: CommitId | None  # None where the branch or a folder cannot be read
    full: bool
    since: CommitId | None
    records: int
    files: int
    size_bytes: int
    not_held: int
    problems: tuple[Problem, ...]
    clashes: tuple[Problem, ...]

    @property
    def sound(self) -> bool:
        """True where no damage was found in what was looked at."""
        return not self.problems

    @property
    def complete(self) -> bool:
        """True where every record and original is on this machine and was looked at or trusted."""
        return self.not_held == 0


def check(vault: Vault, full: bool, progress: Progress | None = None) -> CheckReport:
    """Check the register, in full or what was recorded since the last full check here; never raises for damage.

    A full check that finds the register sound and complete is remembered on this machine.
    """
    try:
        return _checked(vault, full, progress)
    except (Damaged, NotFound) as error:
        return _audited_only(vault, error)


def _checked(vault: Vault, full: bool, progress: Progress | None) -> CheckReport:
    head = vault.store.head()
    snapshot = vault.store.at(head)
    trusted = None if full else _trusted(vault, head)
    names = snapshot.walk() if trusted is None else _recorded_since(vault, trusted, head)
    count = _Count(len(names), progress)

    gathered = gather(snapshot, [path for path in names if is_record(path)], count.step)
    seen = FilesSeen()
    found = [
        *(_audited(vault) if trusted is None else _changed_behind(vault, trusted, head)),
        *record_problems(gathered, lambda thing, name: trusted is not None and _known(vault, snapshot, thing, name)),
        *_unnamed(names, gathered, snapshot, trusted is None),
        *file_problems(snapshot, gathered.files, seen, count.step),
    ]
    report = CheckReport(
        head=head,
        full=trusted is None,
        since=trusted,
        records=gathered.records,
        files=seen.files,
        size_bytes=seen.size_bytes,
        not_held=len(seen.not_held) + len(gathered.not_held),
        problems=_named(snapshot, found),
        clashes=_named(snapshot, (*twins(gathered), *_unsettled(vault, snapshot, gathered))),
    )
    if report.full and report.sound and report.complete:
        vault.store.set_local(CHECKED, head)
    return report


def _audited_only(vault: Vault, error: VaultError) -> CheckReport:
    """Report on a register whose branch or folders cannot be read, so that no record can be looked at."""
    found = [*_audited(vault)] or [("the register", str(error))]
    problems = tuple(Problem(name_by_path(path), what, path) for path, what in found)
    return CheckReport(None, True, None, 0, 0, 0, 0, problems, ())


class _Count:
    """Counts steps and tells whoever wants to know."""

    def __init__(self, total: int, progress: Progress | None) -> None:
        self._total, self._progress, self._done = total, progress, 0

    def step(self) -> None:
        self._done += 1
        if self._progress is not None:
            self._progress(min(self._done, self._total), self._total)


def _trusted(vault: Vault, head: CommitId) -> CommitId | None:
    """Return the commit that a full check found sound here, if the head was built on it."""
    checked = vault.store.local(CHECKED)
    if checked is None or not vault.store.is_ancestor(CommitId(checked), head):
        return None
    return CommitId(checked)


def _recorded_since(vault: Vault, trusted: CommitId, head: CommitId) -> tuple[str, ...]:
    changes = vault.store.changed(trusted, head)
    return tuple(change.path for change in changes if change.how is not HowChanged.DELETED)


def _audited(vault: Vault) -> Iterator[tuple[str, str]]:
    for damage in vault.store.audit(is_write_once):
        yield damage.where, damage.what


def _changed_behind(vault: Vault, trusted: CommitId, head: CommitId) -> Iterator[tuple[str, str]]:
    for change in vault.store.changed(trusted, head):
        if change.how is HowChanged.DELETED:
            yield change.path, "it was removed after it had been recorded"
        elif change.how is HowChanged.MODIFIED and is_write_once(change.path):
            yield change.path, "it was changed after it had been recorded once and for all"


def _known(vault: Vault, snapshot: Snapshot, thing: Thing, name: str) -> bool:
    """Say whether a name that was not read now is recorded; only asked where an earlier check vouches for the rest."""
    vault.index.catch_up()
    place = vault.index.locate(thing, name)
    return place is not None and snapshot.exists(place)


def _unnamed(
    names: Iterable[str], gathered: Gathered, snapshot: Snapshot, everything: bool
) -> Iterator[tuple[str, str]]:
    """Yield paths that are neither a record nor an original that a record names."""
    for path in names:
        if is_record(path):
            continue
        if path.endswith(".json.sig") and snapshot.exists(path.removesuffix(".sig")):
            continue
        if path not in gathered.files and (everything or not is_original(path)):
            yield path, "no record names it, and this program would not have put it there"


def _unsettled(vault: Vault, snapshot: Snapshot, gathered: Gathered) -> Iterator[tuple[str, str]]:
    """Yield the labels that stand on different files and wait for the customer's written answer."""
    reader = Reader(snapshot, vault.index)
    for part in gathered.doubtful_parts:
        try:
            history = reader.part(part)
        except Damaged:
            continue  # told already, with what is wrong
        for label in history.unsettled_labels():
            last = next(reversed(history.called(label)), None)
            name = last.label if last else label.upper()
            words = f"rev {name} came with different files; ask the customer which one it is, and record the answer: "
            command = f"`partstead settle {part}@{name} --which SHA --answered-by NAME --evidence FILE`"
            yield path_of(last or history.card), f"{words}{command}"


def _named(snapshot: Snapshot, found: Iterable[tuple[str, str]]) -> tuple[Problem, ...]:
    places = Places(snapshot)
    return tuple(Problem(places.of(path), what, path) for path, what in dict.fromkeys(found))
