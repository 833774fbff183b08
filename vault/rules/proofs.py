"""Which proof covers a revision, and which settings are the ones to use."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from vault.model.cards import CarryLimits
from vault.model.decisions import CarryOver
from vault.model.evidence import Proof
from vault.model.settings import Settings
from vault.model.words import ArticleState, CarryVerdict
from vault.rules.carry_over import Carry, judge
from vault.rules.history import PartHistory


@dataclass(frozen=True)
class Cover:
    """A proof held against a revision: what was computed, and what a person decided, where one did."""

    proof: Proof
    computed: Carry
    decision: CarryOver | None

    @property
    def verdict(self) -> CarryVerdict:
        """The decision where there is one, else what was computed."""
        return self.decision.decided if self.decision else self.computed.verdict


_RANK = {CarryVerdict.CARRIES: 0, CarryVerdict.DELTA_PROOF: 1, CarryVerdict.PROVE_AGAIN: 2}


def cover_of(history: PartHistory, settings: Settings, revision: str, limits: CarryLimits) -> Cover | None:
    """Return the proof of these settings that counts: on the revision itself, else the one that carries furthest.

    Of each revision only the newest proof speaks: one that failed later is not hidden by one that passed before, nor
    a failed proof of this very revision by a good one of another.
    """
    newest: dict[str, Proof] = {proof.revision: proof for proof in history.proofs if proof.settings == settings.id}
    if revision in newest:
        return _cover(history, newest[revision], revision, limits)
    covers = [_cover(history, proof, revision, limits) for proof in reversed(_oldest_first(newest))]
    return min(covers, key=_preference(revision), default=None)


def _oldest_first(newest: Mapping[str, Proof]) -> list[Proof]:
    return sorted(newest.values(), key=lambda proof: (proof.at, proof.id))


def _preference(revision: str) -> Callable[[Cover], tuple[bool, bool, int]]:
    return lambda cover: (
        cover.proof.state is not ArticleState.COMPLETE,
        cover.proof.revision != revision,
        _RANK[cover.verdict],
    )


def _cover(history: PartHistory, proof: Proof, revision: str, limits: CarryLimits) -> Cover:
    decision = next((c for c in reversed(history.carry_overs) if c.proof == proof.id and c.revision == revision), None)
    return Cover(proof, judge(history, proof.revision, revision, limits), decision)


def choose_settings(history: PartHistory, revision: str, limits: CarryLimits) -> Settings | None:
    """Return the settings to use for a revision: those with the best proof, the newest of equals."""
    ranked = []
    for place, settings in enumerate(reversed(history.settings)):
        cover = cover_of(history, settings, revision, limits)
        quality = _preference(revision)(cover) if cover else (True, True, 3)
        ranked.append((cover is None, quality, settings.made_for != revision, place, settings))
    return min(ranked, key=lambda row: row[:4], default=(0, 0, 0, 0, None))[4]
