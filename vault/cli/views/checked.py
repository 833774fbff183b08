"""What a check of the register found."""

from collections.abc import Iterator

from vault import units
from vault.actions.checking import NOT_COVERED, CheckReport
from vault.cli.show import Shown, facts


def checked_shown(report: CheckReport) -> Shown:
    """Return what was looked at and everything that was found."""
    data = {
        "head": report.head,
        "full": report.full,
        "since": report.since,
        "sound": report.sound,
        "complete": report.complete,
        "records": report.records,
        "files": report.files,
        "size_bytes": report.size_bytes,
        "not_held": report.not_held,
        "problems": report.problems,
        "clashes": report.clashes,
        "not_covered": NOT_COVERED,
    }
    return Shown(data, tuple(_checked(report)))


def _checked(report: CheckReport) -> Iterator[str]:
    how = "everything" if report.full else f"what was recorded since {report.since}"
    size = units.file_size(report.size_bytes)
    yield from facts(
        (
            ("head", report.head or "cannot be read"),
            ("looked at", how),
            ("read", f"{report.records} records, {report.files} originals, {size}"),
            ("not here", f"{report.not_held} originals are not on this machine" if report.not_held else ""),
        )
    )
    for problem in report.problems:
        yield f"damage: {problem.where}: {problem.what} ({problem.path})"
    for clash in report.clashes:
        yield f"clash: {clash.where}: {clash.what}"
    yield "no damage found" if report.sound else f"{len(report.problems)} things are not as they were recorded"
    yield "not covered:"
    yield from (f"  {each}" for each in NOT_COVERED)
