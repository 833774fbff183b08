"""Turning findings into a refusal that lists every reason and who can clear it."""

from collections.abc import Iterable

from vault.errors import Refused
from vault.model.findings import Finding, stops


def words_of(finding: Finding) -> str:
    """Return one finding as a line of text: weight, code, sentence, who can clear it, and the next command."""
    line = f"{finding.severity:7} {finding.code}  {finding.sentence}"
    if finding.who:
        line += f" (who can clear it: {', '.join(finding.who)})"
    if finding.next_command:
        line += f"\n        next: {finding.next_command}"
    return line


def refuse_on_stops(what: str, findings: Iterable[Finding]) -> None:
    """Raise Refused with every stop among the findings; return where there is none."""
    stopping = stops(tuple(findings))
    if stopping:
        raise Refused("\n".join((what, *(f"  {words_of(finding)}" for finding in stopping))))
