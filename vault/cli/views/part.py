"""A part as the register knows it: its numbers, every revision by date, settings, and what stands open."""

from collections.abc import Iterator

from vault import units
from vault.actions.context import Vault
from vault.actions.identifying import identify
from vault.actions.reading import Reader
from vault.cli.session import reader_of
from vault.cli.show import Shown, facts, table
from vault.cli.views.design import measured_lines, settings_shown
from vault.cli.views.floor import lot_shown
from vault.cli.views.orders import order_shown
from vault.cli.views.packages import package_shown
from vault.cli.views.readiness import revision_words
from vault.cli.views.records import record_shown
from vault.model.design import Revision
from vault.model.ids import Thing
from vault.model.orders import Order
from vault.rules.change_words import change_sentences
from vault.rules.history import PartHistory


def anything_shown(vault: Vault, typed: str) -> Shown:
    """Return a part, a revision, or whatever else has this id. Raises NotFound, BadInput."""
    reader = reader_of(vault)
    found = identify(vault, reader, typed)
    match found.thing:
        case Thing.PART:
            return part_shown(reader, reader.part(found.name))
        case Thing.REVISION if isinstance(found.record, Revision):
            return revision_shown(reader.part(found.record.part), found.record)
        case Thing.LOT:
            return lot_shown(reader, found.name)
        case Thing.ORDER:
            return order_shown(vault, found.name)
        case Thing.PACKAGE:
            return package_shown(reader, found.name)
        case _:
            return record_shown(found.record)


def part_shown(reader: Reader, history: PartHistory) -> Shown:
    """Return a part with its revisions and settings."""
    card = history.card
    lines = facts(_card(history))
    lines += ["", *(revision_words(history, revision) for revision in history.revisions)]
    settings = settings_shown(history).lines
    lines += ["", *settings] if settings else []
    orders = [order.id for order in reader.referring(Thing.PART, card.number, Order)]
    lines += ["", f"orders: {', '.join(orders)}"] if orders else []
    data = {
        "card": card,
        "stage": history.stage,
        "revisions": [_revision_data(history, revision) for revision in history.revisions],
        "settings": history.settings,
        "on_hold": bool(history.standing_holds(None)),
        "unsettled_labels": history.unsettled_labels(),
        "orders": orders,
    }
    return Shown(data, tuple(lines))


def _card(history: PartHistory) -> Iterator[tuple[str, str]]:
    card = history.card
    yield "part", f"{card.number}  {card.description}"
    yield "customer", f"{card.customer}, their number {card.customer_number}"
    yield "other numbers", ", ".join(card.other_numbers)
    yield "design authority", card.design_authority
    yield "material", card.material
    yield "criticality", card.criticality
    yield "export control", card.control.status
    yield "stage", history.stage
    yield "printable now", history.printable.label if history.printable else "none: nothing is released and accepted"
    yield "on hold", "\n".join(hold.reason for hold in history.standing_holds(None))
    yield "unclear labels", ", ".join(label.upper() for label in history.unsettled_labels())


def revision_shown(history: PartHistory, revision: Revision) -> Shown:
    """Return one revision: its files, what it measures, and what changed since the one before."""
    shape = history.measured.get(revision.id)
    before = history.changed_since.get(revision.id)
    since = history.label_of(before) if before else None
    changes = change_sentences(history.changes.get(revision.id), history.requirements.get(revision.id), since)
    pairs = (
        ("part", f"{history.card.number}  {history.card.description}"),
        ("revision", revision_words(history, revision)),
        ("reason", revision.reason),
        ("asked for by", revision.requested_by or ""),
        ("defined by", revision.definition),
        ("on hold", "\n".join(hold.reason for hold in history.standing_holds(revision.id))),
    )
    rows = [(kept.role, kept.name, units.file_size(kept.size_bytes), kept.sha256[:12]) for kept in revision.files]
    files = table(("FILE", "NAME", "SIZE", "SHA-256"), rows, right=frozenset({2}))
    measured = measured_lines(shape) if shape else ["its shape was not measured"]
    data = {**_revision_data(history, revision), "changes": changes, "measured": shape}
    return Shown(data, (*facts(pairs), "", *files, "", *measured, "", *changes))


def _revision_data(history: PartHistory, revision: Revision) -> dict[str, object]:
    release, acceptance = history.release_of(revision.id), history.acceptance_of(revision.id)
    return {
        **revision.model_dump(mode="json"),
        "released_on": release.at.date() if release else None,
        "accepted_on": acceptance.accepted_on if acceptance else None,
    }
