"""How many boxes a quantity takes, by the settings that readiness would choose."""

from dataclasses import dataclass

from vault.actions.context import Vault
from vault.actions.readying import Answered, Question, ready
from vault.errors import Refused
from vault.model.packaging import BoxPlan
from vault.planning.boxes import plan_boxes, quantity_to_start


@dataclass(frozen=True)
class Planned:
    """A plan with the quantity to start, the printing time, and the readiness it rests on."""

    plan: BoxPlan
    quantity: int
    to_start: int
    answered: Answered

    @property
    def printing_min(self) -> float:
        """Printing time of all boxes, minutes."""
        return self.plan.boxes * self.plan.box_min


def plan(vault: Vault, question: Question) -> Planned:
    """Plan a quantity of a part.

    Raises:
        NotFound: The part is not recorded.
        Refused: There are no settings, no measured shape or no box that holds the part.
    """
    answered = ready(vault, question)
    facts = answered.facts
    number = facts.history.card.number
    shape = facts.history.measured.get(facts.asked.id) if facts.asked else None
    if facts.settings is None or shape is None:
        raise Refused(f"NO_SETTINGS {number} cannot be planned: it has no settings or no measured shape yet")
    if not facts.boxes:
        raise Refused(
            f"{facts.settings.machine} has no boxes on its card; `partstead machine edit {facts.settings.machine}`"
        )
    quantity = question.quantity or 1
    to_start = quantity_to_start(quantity, facts.policy.start_extra_fraction)
    return Planned(plan_boxes(facts.boxes, facts.settings, shape, to_start), quantity, to_start, answered)
