"""Changing single fields of a card's JSON form, so that edits of different fields never undo each other."""

from typing import Any

from vault.errors import BadInput


def set_field(form: dict[str, Any], dotted: str, value: Any) -> None:
    """Set one field in place; "control.status" reaches into a nested value.

    Raises:
        BadInput: There is no such field.
    """
    *outer, last = dotted.split(".")
    here = form
    for step in outer:
        inner = here.get(step)
        if not isinstance(inner, dict):
            raise BadInput(f"{dotted}: {step} has no fields inside")
        here = inner
    if last not in here:
        raise BadInput(f"{dotted}: there is no such field; it is one of {', '.join(sorted(here))}")
    here[last] = value
