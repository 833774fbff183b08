"""Is this package still what should be printed? Asked again on the day of printing, never read off the paper."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from vault.model.findings import Code, Finding
from vault.model.packaging import Package, PackageSuperseded
from vault.model.words import Role
from vault.rules.finding import caution, stop
from vault.rules.history import PartHistory


@dataclass(frozen=True)
class OrderNow:
    """What became of the order that a package was made for."""

    is_void: bool
    delivered: int


def package_findings(
    package: Package, superseded: PackageSuperseded | None, order: OrderNow, history: PartHistory, today: date
) -> Iterator[Finding]:
    """Yield what stands against printing from a package today."""
    if superseded is not None:
        instead = f"; take {superseded.replaced_by}" if superseded.replaced_by else ""
        words = f"package {package.id} was superseded on {superseded.at:%Y-%m-%d}: {superseded.reason}{instead}"
        yield stop(Code.PACKAGE_NOT_LIVE, words[:500], Role.ENGINEER)
    if today > package.valid_until:
        words = f"package {package.id} was valid until {package.valid_until}; supersede it, then make a new one"
        command = f"partstead package supersede {package.id} --because REASON"
        yield stop(Code.PACKAGE_NOT_LIVE, words, Role.CLERK, next_command=command)
    if order.delivered >= package.quantity_to_deliver:
        words = f"order {package.order} is delivered: {order.delivered} of {package.quantity_to_deliver} pieces"
        yield stop(Code.PACKAGE_NOT_LIVE, words, Role.CLERK)
    if order.is_void:
        yield stop(Code.ORDER_VOID, f"order {package.order} of package {package.id} was voided", Role.CLERK)
    yield from _revision_findings(package, history)


def _revision_findings(package: Package, history: PartHistory) -> Iterator[Finding]:
    revision = history.revision(package.revision)
    label = history.label_of(package.revision)
    if revision is None or history.is_set_aside(revision):
        words = f"by the customer's answer another file is rev {label} than the one in package {package.id}"
        yield stop(Code.SAME_LABEL_OTHER_FILE, words, Role.ENGINEER)
    if history.release_of(package.revision) is None:
        yield stop(Code.NOT_RELEASED, f"rev {label} of package {package.id} is not released now", Role.ENGINEER)
    now = history.printable
    if now is None or now.id == package.revision:
        return
    acceptance = history.acceptance_of(now.id)
    if acceptance is not None and acceptance.at > package.at:
        words = f"rev {now.label} was accepted on {acceptance.at:%Y-%m-%d}, after package {package.id} of rev {label}"
        yield stop(Code.PACKAGE_NOT_LIVE, words, Role.ENGINEER, Role.DESK)
    else:
        words = f"package {package.id} is for rev {label}, ordered knowingly; rev {now.label} is the newest accepted"
        yield caution(Code.PO_OLDER_REVISION, words, Role.DESK)
