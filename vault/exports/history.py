"""The history of a customer's parts as a page, as paper and as data: three renderings of one `CustomerView`.

Nothing is looked up here: what the view does not hold cannot leave the shop.
"""

from datetime import datetime

from vault.documents.html import render
from vault.documents.typeset import compile_pdf
from vault.model.customer_view import CustomerView

EXPLANATION = (
    "These are the shop's records by date. A shape change was measured between the files as received; requirements on "
    "a drawing are not part of that measurement. This is a history, not a certificate and not a release of parts."
)
DEMO_NOTICE = "DEMO: an invented shop, invented customers, invented parts."


def render_html(view: CustomerView) -> str:
    """Return the history as one self-contained page: no network, no script, fit for phone, desk and printer."""
    return render("history.html", {"view": view, "explanation": EXPLANATION, "demo_notice": DEMO_NOTICE})


def render_pdf(view: CustomerView, at: datetime) -> bytes:
    """Return the history as a PDF on A4, dated `at` (aware); the same view and date give the same bytes."""
    data = {"view": view.model_dump(mode="json"), "explanation": EXPLANATION, "demo_notice": DEMO_NOTICE}
    data["generated"] = f"{view.generated_at:%Y-%m-%d %H:%M} UTC"
    return compile_pdf("history", data, at)


def render_json(view: CustomerView) -> bytes:
    """Return the view itself as UTF-8 JSON, two-space indent, final newline."""
    return (view.model_dump_json(indent=2) + "\n").encode()
