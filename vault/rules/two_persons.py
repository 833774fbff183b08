"""One person alone may not record, release and prove the same revision once a part is made in production."""

from collections.abc import Iterable, Iterator
from datetime import date

from vault.model.cards import Person, Policy
from vault.model.findings import Code, Finding
from vault.model.words import Role, Stage
from vault.rules.finding import stop

_ABLE = frozenset({Role.ENGINEER, Role.QUALITY})


def able_persons(people: Iterable[Person], today: date) -> tuple[str, ...]:
    """Return the handles of the engineers and quality people who are here today."""
    here = (person for person in people if person.left_on is None or today <= person.left_on)
    return tuple(person.handle for person in here if _ABLE.intersection(person.roles))


def two_persons_findings(
    policy: Policy,
    stage: Stage,
    able: tuple[str, ...],
    recorded_by: str,
    released_by: str | None,
    proven_by: str | None,
) -> Iterator[Finding]:
    """Yield a stop where one person did all three, the policy asks for two, and the shop has more than one able.

    `stage` is the stage that the part is in or moves to; before production one person may do everything. Who has not
    released or not proved yet is None, and the question is asked again when somebody does.
    """
    if not policy.two_persons_from_production or stage is not Stage.PRODUCTION or len(able) < 2:
        return
    if proven_by is not None and recorded_by == released_by == proven_by:
        others = ", ".join(handle for handle in able if handle != proven_by)
        words = f"{proven_by} recorded, released and proved this revision alone; in production a second person does one"
        yield stop(Code.TWO_PERSONS, f"{words}: {others}", Role.ENGINEER, Role.QUALITY)
