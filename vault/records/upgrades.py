"""Older forms of a record, brought up to today's on reading, step by step. What is recorded is never rewritten."""

from collections.abc import Callable, Mapping
from typing import Any

from vault.errors import Damaged

Form = dict[str, Any]
Step = Callable[[Form], Form]

STEPS: Mapping[tuple[str, int], Step] = {}
"""(kind, schema) -> the step that makes schema + 1 of it. Every form is still the first."""


def upgraded(kind: str, schema: int, form: Form, newest: int, steps: Mapping[tuple[str, int], Step] = STEPS) -> Form:
    """Bring the fields of one record from `schema` up to `newest`.

    Raises:
        Damaged: The record was written by a newer program, or a step is missing.
    """
    if schema > newest:
        raise Damaged(f"this {kind} has form {schema}, this program knows {newest}; install a newer partstead")
    for version in range(schema, newest):
        step = steps.get((kind, version))
        if step is None:
            raise Damaged(f"no step leads from form {version} of {kind} to {version + 1}")
        form = step(form)
    return form
