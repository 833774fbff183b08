"""What is left of a text when a search forgets case, accents and separators. Standard library only: start-up counts."""

import re
import unicodedata
from dataclasses import dataclass

MAX_QUERY = 200
"""Characters of a query that are looked at: a line of text has no more."""

SHORTEST_IN_INDEX = 3
"""Characters of the shortest piece that a trigram index can look up."""

_SEPARATORS = re.compile(r"[\W_]+")
_REVISION_WORD = re.compile(r"(?<![^\W_])rev(?:ision)?(?:\s*[.:]\s*|\s+)(?=\S)")


def plain(text: str) -> str:
    """Return the text in small letters without accents: "Gehäuse A" -> "gehause a"."""
    if text.isascii():
        return text.lower()
    loose = unicodedata.normalize("NFKD", text.casefold())
    return "".join(char for char in loose if not unicodedata.combining(char)).casefold()


def squashed(text: str) -> str:
    """Return letters and digits only: "BRK 204-C" -> "brk204c". Agrees with `model.ids.folded` on ASCII text."""
    return _SEPARATORS.sub("", plain(text))


@dataclass(frozen=True)
class Query:
    """What a person typed, in the forms in which it is compared."""

    number: str  # squashed: as if all of it were one number
    spoken_number: str  # the same without a spoken "rev" before a label; equal to `number` where none was said
    terms: tuple[str, ...]  # plain words, each holding a letter or a digit

    @property
    def is_empty(self) -> bool:
        """True where nothing was typed that could be looked for."""
        return not self.number

    def in_index(self, term: str) -> bool:
        """Say whether a trigram index can look this term up."""
        return len(term) >= SHORTEST_IN_INDEX


def read_query(text: str) -> Query:
    """Take apart what was typed; any text is a query, though it may be an empty one."""
    shown = "".join(char if char.isprintable() else " " for char in text[:MAX_QUERY])
    loose = plain(shown)
    terms = dict.fromkeys(word for word in loose.split() if any(char.isalnum() for char in word))
    return Query(squashed(loose), squashed(_REVISION_WORD.sub("", loose)), tuple(terms))


def fits(number: str, start: str, label: str) -> bool:
    """Say whether a squashed number is `start` followed by the revision label, as in brk204c, BRK-204 and C."""
    tail = squashed(label)
    return bool(tail) and number == start + tail
