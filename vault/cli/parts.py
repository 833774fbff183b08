"""PART@REV as it was typed, taken apart for the actions, which look it up."""

from vault.errors import BadInput, WrongUsage


def revision_named(typed: str) -> tuple[str, str]:
    """Return the part and the revision of PART@REV. Raises WrongUsage where no revision is named."""
    part, revision = part_at(typed)
    if revision is None:
        raise WrongUsage(f"{typed!r} names no revision; type PART@REV, such as BRK-204@C")
    return part, revision


def part_at(typed: str) -> tuple[str, str | None]:
    """Return the part and, where one was typed, the revision of PART[@REV]. Raises BadInput on an empty half."""
    part, at_sign, revision = typed.strip().partition("@")
    if not part.strip() or (at_sign and not revision.strip()):
        raise BadInput(f"{typed!r} names no part; type PART or PART@REV, such as BRK-204@C")
    return part.strip(), revision.strip() if at_sign else None
