"""Reprint packages: making one for an order, making it again bit for bit, and whether it may still be printed."""

import hashlib
import re
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

from vault.actions.context import Vault
from vault.actions.packages_now import package_now
from vault.actions.packing import Computed, Decided, computed, sheet_of
from vault.actions.reading import Reader
from vault.actions.readying import Answered, answer, question_of
from vault.actions.refusing import refuse_on_stops
from vault.actions.writing import Draft, record_of, require, write
from vault.errors import BadInput, Damaged, NotFound, Refused
from vault.interfaces import CommitId
from vault.model.design import Revision
from vault.model.findings import Code, Finding, stops
from vault.model.ids import AllottedId, Thing, is_allotted, parse_allotted
from vault.model.packaging import Package, PackageSuperseded, PaperRecovered
from vault.model.settings import Settings
from vault.planning.boxes import plan_boxes, quantity_to_start
from vault.rules.permissions import Verb

FROZEN = ("order", "settings", "quantity_to_start", "valid_until", "basis", "plan", "findings", "versions")
"""What a package's record keeps of the decision, beside who and when."""


@dataclass(frozen=True)
class Issued:
    """A package as it was made: its record, and where the file lies."""

    package: Package
    file: Path


def issue(vault: Vault, order_id: str, folder: Path) -> Issued:
    """Make the reprint package of a recorded and reviewed order, and write it into a folder.

    Raises:
        NotFound: There is no such order.
        Refused: A finding stops; every one is listed with who can clear it.
        Fault: The folder cannot be written.
    """
    # gather: what takes seconds, before the lock
    reader = Reader(vault.store.at(), vault.index)
    require(vault, reader, Verb.PACKAGE)
    before = _judged(vault, reader, order_id)
    assert before.facts.asked is not None  # a stop finding says so where it is missing
    assert before.facts.settings is not None
    made = computed(vault, reader, before.facts.asked, before.facts.settings)
    outcome: list[tuple[Package, bytes]] = []

    # decide and write
    def decide(reader: Reader, draft: Draft) -> str:
        answered = _judged(vault, reader, order_id)
        outcome[:] = [_sealed(vault, reader, draft, answered, made)]
        package = outcome[0][0]
        draft.add(package)
        label = answered.facts.asked.label if answered.facts.asked else ""
        return f"{package.id}: reprint package of {package.part} rev {label} for {order_id}"

    write(vault, Verb.PACKAGE, decide)
    package, content = outcome[0]
    return Issued(package, write_package(folder, package, content))


def _judged(vault: Vault, reader: Reader, order_id: str) -> Answered:
    order = reader.order(order_id).order
    answered = answer(vault, reader, question_of(order, reader.part(order.part)))
    refuse_on_stops(f"no package is made for {order_id}, {order.part}:", answered.readiness.findings)
    return answered


def _sealed(vault: Vault, reader: Reader, draft: Draft, answered: Answered, made: Computed) -> tuple[Package, bytes]:
    from vault.packages.contents import seal

    facts = answered.facts
    revision, settings, order = facts.asked, facts.settings, facts.order
    if revision is None or settings is None or order is None or facts.quantity is None:
        raise Refused("the order names no revision, settings or quantity")
    if (revision.id, settings.id) != (made.revision, made.settings):
        raise Refused("the revision or the settings changed while the package was being made; run the command again")
    decided = _decided(vault, draft, answered, revision, settings)
    sealed = seal(sheet_of(reader, decided), made.originals)
    package = record_of(
        draft,
        Package,
        id=decided.package,
        part=revision.part,
        revision=revision.id,
        source_commit=str(reader.snapshot.commit),
        quantity_to_deliver=facts.quantity,
        payload=sealed.payload,
        zip_sha256=sealed.sha256,
        zip_bytes=len(sealed.zip_bytes),
        **{name: getattr(decided, name) for name in FROZEN},
    )
    return package, sealed.zip_bytes


def _decided(vault: Vault, draft: Draft, answered: Answered, revision: Revision, settings: Settings) -> Decided:
    from vault.packages.contents import versions

    facts = answered.facts
    assert facts.order is not None  # _sealed refuses an order without quantity or revision before it asks
    start = quantity_to_start(facts.quantity or 0, facts.policy.start_extra_fraction)
    return Decided(
        package=draft.allot(Thing.PACKAGE),
        by=draft.by,
        at=draft.at,
        order=facts.order.order_id,
        settings=settings.id,
        quantity_to_start=start,
        valid_until=vault.today + timedelta(days=facts.policy.package_valid_days),
        basis=answered.basis,
        plan=plan_boxes(facts.boxes, settings, facts.history.measured[revision.id], start),
        findings=answered.readiness.findings,
        versions=versions(),
    )


def package_file_name(package: Package) -> str:
    """Return the name of a package's file: its id and its part number."""
    return f"{package.id}_{package.part}.zip"


def write_package(folder: Path, package: Package, content: bytes) -> Path:
    """Write a package under its name, complete or not at all. Raises Fault where the folder cannot be written."""
    from vault.packages.placing import place_file

    return place_file(folder / package_file_name(package), content)


