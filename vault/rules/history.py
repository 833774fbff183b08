"""A part's history folded from its entries: what is released, accepted, held, clashing, and in which stage."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import TypeVar

from vault.model import decisions, design
from vault.model.base import Record
from vault.model.cards import Part
from vault.model.evidence import Proof
from vault.model.settings import Settings
from vault.model.shape import MeasuredShape, ShapeChange
from vault.model.words import Stage
from vault.rules.label_clash import last_doubt
from vault.rules.labels import same_label


@dataclass(frozen=True)
class PartHistory:
    """Everything recorded under one part, oldest first. Revisions are keyed by their ULID."""

    card: Part
    receipts: tuple[design.Receipt, ...] = ()
    revisions: tuple[design.Revision, ...] = ()
    measured: Mapping[str, MeasuredShape] = field(default_factory=dict)
    changes: Mapping[str, ShapeChange] = field(default_factory=dict)
    changed_since: Mapping[str, str] = field(default_factory=dict)
    requirements: Mapping[str, design.Requirements] = field(default_factory=dict)
    answers: tuple[decisions.LabelAnswer, ...] = ()
    settings: tuple[Settings, ...] = ()
    releases: tuple[decisions.Release, ...] = ()
    acceptances: tuple[decisions.Acceptance, ...] = ()
    withdrawals: tuple[decisions.Withdrawal, ...] = ()
    holds: tuple[decisions.Hold, ...] = ()
    lifts: tuple[decisions.Lift, ...] = ()
    moves: tuple[decisions.StageMove, ...] = ()
    carry_overs: tuple[decisions.CarryOver, ...] = ()
    concessions: tuple[decisions.Concession, ...] = ()
    permits: tuple[decisions.Permit, ...] = ()
    proofs: tuple[Proof, ...] = ()

    @property
    def stage(self) -> Stage:
        """How the part is being made now."""
        return self.moves[-1].moved_to if self.moves else Stage.PROTOTYPE

    def revision(self, ulid: str) -> design.Revision | None:
        """Return the revision with this ULID."""
        return next((revision for revision in self.revisions if revision.id == ulid), None)

    def label_of(self, ulid: str) -> str:
        """Return the label of a revision, for a sentence."""
        revision = self.revision(ulid)
        return revision.label if revision else ulid

    def called(self, label: str) -> tuple[design.Revision, ...]:
        """Return every revision with this label: more than one is a clash until the customer answers."""
        return tuple(revision for revision in self.revisions if same_label(revision.label, label))

    def settled(self, label: str) -> design.Revision | None:
        """Return the one revision that the label means: the only one, or the one that the customer's answer names."""
        called = self.called(label)
        answer = next((a for a in reversed(self.answers) if same_label(a.label, label)), None)
        if answer is not None:
            return self.revision(answer.revision)
        return called[0] if len(called) == 1 else None

    def meant_by(self, label: str) -> design.Revision | None:
        """Return the revision that the label means, or while that is unsettled the one recorded last under it."""
        return self.settled(label) or next(reversed(self.called(label)), None)

    def is_set_aside(self, revision: design.Revision) -> bool:
        """Say whether the customer answered that another file has this revision's label."""
        live = self.settled(revision.label)
        return live is not None and live.id != revision.id

    def unsettled_labels(self) -> tuple[str, ...]:
        """Return the labels that arrived with more than one design and have no written answer since."""
        return tuple(label for label in self._labels() if self._is_unsettled(label))

    def _labels(self) -> tuple[str, ...]:
        seen = [r.label for r in self.revisions] + [r.label for r in self.receipts if r.label]
        return tuple(dict.fromkeys(label.casefold() for label in seen))

    def _is_unsettled(self, label: str) -> bool:
        receipts = [r for r in self.receipts if r.label is not None and same_label(r.label, label)]
        doubt = last_doubt(self.called(label), receipts)
        return doubt is not None and not any(a.at >= doubt for a in self.answers if same_label(a.label, label))

    def _is_withdrawn(self, ulid: str) -> bool:
        return any(withdrawal.withdraws == ulid for withdrawal in self.withdrawals)

    def release_of(self, ulid: str) -> decisions.Release | None:
        """Return the standing release of a revision."""
        return next((r for r in reversed(self.releases) if r.revision == ulid and not self._is_withdrawn(r.id)), None)

    def acceptance_of(self, ulid: str) -> decisions.Acceptance | None:
        """Return the standing acceptance of a revision."""
        return next(
            (a for a in reversed(self.acceptances) if a.revision == ulid and not self._is_withdrawn(a.id)), None
        )

    def withdrawal_of(self, ulid: str) -> decisions.Withdrawal | None:
        """Return the newest withdrawal that touches a revision, where nothing was released or accepted since."""
        last = next((w for w in reversed(self.withdrawals) if w.revision == ulid), None)
        standing = self.release_of(ulid) if last and last.what == "release" else self.acceptance_of(ulid)
        return last if last and standing is None else None

    @property
    def printable(self) -> design.Revision | None:
        """The newest revision that is released and accepted: the one to print when nobody says otherwise."""
        standing = [r for r in self.revisions if self.release_of(r.id) and self.acceptance_of(r.id)]
        return next((r for r in reversed(standing) if not self.is_set_aside(r)), None)

    @property
    def newest(self) -> design.Revision | None:
        """The revision recorded last that was not set aside."""
        return next((r for r in reversed(self.revisions) if not self.is_set_aside(r)), None)

    def standing_holds(self, revision: str | None) -> tuple[decisions.Hold, ...]:
        """Return the holds on the part, and on this revision of it, that nobody lifted."""
        lifted = {lift.hold for lift in self.lifts}
        return tuple(h for h in self.holds if h.id not in lifted and h.target.revision in {None, revision})

    def settings_called(self, number: str) -> tuple[Settings, ...]:
        """Return the settings with this number; more than one is a clash."""
        return tuple(settings for settings in self.settings if settings.number == number)

    def settings_with(self, ulid: str) -> Settings | None:
        """Return the settings with this ULID."""
        return next((settings for settings in self.settings if settings.id == ulid), None)


