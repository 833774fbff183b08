"""Short ways to write a finding."""

from vault.model.findings import Code, Finding
from vault.model.words import Role, Severity


def stop(code: Code, sentence: str, *who: Role, next_command: str | None = None) -> Finding:
    """Make a finding that stops until somebody clears it."""
    return Finding(code=code, severity=Severity.STOP, sentence=sentence, who=who, next_command=next_command)


def caution(code: Code, sentence: str, *who: Role, next_command: str | None = None) -> Finding:
    """Make a finding that a person must know before going on."""
    return Finding(code=code, severity=Severity.CAUTION, sentence=sentence, who=who, next_command=next_command)


def note(code: Code, sentence: str) -> Finding:
    """Make a finding that is good to know."""
    return Finding(code=code, severity=Severity.NOTE, sentence=sentence)
