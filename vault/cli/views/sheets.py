"""One thing on one page: a part, one of its revisions, or whatever else has an id."""

from collections.abc import Iterator, Sequence

from vault import units
from vault.actions.showing import Line, PartSheet, Sheet
from vault.cli.as_json import plain_form
from vault.cli.show import Shown, facts, indented, table
from vault.cli.views.design import measured_lines
from vault.cli.views.records import record_shown
from vault.rules.revision_facts import RevisionFacts


def sheet_shown(sheet: PartSheet | Sheet) -> Shown:
    """Return a page."""
    if isinstance(sheet, Sheet):
        return _thing_shown(sheet)
    if sheet.shown is None:
        return Shown(sheet, tuple(_part(sheet)))
    data = {"part": sheet.card.number, **plain_form(sheet.shown)}
    return Shown(data, tuple(_revision(sheet, sheet.shown)))


def _thing_shown(sheet: Sheet) -> Shown:
    own = record_shown(sheet.record).lines
    lines = [sheet.title, *(f"on hold: {hold}" for hold in sheet.holds), "", *own]
    for section in sheet.sections:
        lines += _listed(section.heading, section.lines)
    return Shown(sheet, tuple(lines))


def _listed(heading: str, lines: Sequence[Line]) -> list[str]:
    return ["", f"{heading}:", *indented(line.words for line in lines)] if lines else []


def _part(sheet: PartSheet) -> list[str]:
    lines = facts(_card(sheet))
    if sheet.revisions:
        rows = [_revision_row(revision) for revision in sheet.revisions]
        heading = ("REV", "RECEIVED", "RECORDED", "RELEASED", "ACCEPTED", "", "REASON")
        lines += ["", *table(heading, rows)]
    if sheet.settings:
        proven = [("; ".join(each.proofs) or "never proven", each) for each in sheet.settings]
        settings = [(each.number, each.made_for, each.machine, each.covers or "", words) for words, each in proven]
        lines += [
            "",
            *table(("SETTINGS", "FOR REV", "PRINTER", f"ON REV {sheet.to_print or sheet.newest}", "PROOF"), settings),
        ]
    lines += _listed("orders", sheet.orders)
    lines += _listed("live reprint packages", sheet.live_packages)
    return lines + _listed("lots", sheet.lots)


def _card(sheet: PartSheet) -> Iterator[tuple[str, str]]:
    card = sheet.card
    yield "part", f"{card.number}  {card.description}"
    yield "customer", f"{sheet.customer.name} ({card.customer}), their number {card.customer_number}"
    yield "other numbers", ", ".join(card.other_numbers)
    yield "design authority", card.design_authority
    yield "material", card.material
    yield "criticality", card.criticality
    yield "export control", card.control.status
    yield "stage", f"{sheet.stage}" + (f" since {sheet.stage_since}" if sheet.stage_since else "")
    yield "rev to print", sheet.to_print or "none: nothing is released and accepted"
    yield "delivered", units.pieces(sheet.delivered) if sheet.delivered else ""
    yield "on hold", "\n".join(sheet.holds)
    yield "unclear labels", ", ".join(label.upper() for label in sheet.unsettled_labels)
    yield "permissions", "\n".join(sheet.permissions)


def _revision_row(revision: RevisionFacts) -> tuple[str, ...]:
    days = (revision.received_on, revision.recorded_on, revision.released_on, revision.accepted_on)
    return (revision.label, *(str(day) if day else "-" for day in days), _ended(revision), revision.reason)


def _ended(revision: RevisionFacts) -> str:
    if revision.set_aside:
        return "set aside"
    if revision.withdrawn_on is not None:
        return f"{revision.withdrawn_what} withdrawn {revision.withdrawn_on}"
    return f"superseded by {revision.superseded_by}" if revision.superseded_by else ""


def _revision(sheet: PartSheet, revision: RevisionFacts) -> list[str]:
    rows = [(kept.role, kept.name, units.file_size(kept.size_bytes), kept.sha256[:12]) for kept in revision.files]
    files = table(("FILE", "NAME", "SIZE", "SHA-256"), rows, right=frozenset({2}))
    measured = measured_lines(revision.shape) if revision.shape else ["its shape was not measured"]
    return [*facts(_dates(sheet, revision)), "", *files, "", *measured, "", *revision.changes]


def _dates(sheet: PartSheet, revision: RevisionFacts) -> Iterator[tuple[str, str]]:
    yield "part", f"{sheet.card.number}  {sheet.card.description}"
    yield "revision", revision.label
    yield "received", str(revision.received_on or "")
    yield "recorded", f"{revision.recorded_on} by {revision.recorded_by}: {revision.reason}"
    yield "asked for by", revision.requested_by or ""
    yield "released", f"{revision.released_on} by {revision.released_by}" if revision.released_on else "not released"
    yield "accepted", f"{revision.accepted_on} by {revision.accepted_by}" if revision.accepted_on else "not accepted"
    yield "ended", _ended(revision)
    asked = revision.requirements
    yield "characteristics", "not recorded" if asked is None else str(asked)
    yield "settings", ", ".join(revision.settings) or "none made for it"
    yield "on hold", "\n".join(sheet.holds)
