"""From anything on the floor to everything that touches it: back to powder and furnaces, on to customers and shelves.

A bad furnace load, powder blend or gauge is answered by one question: which pieces, where are they now, who has them?
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field

from vault import units
from vault.actions.context import Vault
from vault.actions.identifying import identify
from vault.actions.places import Places
from vault.actions.reading import Reader
from vault.model import floor, orders, packaging
from vault.model.base import Record
from vault.model.cards import Customer
from vault.model.evidence import EscapeNotice, Measurement, Nonconformance
from vault.model.ids import Thing
from vault.records.paths import path_of, record_of_id
from vault.records.references import own_name, references
from vault.rules.naming import line_of

SUPPLIER_LOT, BINDER_LOT, SUPPLIER = "supplier's lot", "binder lot", "supplier"


@dataclass(frozen=True)
class TraceTree:
    """One thing and what hangs on it. `again` marks a thing whose branches stand elsewhere in the same tree."""

    thing: str
    id: str
    words: str
    children: tuple["TraceTree", ...] = ()
    again: bool = False


@dataclass(frozen=True)
class NotShipped:
    """Good or unfinished pieces of a lot that are still in the shop."""

    lot: str
    pieces: int
    words: str


@dataclass(frozen=True)
class Trace:
    """A thing traced both ways, and the short answer to where its pieces are."""

    onward: TraceTree
    back: TraceTree
    lots: tuple[str, ...]
    deliveries: tuple[str, ...]
    customers: tuple[str, ...]
    not_shipped: tuple[NotShipped, ...]


Named = tuple[str, str]
Next = Callable[[Record], Iterable[Record | Named]]

_ONWARD: dict[Thing, tuple[type[Record], ...]] = {
    Thing.MATERIAL: (floor.Blend,),
    Thing.BLEND: (floor.Blend, floor.BoxRun, floor.Lot),
    Thing.MACHINE: (floor.BoxRun,),
    Thing.BOX_RUN: (floor.Lot,),
    Thing.FURNACE: (floor.FurnaceLoad,),
    Thing.LOAD: (floor.LotOperation,),
    Thing.GAUGE: (Measurement,),
    Thing.PART: (orders.Order, floor.Lot),
    Thing.REVISION: (orders.Order, floor.Lot),
    Thing.SETTINGS: (floor.Lot,),
    Thing.CUSTOMER: (orders.Order,),
    Thing.ORDER: (packaging.Package, floor.Lot, orders.Delivery),
    Thing.PACKAGE: (floor.BoxRun, floor.Lot),
    Thing.LOT: (floor.Lot, Nonconformance, orders.Delivery),
    Thing.DELIVERY: (orders.Return, EscapeNotice),
}
"""What points at a thing and was made with it, of it or for it."""

_BACK: dict[str, tuple[Thing, ...]] = {
    "lot": (Thing.ORDER, Thing.PACKAGE, Thing.LOT, Thing.BOX_RUN, Thing.BLEND, Thing.REVISION, Thing.SETTINGS),
    "box-run": (Thing.MACHINE, Thing.BLEND),
    "load": (Thing.FURNACE,),
    "blend": (Thing.BLEND, Thing.MATERIAL),
    "order": (Thing.CUSTOMER, Thing.PART),
    "package": (Thing.ORDER,),
    "delivery": (Thing.ORDER, Thing.LOT),
    "return": (Thing.DELIVERY,),
    "escape": (Thing.DELIVERY,),
    "nonconformance": (Thing.LOT,),
    "revision": (Thing.PART,),
    "settings": (Thing.PART,),
}
"""What a thing points at and was made with, of or for."""


def trace(vault: Vault, what: str) -> Trace:
    """Trace an id, a card, a part or PART@REVISION, a supplier's or binder lot, or an outside supplier, both ways.

    Raises:
        NotFound: Nothing is called so.
    """
    reader = Reader(vault.store.at(), vault.index)
    walk = _Walk(reader)
    root = _supplied(reader, what.strip()) or identify(vault, reader, what).record
    onward, back = walk.tree(root, walk.onward), walk.tree(root, walk.back)
    lots = tuple(dict.fromkeys(_ids(onward, Thing.LOT)))
    return Trace(
        onward=onward,
        back=back,
        lots=lots,
        deliveries=tuple(dict.fromkeys(_ids(onward, Thing.DELIVERY))),
        customers=tuple(dict.fromkeys(_ids(onward, Thing.CUSTOMER))),
        not_shipped=tuple(left for lot in lots if (left := _not_shipped(reader, lot)) is not None),
    )


def _supplied(reader: Reader, text: str) -> Named | None:
    """Return what a supplier calls it, where powder, binder or an outside operation is recorded under that name."""
    wanted = text.casefold()
    for kind, names_of in _SUPPLIED.items():
        for record in reader.all_of(kind):
            for named in names_of(record):
                if named[1].casefold() == wanted:
                    return named
    return None


def _powder(record: Record) -> list[Named]:
    parents = record.parents if isinstance(record, floor.Blend) else ()
    return [(SUPPLIER_LOT, parent.supplier_lot) for parent in parents if parent.supplier_lot is not None]


def _binder(record: Record) -> list[Named]:
    return [(BINDER_LOT, record.binder.lot)] if isinstance(record, floor.BoxRun) else []


def _outside(record: Record) -> list[Named]:
    return [(SUPPLIER, record.supplier)] if isinstance(record, floor.LotOperation) and record.supplier else []


_SUPPLIED: dict[type[Record], Callable[[Record], list[Named]]] = {
    floor.Blend: _powder,
    floor.BoxRun: _binder,
    floor.LotOperation: _outside,
}


@dataclass
class _Walk:
    """Walks from record to record. Each thing branches once, so a circle ends and a wide tree stays readable."""

    reader: Reader
    _places: Places = field(init=False)

    def __post_init__(self) -> None:
        self._places = Places(self.reader.snapshot)

    def tree(self, root: Record | Named, following: Next) -> TraceTree:
        return self._branch(root, following, set())

    def _branch(self, here: Record | Named, following: Next, seen: set[Named]) -> TraceTree:
        if isinstance(here, tuple):
            name, words = here, f"{here[0]} {here[1]}"
        else:
            name, words = self._name(here), line_of(here, self._places.labels(path_of(here)))
        if name in seen:
            return TraceTree(*name, words, again=True)
        is_end = isinstance(here, Customer) and bool(seen)  # a delivery ends there; their other orders are not meant
        seen.add(name)
        children = () if is_end else self._children(here, following)
        return TraceTree(*name, words, tuple(self._branch(child, following, seen) for child in children))

    def _children(self, here: Record | Named, following: Next) -> Iterable[Record | Named]:
        if not isinstance(here, tuple):
            return following(here)
        return self._supplied_with(here) if following == self.onward else ()

    @staticmethod
    def _name(record: Record) -> Named:
        own = own_name(record)
        return (own[0].value, own[1]) if own is not None else (record.KIND, path_of(record))

    def onward(self, record: Record) -> Iterator[Record]:
        """Yield what was made with, of or for this."""
        if isinstance(record, floor.LotOperation | Measurement):
            yield self._lot(record.lot)  # the operation or measurement itself is only the way to the lot
            return
        if isinstance(record, floor.FurnaceLoad):
            yield from (self._lot(placed.lot) for placed in record.placed if self._is_recorded(placed.lot))
        thing, name = own_name(record) or (Thing.ENTRY, "")
        for kind in _ONWARD.get(thing, ()):
            for found in self.reader.referring(thing, name, kind):
                yield from self.onward(found) if isinstance(found, floor.LotOperation) else (found,)
        if isinstance(record, orders.Delivery):
            yield self.reader.customer(self.reader.order(record.order).order.customer)

    def back(self, record: Record) -> Iterator[Record | Named]:
        """Yield what this was made with, of or for."""
        wanted = _BACK.get(record.KIND, ())
        for reference in references(record):
            if reference.thing in wanted and reference.field != "by":
                found = self.reader.located(reference.thing, reference.name)
                if found is not None:
                    yield found
        if isinstance(record, floor.Lot):
            for load in self.reader.lot(record.id).loads:
                yield self.reader.load(load)
            yield from (named for operation in self.reader.lot(record.id).operations for named in _outside(operation))
        yield from (*_powder(record), *_binder(record))

    def _supplied_with(self, named: Named) -> Iterator[Record]:
        for kind, names_of in _SUPPLIED.items():
            for record in self.reader.all_of(kind):
                if named in names_of(record):
                    yield from self.onward(record) if isinstance(record, floor.LotOperation) else (record,)

    def _lot(self, lot_id: str) -> floor.Lot:
        return self.reader.record(record_of_id(lot_id), floor.Lot, lot_id)

    def _is_recorded(self, lot_id: str) -> bool:
        return self.reader.snapshot.exists(record_of_id(lot_id))


def _ids(tree: TraceTree, thing: Thing) -> Iterator[str]:
    if tree.thing == thing:
        yield tree.id
    for child in tree.children:
        yield from _ids(child, thing)


def _not_shipped(reader: Reader, lot_id: str) -> NotShipped | None:
    """Return the pieces of a lot that are still here; none where they went on in other lots or all were shipped."""
    lot = reader.lot(lot_id)
    if lot.has_ended:
        return None
    pieces = lot.in_the_shop
    if pieces <= 0:
        return None
    state = "good, not shipped" if lot.finish is not None else "not finished"
    held = "; on hold" if lot.standing_holds else ""
    return NotShipped(lot_id, pieces, f"{units.pieces(pieces)} of lot {lot_id} {state}{held}")
