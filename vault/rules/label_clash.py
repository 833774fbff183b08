"""Do the files that came under one label agree on one design, or must the customer say which of them it is?"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from vault.model.design import KeptFile, Receipt, Revision
from vault.model.words import FileRole


@dataclass(frozen=True)
class _Claim:
    """Designs that came together under the label: one shape may come in several formats."""

    designs: frozenset[str]
    since: datetime


def last_doubt(revisions: Sequence[Revision], receipts: Sequence[Receipt]) -> datetime | None:
    """Return when the label last got another design than before; None where all that came agrees.

    What is given has the label already. A receipt agrees with a revision where the revision's design is among its
    files, and with another receipt where they share a design. Two revisions with two designs never agree.
    """
    recorded = {revision.design.sha256: revision.at for revision in revisions}
    apart = _joined((*_of_revisions(revisions), *_of_receipts(receipts)))
    moments = [claim.since for claim in apart] if len(apart) > 1 else []
    moments += recorded.values() if len(recorded) > 1 else ()
    return max(moments, default=None)


def _of_revisions(revisions: Iterable[Revision]) -> Iterator[_Claim]:
    for revision in revisions:
        yield _Claim(frozenset({revision.design.sha256}), revision.at)


def _of_receipts(receipts: Iterable[Receipt]) -> Iterator[_Claim]:
    for receipt in receipts:
        designs = frozenset(kept.sha256 for kept in receipt.files if _is_design(kept))
        if designs:
            yield _Claim(designs, receipt.at)


def _is_design(kept: KeptFile) -> bool:
    return kept.role is FileRole.DESIGN


def _joined(claims: Iterable[_Claim]) -> list[_Claim]:
    """Join the claims that share a design; each joined claim stands since the first of its own."""
    apart: list[_Claim] = []
    for claim in claims:
        alike = [other for other in apart if other.designs & claim.designs]
        apart = [other for other in apart if not other.designs & claim.designs]
        designs = claim.designs.union(*(other.designs for other in alike))
        apart.append(_Claim(designs, min([claim.since, *(other.since for other in alike)])))
    return apart
