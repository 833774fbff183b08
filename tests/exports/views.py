"""Histories of an invented customer: an everyday one, and one written by somebody who means harm."""

from datetime import UTC, date, datetime

from vault.model.customer_view import ConcessionView, CustomerView, DeliveryView, PartView, RevisionView

AT = datetime(2026, 3, 9, 14, 2, tzinfo=UTC)
HOSTILE = '<script>alert("x")</script> & <img src=x onerror=alert(1)> {{ 7*7 }} #panic("x") ]] $x$'
LONG_WORD = "Zwischenstufengehaeusedeckelbefestigungsschrauben" * 3
ARABIC = "حامل المضخة، الجانب الأيسر"


def a_delivery(day: date, quantity: int, po: str = "4500-7781") -> DeliveryView:
    """Return one delivery."""
    return DeliveryView(order="O-26A0042", po=po, po_line="10", quantity=quantity, shipped_on=day)


def first_revision() -> RevisionView:
    """Return a revision that was delivered and later superseded."""
    return RevisionView(
        label="A",
        received_on=date(2025, 2, 3),
        released_on=date(2025, 2, 10),
        accepted_on=date(2025, 3, 4),
        accepted_by="T. Arkell",
        accepted_basis="first-article approval",
        superseded_by="B",
        reason="First issue.",
        deliveries=(a_delivery(date(2025, 3, 20), 24, "4500-6120"), a_delivery(date(2025, 5, 6), 60, "4500-6344")),
    )


def second_revision() -> RevisionView:
    """Return a revision that was withdrawn before it was accepted."""
    return RevisionView(
        label="B",
        received_on=date(2025, 7, 14),
        released_on=date(2025, 7, 18),
        withdrawn_on=date(2025, 8, 1),
        superseded_by="C",
        reason="Bore moved for the new pump.\nWithdrawn again: wrong datum.",
        requested_by="T. Arkell, design office",
        changes=("Largest deviation 2.000 mm; volume 12.41 cm3, was 12.38 cm3 (+0.24 %).",),
    )


def third_revision() -> RevisionView:
    """Return the revision that is made now."""
    return RevisionView(
        label="C",
        received_on=date(2025, 8, 4),
        released_on=date(2025, 8, 11),
        accepted_on=date(2025, 9, 2),
        accepted_by="T. Arkell",
        accepted_basis="customer's own design, the PO is the authority",
        acceptance_conditions="Until the next change of the casting.",
        reason="Bore moved, rib 0.8 mm thicker.",
        requested_by="T. Arkell, design office",
        changes=(
            "Largest deviation 2.000 mm; volume 12.77 cm3, was 12.38 cm3 (+3.15 %).",
            "Limit tightened: bore 10.00 to 10.05 mm, was 10.00 to 10.08 mm.",
        ),
        deliveries=tuple(a_delivery(date(2025, 9 + month, 15), 200) for month in range(4)),
    )


def a_part() -> PartView:
    """Return a part that went through three revisions."""
    concession = ConcessionView(
        reference="NCR-1188",
        revision="C",
        granted_by="T. Arkell",
        granted_on=date(2025, 11, 3),
        words="Flatness to 0.15 mm on the flange, lot L-25A0311.",
        quantity=40,
    )
    return PartView(
        number="BRK-204",
        customer_number="NF-88-1204",
        description="Bracket, pump mount",
        stage="in production since 2025-09-20",
        revisions=(third_revision(), second_revision(), first_revision()),
        concessions=(concession,),
    )


def a_view(parts: int = 2) -> CustomerView:
    """Return the history of a customer with some parts."""
    other = a_part().model_copy(
        update={"number": "HSG-017", "customer_number": "NF-90-0021", "description": "Housing, dosing head"}
    )
    all_parts = (a_part(), *([other] * (parts - 1)))
    return CustomerView(
        shop="Harrow Lane Sintering",
        customer="Northfell Pumps",
        generated_at=AT,
        head="1f0c" * 10,
        parts=all_parts[:parts],
    )


def a_hostile_view() -> CustomerView:
    """Return a history whose every text is markup, script, right-to-left or one endless word."""
    revision = (
        a_part()
        .revisions[0]
        .model_copy(
            update={
                "reason": HOSTILE,
                "requested_by": LONG_WORD,
                "changes": (HOSTILE, LONG_WORD, ARABIC),
                "accepted_by": HOSTILE,
            }
        )
    )
    concession = (
        a_part().concessions[0].model_copy(update={"reference": LONG_WORD, "words": HOSTILE, "granted_by": ARABIC})
    )
    part = a_part().model_copy(
        update={
            "description": HOSTILE,
            "customer_number": LONG_WORD[:60],
            "revisions": (revision,),
            "concessions": (concession,),
        }
    )
    named = part.model_copy(update={"description": ARABIC, "customer_number": HOSTILE})
    return a_view().model_copy(update={"customer": HOSTILE, "parts": (part, named), "demo": True})
