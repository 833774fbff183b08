"""Who may do what. Asked again at the moment of writing; the answer always says who can."""

from collections.abc import Iterable
from datetime import date
from enum import StrEnum

from vault.model.cards import Person
from vault.model.words import Role


class Verb(StrEnum):
    """What a person can do to the register."""

    EDIT_CARDS = "edit cards"
    EDIT_PEOPLE = "edit people, rates and policy"
    RECEIVE = "record the arrival of customer files"
    REVISE = "record a revision"
    RELEASE = "release a revision"
    ACCEPT = "record the customer's acceptance"
    WITHDRAW = "withdraw a release or an acceptance"
    HOLD = "put on hold"
    LIFT = "lift a hold"
    SETTINGS = "record settings"
    FLOOR = "record powder, box runs, loads and lots"
    MEASURE = "record measurements"
    PROVE = "prove settings"
    CARRY = "decide that a proof carries over"
    STAGE = "move a part to another stage"
    ORDER = "record an order"
    REVIEW = "review a contract"
    PACKAGE = "make a reprint package"
    SHIP = "record a delivery"
    NONCONFORMANCE = "record a nonconformance"
    DISPOSE = "decide about a nonconformance"
    PERMISSION = "record a concession or a permit"
    ANSWER = "answer the customer"


_CLERKS = frozenset({Role.CLERK, Role.DESK, Role.ENGINEER, Role.QUALITY})
_ENGINEERS = frozenset({Role.ENGINEER})
_QUALITY = frozenset({Role.QUALITY})
_BOTH = _ENGINEERS | _QUALITY

_ALLOWED: dict[Verb, frozenset[Role]] = {
    Verb.EDIT_CARDS: _BOTH | {Role.CLERK, Role.DESK},
    Verb.EDIT_PEOPLE: frozenset(),
    Verb.RECEIVE: _CLERKS,
    Verb.REVISE: _ENGINEERS,
    Verb.RELEASE: _ENGINEERS,
    Verb.ACCEPT: _BOTH | {Role.DESK},
    Verb.WITHDRAW: _BOTH | {Role.DESK},
    Verb.HOLD: _CLERKS,
    Verb.LIFT: _QUALITY,
    Verb.SETTINGS: _ENGINEERS,
    Verb.FLOOR: _CLERKS,
    Verb.MEASURE: _CLERKS,
    Verb.PROVE: _BOTH,
    Verb.CARRY: _BOTH,
    Verb.STAGE: _BOTH,
    Verb.ORDER: _CLERKS,
    Verb.REVIEW: _CLERKS,
    Verb.PACKAGE: _CLERKS,
    Verb.SHIP: _CLERKS,
    Verb.NONCONFORMANCE: _CLERKS,
    Verb.DISPOSE: _QUALITY,
    Verb.PERMISSION: _QUALITY | {Role.DESK},
    Verb.ANSWER: frozenset({Role.DESK, Role.ENGINEER, Role.QUALITY}),
}


def roles_for(verb: Verb) -> frozenset[Role]:
    """Return the roles that may do this; an owner may do everything."""
    return _ALLOWED[verb] | {Role.OWNER}


def may(person: Person | None, verb: Verb, today: date) -> bool:
    """Say whether a person may do this today. Nobody unknown, and nobody who left, may do anything."""
    if person is None or (person.left_on is not None and today > person.left_on):
        return False
    return bool(roles_for(verb).intersection(person.roles))


def who_may(people: Iterable[Person], verb: Verb, today: date) -> tuple[str, ...]:
    """Return the handles of everybody who may do this today."""
    return tuple(person.handle for person in people if may(person, verb, today))
