"""Splitting a lot into children, and merging lots that share everything into one."""

from collections.abc import Sequence

from vault import units
from vault.actions.context import Vault
from vault.actions.deciding import write_result
from vault.actions.reading import Reader
from vault.actions.upstream import holds_over_lot
from vault.actions.writing import Draft, record_of
from vault.errors import BadInput, Refused
from vault.model.floor import Lot, LotMerge, LotSplit
from vault.model.ids import AllottedId, Thing, parse_allotted
from vault.rules.lots import LotHistory, reasons_against_merge
from vault.rules.permissions import Verb

_DEEPEST = 6  # as deep as an id can be written


def split_lot(
    vault: Vault, lot_id: str, counts: Sequence[int], reason: str, serials: Sequence[Sequence[str]] = ()
) -> tuple[AllottedId, ...]:
    """Split a lot into children L-.../1, L-.../2 and return their ids. Children of a lot on hold are held with it.

    Raises:
        NotFound: There is no such lot.
        BadInput: The counts do not add up to the pieces there are, or the serials do not fit the counts.
        Refused: The lot has ended already, or a nonconformance on it is undecided.
    """
    if len(counts) < 2:
        raise BadInput(f"lot {lot_id} is split into two or more; {len(counts)} counts are given")

    def decide(reader: Reader, draft: Draft) -> tuple[str, tuple[AllottedId, ...]]:
        # gather
        history = reader.lot(lot_id)
        # decide
        _refuse_ended(history)
        _refuse_undecided(reader, history)
        if sum(counts) != history.usable_now:
            raise BadInput(
                f"lot {lot_id} has {units.pieces(history.usable_now)}; {' + '.join(map(str, counts))} is {sum(counts)}"
            )
        shares = _shares(history.lot, counts, serials)
        own = parse_allotted(lot_id)
        if len(own.pieces) >= _DEEPEST:
            raise Refused(f"lot {lot_id} was split {_DEEPEST} times already; merge or finish it")
        # write
        children = tuple(AllottedId(f"{history.lot.id}/{place}") for place in range(1, len(counts) + 1))
        for child, count, share in zip(children, counts, shares, strict=True):
            draft.add(_child(draft, (history.lot,), child, count, share))
        draft.add(record_of(draft, LotSplit, id=draft.new_ulid(), lot=history.lot.id, children=children, reason=reason))
        return f"Lot {history.lot.id} split into {', '.join(children)}: {reason}", children

    return write_result(vault, Verb.FLOOR, decide)


def merge_lots(vault: Vault, lot_ids: Sequence[str], reason: str) -> AllottedId:
    """Merge lots into one new lot and return its id.

    Raises:
        NotFound: A lot is not recorded.
        BadInput: Fewer than two lots, or one of them twice.
        Refused: They differ in revision, settings, powder blend or furnace loads; or one has ended or is on hold.
    """
    if len(set(lot_ids)) != len(lot_ids) or len(lot_ids) < 2:
        raise BadInput("merging takes two or more different lots")

    def decide(reader: Reader, draft: Draft) -> tuple[str, AllottedId]:
        # gather
        histories = tuple(reader.lot(lot_id) for lot_id in lot_ids)
        held = [name for lot_id in lot_ids for name, _ in holds_over_lot(reader, lot_id)]
        # decide
        for history in histories:
            _refuse_ended(history)
            _refuse_undecided(reader, history)
        reasons = [*reasons_against_merge(histories), *(f"{name} is on hold" for name in dict.fromkeys(held))]
        if reasons:
            raise Refused("these lots may not be merged:\n" + "\n".join(f"  {each}" for each in reasons))
        # write
        lots = tuple(history.lot for history in histories)
        into = draft.allot(Thing.LOT)
        serials = tuple(serial for lot in lots for serial in lot.serials)
        draft.add(_child(draft, lots, into, sum(history.usable_now for history in histories), serials))
        for lot in lots:
            draft.add(record_of(draft, LotMerge, id=draft.new_ulid(), lot=lot.id, into=into, reason=reason))
        return f"Lots {', '.join(lot.id for lot in lots)} merged into {into}: {reason}", into

    return write_result(vault, Verb.FLOOR, decide)


def _refuse_ended(history: LotHistory) -> None:
    if history.has_ended or history.finish is not None:
        how = "was split" if history.split else "was merged" if history.merge else "is finished"
        raise Refused(f"lot {history.lot.id} {how}; its pieces go on elsewhere")


def _refuse_undecided(reader: Reader, history: LotHistory) -> None:
    """Pieces that are decided about first are counted in one place; afterwards nobody knows which child they are in."""
    undecided = [found.id for found in history.found if reader.nonconformance(found.id).is_open]
    if undecided:
        raise Refused(
            f"lot {history.lot.id}: {', '.join(undecided)} is undecided; decide about its pieces first: "
            f"`partstead nonconformance decide {undecided[0]} --decision DECISION --count N`"
        )


def _shares(lot: Lot, counts: Sequence[int], serials: Sequence[Sequence[str]]) -> tuple[tuple[str, ...], ...]:
    """Return which serials go into which child."""
    if not lot.serials:
        if serials:
            raise BadInput(f"lot {lot.id} has no serials to share out")
        return tuple(() for _ in counts)
    if [len(share) for share in serials] != list(counts):
        raise BadInput(f"lot {lot.id} has serials: name those of each child, as many as its count")
    shared = [serial for share in serials for serial in share]
    strangers = sorted(set(shared) - set(lot.serials))
    if strangers or len(set(shared)) != len(shared):
        raise BadInput(
            f"the serials of the children are not those of lot {lot.id}: {', '.join(strangers) or 'one twice'}"
        )
    return tuple(tuple(share) for share in serials)


def _child(draft: Draft, lots: Sequence[Lot], lot_id: AllottedId, count: int, serials: tuple[str, ...]) -> Lot:
    """Return a lot with what all its parents share. An order or package that they do not share is left open."""
    first = lots[0]
    return record_of(
        draft,
        Lot,
        id=lot_id,
        part=first.part,
        revision=first.revision,
        settings=first.settings,
        order=first.order if len({lot.order for lot in lots}) == 1 else None,
        package=first.package if len({lot.package for lot in lots}) == 1 else None,
        blends=first.blends,
        box_runs=tuple(dict.fromkeys(run for lot in lots for run in lot.box_runs)),
        count=count,
        serials=serials if len(serials) == count else (),
        parents=tuple(lot.id for lot in lots),
        production_representative=all(lot.production_representative for lot in lots),
    )
