"""What a search found. Loads little: a search starts in a moment."""

from collections.abc import Sequence

from vault.cli.show import Shown, table
from vault.interfaces import Hit, MatchedBy


def hits_shown(hits: Sequence[Hit]) -> Shown:
    """Return hits, best first; near matches stand apart, under a line of their own."""
    exact = [hit for hit in hits if hit.matched_by is not MatchedBy.NEAR]
    near = [hit for hit in hits if hit.matched_by is MatchedBy.NEAR]
    lines = table(("WHAT", "NAME", "TITLE", "FOUND IN"), [_row(hit) for hit in exact])
    if near:
        lines += ["nothing fits exactly; near matches:", *table(("WHAT", "NAME", "TITLE", "FOUND IN"), map(_row, near))]
    return Shown(hits, tuple(lines))


def _row(hit: Hit) -> tuple[str, str, str, str]:
    return (hit.thing, hit.name, hit.title, hit.field)
