"""Asking again, when a lot starts and when pieces leave, whether the customer's acceptance still covers the order."""

from vault.actions.context import Vault
from vault.actions.reading import Reader
from vault.actions.readying import gather, question_of
from vault.model.findings import Code, Finding
from vault.model.orders import Order
from vault.rules.readiness_revision import revision_findings


def acceptance_scope(vault: Vault, reader: Reader, order: Order) -> tuple[Finding, ...]:
    """Return what the acceptance's last day, pieces and lots say about an order, on this snapshot. Raises NotFound."""
    facts = gather(vault, reader, question_of(order, reader.part(order.part)))
    return tuple(finding for finding in revision_findings(facts) if finding.code is Code.ACCEPTANCE_USED_UP)
