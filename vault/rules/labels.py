"""Revision labels: the design authority names them, a scheme only orders and warns."""

import re
from dataclasses import dataclass
from enum import StrEnum

from vault.model.words import LabelScheme

LETTERS = "ABCDEFGHJKLMNPRTUVWY"
"""The twenty letters of ASME Y14.35 (as reproduced second-hand): never I O Q S X Z."""

FIRST_ISSUE = "-"
_FIRST_ISSUE_WORDS = frozenset({"-", "nc", "n/c", "ir", "none", "blank"})
_NO_REVISION_WORDS = frozenset({"", "last", "any", "?", "n/a", "na", "tbd"})
_NEWEST = frozenset({"latest", "newest", "current"})
_SAYS_REVISION = frozenset({"rev", "revision", "issue"})
_REVISION_PREFIX = re.compile(r"rev(ision)?(?=[\s:.-]|$)[\s:.]*(-\s*(?=[a-z0-9]))?", re.IGNORECASE)
_DASHES = str.maketrans(dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2015\u2212", "-"))
"""The hyphens, dashes and the minus sign of Unicode, which mail programs put for a typed "-"."""


class PoLabel(StrEnum):
    """What the PO's revision field says."""

    NAMES_NONE = "names no revision"
    MAY_BE_FIRST_ISSUE = "may mean the first issue"
    NAMES_ONE = "names a revision"


@dataclass(frozen=True)
class WrittenLabel:
    """The revision as written on a PO, and how it reads."""

    text: str
    reads_as: PoLabel
    label: str | None


def read_po_label(text: str | None) -> WrittenLabel:
    """Read the revision field of a PO. Words that may mean the first issue wait for a person to confirm."""
    written = (text or "").strip()
    bare = _REVISION_PREFIX.sub("", written.translate(_DASHES), count=1) if _has_prefix(written) else written
    words = bare.translate(_DASHES).replace(".", "").casefold()
    if _names_none(words):
        return WrittenLabel(written, PoLabel.NAMES_NONE, None)
    if words in _FIRST_ISSUE_WORDS:
        # A longer dash may be one that a mail program put for a typed "-", or one that says "nothing here".
        is_dash = written.endswith(FIRST_ISSUE)
        return WrittenLabel(written, PoLabel.NAMES_ONE if is_dash else PoLabel.MAY_BE_FIRST_ISSUE, FIRST_ISSUE)
    return WrittenLabel(written, PoLabel.NAMES_ONE, bare)


def _has_prefix(written: str) -> bool:
    return _REVISION_PREFIX.match(written.translate(_DASHES)) is not None


def _names_none(words: str) -> bool:
    """Say whether the words, folded, name no revision: nothing, "tbd", "latest revision", "no rev"."""
    first, *rest = words.split() or [""]
    only_says_revision = bool(rest) and _SAYS_REVISION.issuperset(rest)
    return words in _NO_REVISION_WORDS or first in _NEWEST or (first in {"no", "last", "any"} and only_says_revision)


def fault_of_label(label: str) -> str | None:
    """Say why a label cannot be recorded: it would be read as another one, or as none, when it stands on a PO."""
    read = read_po_label(label)
    if read.reads_as is PoLabel.NAMES_NONE:
        return f"{label!r} names no revision; type the label as it stands on the drawing"
    if read.reads_as is PoLabel.MAY_BE_FIRST_ISSUE:
        return f'{label!r} says that there is no letter yet; the label of a first issue is "-"'
    if read.label != label:
        return f"{label!r} would be read as {read.label}; type the label alone"
    return None


def same_label(one: str, other: str) -> bool:
    """Say whether two labels are the same to a person: case and outer spaces do not count, all else does."""
    return one.strip().casefold() == other.strip().casefold()


def ordinal(label: str) -> int | None:
    """Return the place of a letter label: "-" is 0, A is 1, Y is 20, AA is 21, YY is 420; None for any other label."""
    if label == FIRST_ISSUE:
        return 0
    letters = label.strip().upper()
    if not letters or len(letters) > 2 or any(letter not in LETTERS for letter in letters):
        return None
    places = [LETTERS.index(letter) + 1 for letter in letters]
    return places[0] if len(places) == 1 else places[0] * len(LETTERS) + places[1]


def label_at(place: int) -> str:
    """Return the letter label at a place from 0 to 420. Raises ValueError outside."""
    if not 0 <= place <= 420:
        raise ValueError(f"letter labels have the places 0 to 420, not {place}")
    if place == 0:
        return FIRST_ISSUE
    if place <= 20:
        return LETTERS[place - 1]
    first, second = divmod(place - 21, 20)
    return LETTERS[first] + LETTERS[second]


def following(label: str, scheme: LabelScheme) -> str | None:
    """Return the label that a scheme puts after this one, or None where it cannot say. It names no revision."""
    match scheme:
        case LabelScheme.LETTERS:
            place = ordinal(label)
            return label_at(place + 1) if place is not None and place < 420 else None
        case LabelScheme.NUMBERS:
            return str(int(label) + 1) if label.isdecimal() else None
        case LabelScheme.FREE:
            return None


def warning(label: str, before: str | None, scheme: LabelScheme) -> str | None:
    """Return one sentence where a label does not fit its scheme or does not follow the one before."""
    if scheme is LabelScheme.LETTERS and ordinal(label) is None and not label.isdecimal():
        return f"label {label} is outside the letters {LETTERS[0]} to {LETTERS[-1]} without I O Q S X Z"
    if scheme is LabelScheme.NUMBERS and not label.isdecimal():
        return f"label {label} is not a number, and this part's labels are numbers"
    expected = following(before, scheme) if before is not None else None
    if expected is not None and not same_label(expected, label):
        return f"label {label} follows {before}; by the scheme {expected} would follow"
    return None
