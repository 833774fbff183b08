"""The heart: may this part be made again today, at this revision, with these settings?

The verdict always comes with its list of findings, and it speaks by the records of one commit; it releases no parts.
"""

from dataclasses import dataclass
from enum import StrEnum

from vault.model.findings import Finding
from vault.model.words import Severity
from vault.rules.facts import Facts
from vault.rules.readiness_design import design_findings
from vault.rules.readiness_making import making_findings
from vault.rules.readiness_order import order_findings
from vault.rules.readiness_revision import revision_findings

_WEIGHT = {Severity.STOP: 0, Severity.CAUTION: 1, Severity.NOTE: 2}


class Verdict(StrEnum):
    """The word over the list of findings."""

    READY = "ready"
    CAUTION = "caution"
    STOP = "stop"


@dataclass(frozen=True)
class Readiness:
    """The verdict and everything it rests on, gravest first."""

    verdict: Verdict
    findings: tuple[Finding, ...]


def judge_readiness(facts: Facts) -> Readiness:
    """Judge all facts and return the verdict with every finding."""
    found = (*revision_findings(facts), *design_findings(facts), *making_findings(facts), *order_findings(facts))
    findings = tuple(sorted(dict.fromkeys(found), key=lambda finding: _WEIGHT[finding.severity]))
    return Readiness(verdict_of(findings), findings)


def verdict_of(findings: tuple[Finding, ...]) -> Verdict:
    """Return the word that the gravest finding asks for."""
    severities = {finding.severity for finding in findings}
    if Severity.STOP in severities:
        return Verdict.STOP
    return Verdict.CAUTION if Severity.CAUTION in severities else Verdict.READY
