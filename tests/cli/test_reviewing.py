"""The contract review is a person's: asked on a terminal, confirmed by --yes, refused where there is neither."""

from datetime import date

import pytest

from tests.cli.shop import DUE, Shop
from vault.actions.ordering import Review
from vault.cli import session
from vault.cli.order_options import OrderLine, ReviewLine
from vault.cli.reviewing import new_order, reviewed
from vault.errors import BadInput, Refused
from vault.model.orders import CallOff

YES = ReviewLine(yes=True)


def line(**fields: object) -> OrderLine:
    return OrderLine(**{"part": "BRK-204@C", "qty": 5, "po": "4711", "po_line": "1", "due": date(2026, 6, 1), **fields})  # type: ignore[arg-type]


def test_yes_confirms_the_whole_review() -> None:
    assert reviewed(YES, ["certificate"], None) == Review()


def test_what_does_not_agree_is_said_beside_yes() -> None:
    said = ReviewLine(True, "does not agree", revision_differs=True, no_capacity=True, open_point=["price"])
    assert reviewed(said, [], None) == Review("does not agree", False, False, ("price",))


def test_where_nobody_can_be_asked_nothing_is_recorded() -> None:
    with pytest.raises(Refused, match="--yes"):
        reviewed(ReviewLine(), [], None)


def test_every_question_is_asked_and_a_clause_not_accounted_for_stays_open() -> None:
    asked: list[str] = []

    def ask(question: str) -> bool:
        asked.append(question)
        return "serials" not in question

    review = reviewed(ReviewLine(), ["certificate", "serials"], ask)
    assert len(asked) == 5
    assert review == Review("no quote was made", True, True, ("clause not accounted for: serials",))


def test_a_quote_that_was_made_is_asked_about() -> None:
    review = reviewed(ReviewLine(), [], lambda question: "No quote" not in question and "PO agree" not in question)
    assert review.quote_agrees == "does not agree"


def test_all_of_it_is_due_on_one_day_or_by_call_offs() -> None:
    one = new_order(line()).schedule
    assert one == (CallOff(due=date(2026, 6, 1), quantity=5),)
    two = new_order(line(call_off=[(date(2026, 7, 1), 3), (date(2026, 6, 1), 2)])).schedule
    assert [call.quantity for call in two] == [2, 3]


def test_an_order_without_a_day_is_refused() -> None:
    with pytest.raises(BadInput, match="--due"):
        new_order(line(due=None))


def test_no_on_the_terminal_leaves_a_review_that_is_not_clear(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("vault.cli.ordering.asking", lambda: lambda question: False)
    ran = shop("reorder", "BRK-204@C", "--qty", "3", "--po", "4799", "--po-line", "1", "--po-rev", "C", "--due", DUE)
    assert ran.code == 4
    assert "REVIEW_NOT_CLEAR" in ran.err
    assert "O-26A" in ran.err


def test_a_pipe_is_nobody_to_ask() -> None:
    assert session.asking() is None
