"""Options declared once as the fields of a dataclass, for commands that take many of them together."""

import inspect
from collections.abc import Callable
from dataclasses import MISSING, fields, is_dataclass
from typing import Any, get_type_hints


def expanded(command: Callable[..., None]) -> Callable[..., None]:
    """Return the command with every parameter that is a dataclass replaced by one option for each of its fields.

    Typer reads the signature; the command itself still gets the dataclass, filled in.
    """
    hints = get_type_hints(command, include_extras=True)
    groups: dict[str, Any] = {name: kind for name, kind in hints.items() if is_dataclass(kind)}
    given: list[inspect.Parameter] = []
    for parameter in inspect.signature(command).parameters.values():
        given += _fields_of(groups[parameter.name]) if parameter.name in groups else [parameter]

    def typed(**values: Any) -> None:
        for name, kind in groups.items():
            values[name] = kind(**{field.name: values.pop(field.name) for field in fields(kind)})
        command(**values)

    ordered = sorted(given, key=lambda parameter: parameter.default is not inspect.Parameter.empty)
    typed.__signature__ = inspect.Signature(ordered)  # type: ignore[attr-defined]
    typed.__annotations__ = {parameter.name: parameter.annotation for parameter in ordered}
    typed.__name__, typed.__doc__ = command.__name__, command.__doc__
    return typed


def _fields_of(kind: Any) -> list[inspect.Parameter]:
    hints = get_type_hints(kind, include_extras=True)
    return [
        inspect.Parameter(
            field.name,
            inspect.Parameter.POSITIONAL_OR_KEYWORD,
            default=inspect.Parameter.empty if field.default is MISSING else field.default,
            annotation=hints[field.name],
        )
        for field in fields(kind)
    ]
