"""Putting a part, a revision, a lot, a blend, a load or a box run on hold, and lifting the hold."""

from vault.actions.context import Vault
from vault.actions.finding import resolve_part, resolve_revision
from vault.actions.reading import Reader, target_exists
from vault.actions.writing import Draft, record_of, write
from vault.errors import BadInput, NotFound, Refused
from vault.model.decisions import Hold, HoldTarget, Lift
from vault.model.ids import Thing, is_allotted, parse_allotted, parse_part_at
from vault.records.codec import make
from vault.rules.permissions import Verb

_FIELD_OF = {Thing.LOT: "lot", Thing.BLEND: "blend", Thing.LOAD: "load", Thing.BOX_RUN: "box_run"}


def target_of(vault: Vault, reader: Reader, text: str) -> HoldTarget:
    """Read what a person typed: PART, PART@REV, or the id of a lot, blend, load or box run.

    Raises:
        NotFound: It is not recorded.
        BadInput: It is of a kind that is not held.
    """
    if is_allotted(text):
        allotted = parse_allotted(text)
        if allotted.thing not in _FIELD_OF:
            raise BadInput(f"{text}: a {allotted.thing} is not held; hold its part or its lot")
        target = make(HoldTarget, **{_FIELD_OF[allotted.thing]: str(allotted)})
    else:
        named = parse_part_at(text)
        history = reader.part(resolve_part(vault, reader, named.part))
        revision = resolve_revision(history, named.revision) if named.revision else None
        target = make(HoldTarget, part=history.card.number, revision=revision.id if revision else None)
    if not target_exists(reader, target):
        raise NotFound(f"there is no {text}")
    return target


def hold(vault: Vault, what: str, reason: str) -> Hold:
    """Put something on hold: nothing is made of it or shipped from it. Raises NotFound."""
    made: list[Hold] = []

    def decide(reader: Reader, draft: Draft) -> str:
        target = target_of(vault, reader, what)
        made[:] = [record_of(draft, Hold, id=draft.new_ulid(), target=target, reason=reason)]
        draft.add(made[0])
        return f"{what} on hold: {reason}"

    write(vault, Verb.HOLD, decide)
    return made[0]


def lift(vault: Vault, what: str, reason: str) -> tuple[Lift, ...]:
    """Lift every standing hold on something. Raises Refused where nothing is held."""
    made: list[Lift] = []

    def decide(reader: Reader, draft: Draft) -> str:
        target = target_of(vault, reader, what)
        standing = [held for held in _standing(reader, target) if held.target == target]
        if not standing:
            raise Refused(f"{what} is not on hold")
        made[:] = [
            record_of(draft, Lift, id=draft.new_ulid(), target=target, hold=held.id, reason=reason) for held in standing
        ]
        for entry in made:
            draft.add(entry)
        return f"{what}: hold lifted: {reason}"

    write(vault, Verb.LIFT, decide)
    return tuple(made)


def _standing(reader: Reader, target: HoldTarget) -> tuple[Hold, ...]:
    if target.part is not None:
        return reader.part(target.part).standing_holds(target.revision)
    owner = target.lot or target.blend or target.load or target.box_run
    return reader.standing_holds_of(str(owner))
