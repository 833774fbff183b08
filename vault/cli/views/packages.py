"""Reprint packages on a terminal."""

from collections.abc import Iterator

from vault import units
from vault.actions.context import Vault
from vault.actions.finding import resolve_part
from vault.actions.packaging import Issued, Rebuilt, Status
from vault.actions.reading import Reader
from vault.actions.refusing import words_of
from vault.cli.recorded import labels_of
from vault.cli.session import reader_of
from vault.cli.show import Shown, facts, indented, table
from vault.cli.views.records import with_entries
from vault.model.packaging import Package
from vault.packages.report import VerifyReport


def issued_shown(issued: Issued) -> Shown:
    """Return a package that was made and where its file lies."""
    package = issued.package
    words = f"package {package.id}: start {units.pieces(package.quantity_to_start)}, void after {package.valid_until}"
    return Shown({"package": package, "file": issued.file}, (words, str(issued.file)))


def packages_shown(vault: Vault, part: str | None) -> Shown:
    """Return packages, one in a line, oldest first. Raises NotFound."""
    reader = reader_of(vault)
    packages = reader.all_of(Package, resolve_part(vault, reader, part) if part else None)
    live = {package.id: reader.package(package.id).is_live for package in packages}
    labels = labels_of(reader, [package.part for package in packages])
    rows = [
        (
            package.id,
            f"{package.part} rev {labels.get(package.revision, '?')}",
            str(package.quantity_to_deliver),
            package.order,
            str(package.valid_until),
            "" if live[package.id] else "superseded",
        )
        for package in packages
    ]
    heading = ("PACKAGE", "PART", "PIECES", "ORDER", "VOID AFTER", "")
    return Shown(
        [{"live": live[package.id], **package.model_dump(mode="json", exclude={"payload"})} for package in packages],
        tuple(table(heading, rows, right=frozenset({2}))),
    )


def package_shown(reader: Reader, package_id: str) -> Shown:
    """Return the record of a package with what became of it. Raises NotFound, BadInput."""
    found = reader.package(package_id)
    ended = (found.superseded,) if found.superseded else ()
    return with_entries(reader, found.package, (*ended, *found.recovered))


def status_shown(status: Status) -> Shown:
    """Return whether a package may still be printed, and everything that stands against it."""
    package = status.package
    words = "may be printed today" if status.may_be_printed else "must NOT be printed"
    data = {
        "package": package.id,
        "part": package.part,
        "may_be_printed": status.may_be_printed,
        "findings": status.findings,
        "file_differs": status.file_differs,
        "valid_until": package.valid_until,
    }
    differs = (
        ["the file is not the one that was recorded; `partstead verify FILE` says why"] if status.file_differs else []
    )
    against = [*differs, *(words_of(finding) for finding in status.findings)]
    return Shown(data, (f"{package.id} of {package.part} {words}", *indented(against)))


def rebuilt_shown(again: Rebuilt) -> Shown:
    """Return whether a package came out the same, and what differs."""
    words = "the same bytes" if again.same else "NOT the same bytes"
    data = {
        "package": again.package.id,
        "file": again.file,
        "same": again.same,
        "differing_files": again.differing_files,
        "differing_versions": again.differing_versions,
    }
    differing = [f"  {path} differs" for path in again.differing_files]
    versions = [f"  {version}" for version in again.differing_versions]
    return Shown(data, (f"{again.package.id} made again: {words}", *differing, *versions, str(again.file)))


def verified_shown(report: VerifyReport) -> Shown:
    """Return the three questions about a package with their answers, and everything that is wrong."""
    data = {
        "package": report.package_id,
        "intact": report.intact,
        "files": report.files,
        "payload_bytes": report.payload_bytes,
        "checks": report.checks,
        "problems": report.problems,
        "notes": report.notes,
        "as_made": report.as_made,
        "signature_files": report.signature_files,
    }
    return Shown(data, tuple(_verified(report)))


def _verified(report: VerifyReport) -> Iterator[str]:
    size = units.file_size(report.payload_bytes)
    yield from facts((("package", report.package_id or "not named"), ("payload", f"{report.files} files, {size}")))
    for check in report.checks:
        yield f"{check.question} {check.answer}: {check.words}"
    for problem in report.problems:
        yield f"  {problem.code}: {problem.path or 'the package'} {problem.what}"
    yield from (f"  note: {note}" for note in report.notes)
