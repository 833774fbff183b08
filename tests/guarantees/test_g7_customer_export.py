"""G7: what a customer is given holds what that customer may see, and nothing else.

Every field of every kind of record is filled with a canary of its own; only those decided to be shown may fly out.
"""

import re
from collections.abc import Iterator
from io import BytesIO
from typing import get_args

import pypdf
import pytest

from tests.builders import a_part, a_release, a_revision, an_acceptance, made, ulid
from tests.filling import filled
from tests.floor_builders import a_delivery, an_order
from tests.given import given
from tests.guarantees.canaries import OURS, THEIRS, Canaries
from tests.guarantees.customer_fields import SHOWN, WITHHELD
from vault.actions.answering import view_for
from vault.actions.context import Vault
from vault.exports.history import render_html, render_json, render_pdf
from vault.model.base import Record, Value
from vault.model.cards import Customer, Part, Person, Policy, Rates, RegisterCard, WriterCard
from vault.model.customer_view import CustomerView
from vault.model.design import ChangedRevision, Requirements, Revision
from vault.model.floor import Lot
from vault.records.kinds import ALL

_ONE_OF_A_KIND = (RegisterCard, WriterCard, Rates, Policy)


def models() -> Iterator[type[Value]]:
    """Yield every model that a record of the register is made of."""
    waiting, seen = list[object](ALL), set[object]()
    while waiting:
        model = waiting.pop()
        if model in seen:
            continue
        seen.add(model)
        if isinstance(model, type) and issubclass(model, Value):
            yield model
            waiting += [info.annotation for info in model.model_fields.values()]
        waiting += get_args(model)


def test_every_field_of_every_model_is_decided() -> None:
    for model in models():
        shown, withheld = (table.get(model.__name__, "").split() for table in (SHOWN, WITHHELD))
        assert sorted(shown + withheld) == sorted(model.model_fields), f"decide about the fields of {model.__name__}"
    assert {model.__name__ for model in models()} == WITHHELD.keys() | SHOWN.keys()


def canary_records(canaries: Canaries, before: str) -> list[Record]:
    """Return a record of every kind, fitted together so that as much as possible of them could be shown."""
    records: list[Record] = []
    for kind in ALL:
        record = filled(kind, canaries)
        if isinstance(record, Revision):
            record = record.model_copy(update={"follows": before})
        if isinstance(record, ChangedRevision):
            record = record.model_copy(update={"since": before})
        records.append(record)
    return records


def filled_register(vault: Vault) -> tuple[Canaries, Canaries]:
    """Fill a register with canaries of ours and of another customer, and return both flocks."""
    ours, theirs = Canaries(OURS, 0), Canaries(THEIRS, 4000)
    first = a_revision("A")
    given(vault, *canary_records(ours, first.id), first, a_release("A"), an_acceptance("A"))
    others = [r for r in canary_records(theirs, ulid("none")) if not isinstance(r, _ONE_OF_A_KIND)]
    given(vault, *others)
    # Somebody else orders our customer's part: allowed, and none of our customer's business.
    order = an_order("O-26A0077", customer="BRIGHTWATER", po="qxpoz", po_line="qxlinez")
    given(vault, order, a_delivery("D-26A0077", order=order.id, quantity=7654321))
    return ours, theirs


@pytest.fixture
def flown(vault: Vault) -> tuple[CustomerView, Canaries, Canaries]:
    ours, theirs = filled_register(vault)
    return view_for(vault.as_person("dana"), "NORTHFELL"), ours, theirs  # type: ignore[arg-type]


def renderings(view: CustomerView) -> dict[str, str]:
    """Return everything that would leave, as text without white space: also what a PDF says about itself."""
    pdf = render_pdf(view, view.generated_at)
    read = pypdf.PdfReader(BytesIO(pdf))
    words = "".join(page.extract_text() for page in read.pages) + str(read.metadata) + str(read.xmp_metadata)
    outlines = str(read.outline) + str(read.attachments) + pdf.decode("latin-1")
    texts = {"html": render_html(view), "json": render_json(view).decode(), "pdf": words + outlines}
    return {name: re.sub(r"\s", "", text) for name, text in texts.items()}


def is_shown(where: str) -> bool:
    model, _, name = where.partition(".")
    return name in SHOWN.get(model, "").split()


def test_no_canary_flies_out_but_those_of_the_allow_list(flown: tuple[CustomerView, Canaries, Canaries]) -> None:
    view, ours, theirs = flown
    withheld = {canary: where for canary, where in ours.put.items() if not is_shown(where)} | theirs.put
    assert len(withheld) > 800
    for name, text in renderings(view).items():
        leaked = {canary: where for canary, where in withheld.items() if canary in text}
        assert not leaked, name


def test_what_is_shown_really_arrives(flown: tuple[CustomerView, Canaries, Canaries]) -> None:
    view, ours, _ = flown
    texts = {canary for canary, where in ours.put.items() if is_shown(where) and canary.startswith("qx")}
    arrived = renderings(view)
    for name in ("html", "json", "pdf"):
        missing = {canary: ours.put[canary] for canary in texts if canary not in arrived[name]}
        assert not missing, name
    assert {"Revision.reason", "Acceptance.conditions", "Permission.words", "RequirementChange.words"} <= {
        ours.put[canary] for canary in texts
    }


def test_no_inner_id_and_nobody_of_the_shop_is_named(flown: tuple[CustomerView, Canaries, Canaries]) -> None:
    data = render_json(flown[0]).decode()
    assert not re.search(r"\b[0-7][0-9A-HJKMNP-TV-Z]{25}\b", data)
    assert set(re.findall(r"\b[A-Z]-[0-9]{2}[A-Z]{1,3}[0-9]{4,}", data)) == {"O-26A0001"}
    for handle in ("edda", "emil", "dana", "quin", "ona", "cleo"):
        assert not re.search(rf"\b{handle}\b", data, re.IGNORECASE)


def test_nothing_of_another_customer_is_in_it(flown: tuple[CustomerView, Canaries, Canaries]) -> None:
    for name, text in renderings(flown[0]).items():
        for theirs in ("BRIGHTWATER", "HSG-017", "qxpoz", "qxlinez", "7654321", "O-26A0077"):
            assert theirs not in text, name


def test_a_text_that_names_another_customer_is_left_out(vault: Vault) -> None:
    ours, _ = filled_register(vault)
    brightwater = made(Customer, {}, code="BRIGHTWATER", name="Brightwater Instruments")
    card = a_part(description="As for Brightwater Instruments, but longer")
    given(vault, brightwater, card)
    view = view_for(vault.as_person("dana"), "BRK-204")  # type: ignore[arg-type]
    assert view.parts[0].description == "(left out here: this text names somebody else)"
    assert "rightwater" not in render_json(view).decode()
    assert ours.put


def test_the_kinds_with_canaries_are_all_kinds(vault: Vault) -> None:
    made_of = {type(record) for record in canary_records(Canaries(OURS, 0), ulid("none"))}
    assert made_of == set(ALL)
    assert {Part, Person, Lot, Requirements} <= made_of
