"""From typed words to values of the model, where a command takes more than plain texts and numbers."""

import json
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Any, TypeVar, get_args

from pydantic import BaseModel, ValidationError

from vault.actions.blending import PutIn
from vault.actions.context import Vault
from vault.actions.deciding import Recorded
from vault.actions.lots import Pieces, start_lot, start_trial_lot
from vault.cli.fields import value_for
from vault.cli.parts import revision_named
from vault.cli.values import WitnessTyped
from vault.errors import BadInput, WrongUsage
from vault.model.design import RequirementChange
from vault.model.floor import Lot, PowderTest, Witness
from vault.model.ids import is_allotted, parse_allotted
from vault.model.orders import CallOff, Clause
from vault.records.codec import make, sentence_of

AnyModel = TypeVar("AnyModel", bound=BaseModel)


def requirement_change(kind: str, words: str) -> RequirementChange:
    """Return a change of a requirement; "limit tightened [4]" names its characteristic. Raises BadInput."""
    what, bracket, rest = kind.partition("[")
    characteristic = rest.rstrip("] ") if bracket else None
    _known(RequirementChange, "what", what.strip(), "--change")
    return make(RequirementChange, what=what.strip(), characteristic=characteristic, words=words)


def clause(about: str, words: str) -> Clause:
    """Return a quality clause. Raises BadInput where it is about nothing known."""
    _known(Clause, "about", about, "--clause")
    return make(Clause, about=about, words=words)


def call_offs(quantity: int, due: date | None, calls: Sequence[tuple[date, int]] | None) -> tuple[CallOff, ...]:
    """Return the schedule of an order: all of it on one day, or by call-offs that add up. Raises BadInput."""
    if not calls:
        if due is None:
            raise BadInput("when is it due? Type --due DATE, or --call-off DATE:QUANTITY for each delivery")
        return (make(CallOff, due=due, quantity=quantity),)
    total = sum(pieces for _, pieces in calls)
    if total != quantity:
        raise BadInput(f"the call-offs add up to {total} pieces, --qty says {quantity}")
    return tuple(make(CallOff, due=day, quantity=pieces) for day, pieces in sorted(calls))


def powder_test(pairs: Sequence[tuple[str, str]] | None) -> tuple[PowderTest, ...]:
    """Return a dated test of a powder from its fields. Raises BadInput."""
    if not pairs:
        return ()
    fields = {name: value_for(PowderTest, name, text) for name, text in pairs}
    return (_from_json(PowderTest, fields),)


def witness(typed: WitnessTyped) -> Witness:
    """Return a witness piece with its results. Raises BadInput."""
    results = {name: value_for(Witness, name, text) for name, text in typed.results}
    return _from_json(Witness, {"name": typed.name, **results})


def _from_json(model: type[AnyModel], fields: dict[str, Any]) -> AnyModel:
    try:
        return model.model_validate_json(json.dumps(fields))
    except ValidationError as error:
        raise BadInput(sentence_of(error, model.__name__)) from None


def _known(model: type[BaseModel], field: str, word: str, option: str) -> None:
    choices = get_args(model.model_fields[field].annotation)
    if word not in choices:
        raise BadInput(f"{option}: {word!r} is none of {', '.join(choices)}")


def put_in(
    powder: Sequence[tuple[str, float]] | None,
    older: Sequence[tuple[str, float]] | None,
    certificates: Sequence[tuple[str, Path]] | None,
) -> tuple[PutIn, ...]:
    """Return what went into a blend. Raises BadInput where a certificate is of a lot that did not."""
    certified = dict(certificates or ())
    strangers = set(certified) - {lot for lot, _ in powder or ()}
    if strangers:
        raise BadInput(f"a certificate is given for {min(strangers)}, which did not go in with --powder")
    new = [PutIn(kg, supplier_lot=lot, certificate=certified.get(lot)) for lot, kg in powder or ()]
    return (*new, *(PutIn(kg, blend=blend) for blend, kg in older or ()))


def started_lot(vault: Vault, what: str, pieces: Pieces, settings: str | None, as_in_production: bool) -> Recorded[Lot]:
    """Start a lot from a package's id, or a trial lot of PART@REV. Raises as the actions do."""
    if is_allotted(what):
        if settings is not None:
            raise WrongUsage(f"{what} names its settings itself; --settings is for a trial lot of PART@REV")
        return start_lot(vault, str(parse_allotted(what)), pieces, as_in_production)
    part, label = revision_named(what)
    if settings is None:
        raise WrongUsage(f"a trial lot of {what} needs its settings; type --settings NUMBER, such as S2")
    return start_trial_lot(vault, part, label, settings, pieces, as_in_production)
