"""PART@REV as it was typed, taken apart for the actions, which look both up."""

from vault.errors import WrongUsage


def revision_named(typed: str) -> tuple[str, str]:
    """Return the part and the revision of PART@REV.

    Raises:
        WrongUsage: No revision is named.
        BadInput: A half is empty.
    """
    part, revision = part_at(typed)
    if revision is None:
        raise WrongUsage(f"{typed!r} names no revision; type PART@REV, such as BRK-204@C")
    return part, revision


def part_at(typed: str) -> tuple[str, str | None]:
    """Return the part and, where one was typed, the revision of PART[@REV]. Raises BadInput where a half is empty."""
    from vault.model.ids import parse_part_at

    named = parse_part_at(typed)
    return named.part, named.revision
