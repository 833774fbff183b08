"""How alike two texts are, for a search that found nothing else: a letter swapped, dropped or doubled is forgiven."""

from collections.abc import Iterable
from difflib import SequenceMatcher

from vault.index.folding import SHORTEST_IN_INDEX, Query

NEAR_ENOUGH = 0.7
"""Share of alike characters below which two texts are no near match; tried on typed part numbers, no source."""


def pieces_of(texts: Iterable[str]) -> tuple[str, ...]:
    """Return every run of three characters in the texts, each once."""
    runs = (text[at : at + SHORTEST_IN_INDEX] for text in texts for at in range(len(text) - SHORTEST_IN_INDEX + 1))
    return tuple(dict.fromkeys(runs))


def closeness(query: Query, line: str) -> float:
    """Return how much of the query stands in a search line, 0 to 1: as one number, or word by word."""
    words = tuple(dict.fromkeys(line.split()))
    long_terms = [term for term in query.terms if query.in_index(term)] or list(query.terms)
    if not words or not long_terms:
        return 0.0
    as_words = sum(_best(term, words) for term in long_terms) / len(long_terms)
    return max(as_words, _best(query.number, words))


def _best(wanted: str, words: Iterable[str]) -> float:
    """Return the likeness of the word that is most like `wanted`."""
    best = 0.0
    matcher = SequenceMatcher(None, "", wanted, autojunk=False)
    for word in words:
        if _bound(len(word), len(wanted)) <= best:
            continue
        matcher.set_seq1(word)
        if matcher.quick_ratio() > best:
            best = max(best, matcher.ratio())
    return best


def _bound(one: int, other: int) -> float:
    """Return the greatest likeness that lengths alone allow."""
    return 2 * min(one, other) / (one + other) if one + other else 0.0
