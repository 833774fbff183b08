"""Fill an HTML template. Every value is escaped; a value that the template wants and nobody gave is an error."""

from collections.abc import Mapping
from functools import cache

from jinja2 import Environment, FileSystemLoader, StrictUndefined, TemplateError

from vault.documents.typeset import TEMPLATES
from vault.errors import Fault


@cache
def _environment() -> Environment:
    return Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def render(template: str, values: Mapping[str, object]) -> str:
    """Return the page made from `template`, a name in our folder such as "history.html".

    Raises:
        Fault: The template asks for a value that was not given.
    """
    try:
        return _environment().get_template(template).render(values)
    except TemplateError as error:
        raise Fault(f"page {template} cannot be made: {error}") from error
