"""Writing a decision that has something to tell: the record that was made, and the findings a person must know."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Generic, TypeVar

from vault.actions.context import Vault
from vault.actions.reading import Reader
from vault.actions.refusing import refuse_on_stops
from vault.actions.writing import Draft, write
from vault.model.base import Entry
from vault.model.findings import Finding
from vault.rules.permissions import Verb

Result = TypeVar("Result")
AnyEntry = TypeVar("AnyEntry", bound=Entry)


@dataclass(frozen=True)
class Recorded(Generic[AnyEntry]):
    """An entry that was written, with what to know about it."""

    entry: AnyEntry
    findings: tuple[Finding, ...] = ()


def write_result(vault: Vault, verb: Verb, decide: Callable[[Reader, Draft], tuple[str, Result]]) -> Result:
    """Write what `decide` drafts under the message it returns, and hand on its result. Raises as `write`."""
    results: list[Result] = []

    def deciding(reader: Reader, draft: Draft) -> str:
        message, result = decide(reader, draft)
        results.append(result)  # where somebody was faster this runs again, and the last one is what was written
        return message

    write(vault, verb, deciding)
    return results[-1]


def agreed(what: str, findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return the findings where none of them stops. Raises Refused with every one that does."""
    found = tuple(dict.fromkeys(findings))
    refuse_on_stops(what, found)
    return found
