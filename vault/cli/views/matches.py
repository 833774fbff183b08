"""Do we make this already? What a model file fits, and what was not looked at."""

from vault.actions.matching import Matches
from vault.cli.show import Shown
from vault.cli.views.design import measured_lines


def matches_shown(matches: Matches) -> Shown:
    """Return where the very file is kept; else what it measures, and the revisions with equal measures."""
    same = [f"the very same file: {place.words}" for place in matches.same_file]
    measured = measured_lines(matches.measured) if matches.measured else []
    candidates = [line for one in matches.candidates for line in (one.words, f"        next: {one.next_command}")]
    return Shown(matches, (*same, *measured, *candidates))
