"""Telling what was recorded: one line per record on stdout, and on stderr what a person must know about it."""

from collections.abc import Iterable
from typing import TYPE_CHECKING

from vault.cli.session import reader_of
from vault.cli.show import put_lines, say

if TYPE_CHECKING:
    from vault.actions.context import Vault
    from vault.actions.reading import Reader
    from vault.model.base import Record
    from vault.model.findings import Finding


def labels_of(reader: "Reader", parts: Iterable[str]) -> dict[str, str]:
    """Return the label or number of every revision and settings of these parts, by ULID."""
    histories = [reader.part(part) for part in dict.fromkeys(parts)]
    labels = {str(revision.id): str(revision.label) for each in histories for revision in each.revisions}
    return labels | {str(settings.id): str(settings.number) for each in histories for settings in each.settings}


def parts_of(records: "Iterable[Record]") -> list[str]:
    """Return the parts that records name, themselves or as what they hold."""
    named = [getattr(getattr(record, "target", record), "part", None) for record in records]
    return [part for part in dict.fromkeys(named) if part is not None]


def lines_of(reader: "Reader", records: "Iterable[Record]") -> list[str]:
    """Return one line for each record, in the trade's words."""
    from vault.rules.naming import line_of

    listed = list(records)
    labels = labels_of(reader, parts_of(listed))
    return [line_of(record, labels) for record in listed]


def tell_recorded(vault: "Vault", *records: "Record", findings: "Iterable[Finding]" = ()) -> None:
    """Print what was recorded, and the findings that came with it."""
    put_lines(*lines_of(reader_of(vault), records))
    say_findings(findings)


def say_findings(findings: "Iterable[Finding]") -> None:
    """Print findings as words for a person: weight, code, sentence, who can clear each, and the next command."""
    from vault.actions.refusing import words_of

    say(*(words_of(finding) for finding in findings))
