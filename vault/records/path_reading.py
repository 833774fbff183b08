"""What a path of the register tells by itself: the way back from `paths`, for places whose record cannot be read."""

import re

_ORIGINAL = re.compile(r"(?P<folder>.+)/files/(?P<sha256>[0-9a-f]{64})\.[a-z0-9]{1,8}")
_PART = re.compile(r"parts/[0-9a-f]{2}/[0-9a-f]{2}/([^/]+)/")
_IN_PART = re.compile(r"parts/[0-9a-f]{2}/[0-9a-f]{2}/[^/]+/(revisions|settings|receipts)/([0-9A-Z]{26})/")
_ALLOTTED = re.compile(r"/([A-Z]-[0-9]{2}[A-Z]{1,3}[0-9]{4,}(?:\.[0-9]+)*)/")


def is_original(path: str) -> bool:
    """Say whether a path is that of an original."""
    return _ORIGINAL.fullmatch(path) is not None


def is_record(path: str) -> bool:
    """Say whether a path is that of a record: not an original and not a signature."""
    return path.endswith(".json") and not is_original(path)


def original_at(path: str) -> tuple[str, str] | None:
    """Return (folder of the owner, SHA-256) of an original's path, None for any other path."""
    found = _ORIGINAL.fullmatch(path)
    return (found["folder"], found["sha256"]) if found else None


def part_at(path: str) -> str | None:
    """Return the part that a path lies under."""
    found = _PART.match(path)
    return found[1] if found else None


def owner_at(path: str) -> tuple[str, str] | None:
    """Return ("revisions", ULID), ("settings", ULID) or ("receipts", ULID) for a path under one of a part's."""
    found = _IN_PART.match(path)
    return (found[1], found[2]) if found else None


def allotted_at(path: str) -> str | None:
    """Return the allotted id that a path lies under, as people write it: L-26A0118/1."""
    found = _ALLOTTED.search(path)
    return found[1].replace(".", "/") if found else None