@dataclass(frozen=True)
class Rebuilt:
    """A package made again: the same bytes, or which files differ and what versions did."""

    package: Package
    file: Path
    same: bool
    differing_files: tuple[str, ...]
    differing_versions: tuple[str, ...]


def rebuild(vault: Vault, package_id: str, folder: Path) -> Rebuilt:
    """Make a package again from the commit that its record names.

    Raises:
        NotFound: There is no such package, or its commit is not here.
        Damaged: An original is not what was recorded.
    """
    from vault.packages.contents import seal, versions

    package = Reader(vault.store.at(), vault.index).package(package_id).package
    reader = Reader(vault.store.at(CommitId(package.source_commit)), vault.index)
    history = reader.part(package.part)
    revision, settings = history.revision(package.revision), history.settings_with(package.settings)
    if revision is None or settings is None:
        raise Damaged(f"{package_id}: its revision or settings are not recorded at commit {package.source_commit[:12]}")
    frozen = {name: getattr(package, name) for name in (*FROZEN, "by", "at")}
    sheet = sheet_of(reader, Decided(package=package.id, **frozen))
    sealed = seal(sheet, computed(vault, reader, revision, settings).originals)
    before = {file.path: file.sha256 for file in package.payload}
    after = {file.path: file.sha256 for file in sealed.payload}
    differing = tuple(sorted(path for path in before.keys() | after.keys() if before.get(path) != after.get(path)))
    now = versions()
    changed = tuple(
        f"{name} {package.versions.get(name, 'none')} then, {now.get(name, 'none')} now"
        for name in sorted(package.versions.keys() | now.keys())
        if package.versions.get(name) != now.get(name)
    )
    file = write_package(folder, package, sealed.zip_bytes)
    return Rebuilt(package, file, sealed.sha256 == package.zip_sha256, differing, changed)


@dataclass(frozen=True)
class Status:
    """Whether a package is still what should be printed today, and everything that stands against it."""

    package: Package
    findings: tuple[Finding, ...]
    file_differs: bool

    @property
    def may_be_printed(self) -> bool:
        """True where nothing stops and the file, if one was shown, is the one recorded."""
        return not stops(self.findings) and not self.file_differs


def status(vault: Vault, what: str) -> Status:
    """Say whether a package may still be printed; `what` is its id, the text of its QR code, or its file.

    The order is judged again by today's records; that the package itself is live is no reason against it.

    Raises:
        NotFound: There is no such package here.
    """
    reader = Reader(vault.store.at(), vault.index)
    now = package_now(reader, package_named(what), vault.today)
    order = reader.order(now.package.order).order
    judged = answer(vault, reader, question_of(order, reader.part(order.part))).readiness.findings
    said = {Code.LIVE_PACKAGE, *(finding.code for finding in now.findings)}
    findings = (*now.findings, *(finding for finding in judged if finding.code not in said))
    file = Path(what)
    differs = file.is_file() and hashlib.sha256(file.read_bytes()).hexdigest() != now.package.zip_sha256
    return Status(now.package, findings, differs)


def package_named(what: str) -> AllottedId:
    """Read the id of a package from an id, a QR text or the path of its file. Raises NotFound."""
    found = re.search(r"R-[0-9]{2}[A-Z]{1,3}[0-9]{4,}", Path(what).name.upper())
    if found is None or not is_allotted(found[0]):
        raise NotFound(f"{what!r} names no reprint package; type its id, such as R-26A0042, or the path of its file")
    return AllottedId(str(parse_allotted(found[0])))


def supersede(vault: Vault, package_id: str, reason: str) -> PackageSuperseded:
    """Say that a package must not be printed any more. Raises NotFound, Refused where it is superseded already."""
    made: list[PackageSuperseded] = []

    def decide(reader: Reader, draft: Draft) -> str:
        recorded = reader.package(package_id)
        if not recorded.is_live:
            raise Refused(f"{package_id} is superseded already")
        made[:] = [record_of(draft, PackageSuperseded, id=draft.new_ulid(), package=recorded.package.id, reason=reason)]
        draft.add(made[0])
        return f"{package_id} superseded: {reason}"

    write(vault, Verb.PACKAGE, decide)
    return made[0]


def paper_recovered(vault: Vault, package_id: str, copies: int) -> PaperRecovered:
    """Record that the paper of a superseded package was taken back from the floor.

    Raises:
        Refused: The package is live.
    """
    if copies < 1:
        raise BadInput(f"{copies} copies cannot have been taken back")
    made: list[PaperRecovered] = []

    def decide(reader: Reader, draft: Draft) -> str:
        recorded = reader.package(package_id)
        if recorded.is_live:
            raise Refused(f"{package_id} is live; its paper belongs on the floor. Supersede it first")
        made[:] = [
            record_of(
                draft,
                PaperRecovered,
                id=draft.new_ulid(),
                package=recorded.package.id,
                copies=copies,
                by_whom=draft.by,
            )
        ]
        draft.add(made[0])
        return f"{package_id}: {copies} copies of its paper taken back"

    write(vault, Verb.PACKAGE, decide)
    return made[0]