AnyRecord = TypeVar("AnyRecord", bound=Record)


def of_kind(kind: type[AnyRecord], records: Iterable[Record]) -> tuple[AnyRecord, ...]:
    """Return the records of one kind, in the order given."""
    return tuple(record for record in records if isinstance(record, kind))


def in_order(records: Iterable[Record]) -> tuple[Record, ...]:
    """Order records by when they were written, their own id breaking ties."""
    return tuple(sorted(records, key=lambda record: (record.at, str(getattr(record, "id", "")))))


def fold(records: Iterable[Record]) -> PartHistory:
    """Fold the records of one part.

    Raises:
        ValueError: There is no part card among them.
    """
    ordered = in_order(records)
    cards = of_kind(Part, ordered)
    if not cards:
        raise ValueError("no part card among the records")
    changes = of_kind(design.ChangedRevision, ordered)
    return PartHistory(
        card=cards[-1],
        receipts=of_kind(design.Receipt, ordered),
        revisions=of_kind(design.Revision, ordered),
        measured={m.revision: m.shape for m in of_kind(design.MeasuredRevision, ordered)},
        changes={change.revision: change.shape for change in changes},
        changed_since={change.revision: change.since for change in changes},
        requirements={r.revision: r for r in of_kind(design.Requirements, ordered)},
        answers=of_kind(decisions.LabelAnswer, ordered),
        settings=of_kind(Settings, ordered),
        releases=of_kind(decisions.Release, ordered),
        acceptances=of_kind(decisions.Acceptance, ordered),
        withdrawals=of_kind(decisions.Withdrawal, ordered),
        holds=of_kind(decisions.Hold, ordered),
        lifts=of_kind(decisions.Lift, ordered),
        moves=of_kind(decisions.StageMove, ordered),
        carry_overs=of_kind(decisions.CarryOver, ordered),
        concessions=of_kind(decisions.Concession, ordered),
        permits=of_kind(decisions.Permit, ordered),
        proofs=of_kind(Proof, ordered),
    )
