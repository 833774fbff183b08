"""What a reprint package is worth today, read from the register and never off the paper."""

from dataclasses import dataclass
from datetime import date

from vault.actions.reading import Reader
from vault.model.findings import Finding
from vault.model.ids import Thing
from vault.model.orders import Delivery
from vault.model.packaging import Package
from vault.rules.package_status import OrderNow, package_findings


@dataclass(frozen=True)
class PackageNow:
    """A package with what stands against printing from it today; no stop means it is still what should be printed."""

    package: Package
    findings: tuple[Finding, ...]


def package_now(reader: Reader, package_id: str, today: date) -> PackageNow:
    """Return a package's standing as of this snapshot. Raises NotFound."""
    found = reader.package(package_id)
    order = reader.order(found.package.order)
    history = reader.part(found.package.part)
    delivered = sum(went.quantity for went in reader.referring(Thing.ORDER, order.order.id, Delivery))
    became = OrderNow(order.void is not None, delivered)
    findings = package_findings(found.package, found.superseded, became, history, today)
    return PackageNow(found.package, tuple(findings))
