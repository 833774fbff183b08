"""A search as it was typed: text is looked up in the index as it lies there, a model file is measured."""

from pathlib import Path

from vault.cli.session import Session
from vault.cli.show import Shown


def found(session: Session, typed: str, limit: int, unit: str | None) -> tuple[Shown, int]:
    """Return what was found, and how many hits there are. Raises BadInput for a file that is no shape."""
    if Path(typed).is_file():
        return _matching(session, Path(typed), unit)
    from vault.cli.views.hits import hits_shown
    from vault.quick import quick_find

    hits = quick_find(session.folder, typed, limit)
    if hits is None:  # the index must be made or brought up to date first
        session.vault.index.catch_up()
        hits = session.vault.index.find(typed, limit)
    return hits_shown(hits), len(hits)


def _matching(session: Session, file: Path, unit: str | None) -> tuple[Shown, int]:
    from vault.actions.matching import match_file
    from vault.cli.views.matches import matches_shown

    matches = match_file(session.vault, file, unit)
    return matches_shown(matches), len(matches.same_file) + len(matches.candidates)
