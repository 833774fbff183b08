"""Pieces that do not conform, and what the design authority lets the shop do: nonconformances, concessions, permits."""

from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from vault.cli.options import AsJson, LotId, PartName, RevisionOf, argument, count, day, file, flag, one_of, words
from vault.cli.parts import revision_named
from vault.cli.recorded import tell_recorded
from vault.cli.session import reading, writing
from vault.cli.show import put
from vault.model.words import Disposition

commands = typer.Typer()
nonconformance = typer.Typer(no_args_is_help=True, help="Pieces that are not as required, and what is decided.")
concession = typer.Typer(no_args_is_help=True, help="What the design authority allows after making.")
permit = typer.Typer(no_args_is_help=True, help="What the design authority allows before making.")
commands.add_typer(nonconformance, name="nonconformance")
commands.add_typer(concession, name="concession")
commands.add_typer(permit, name="permit")

Texts = list[str] | None
Evidence = Annotated[Path, file("--evidence", "Where it is written.")]
Reference = Annotated[str, words("--reference", "The customer's reference.")]
GrantedBy = Annotated[str, words("--granted-by", "Who at the customer granted it.", "NAME")]
Meaning = Annotated[str, words("--words", "What it allows.")]
GrantedOn = Annotated[date | None, day("--on", "When it was granted; else today.")]
Affected = Annotated[Texts, words("--characteristic", "A characteristic that it is about. Repeatable.", "NUMBER")]
Pieces = Annotated[int | None, count("--quantity", "For so many pieces.")]
Until = Annotated[date | None, day("--until", "Until this day.")]


@nonconformance.command("add")
def add_nonconformance(
    ctx: typer.Context,
    lot: LotId,
    pieces: Annotated[int, count("--count", "How many pieces.")],
    said: Annotated[str, words("--words", "What is wrong with them.")],
    found_at: Annotated[str, words("--found-at", "Where it was found: the operation, or the customer.")],
    characteristic: Annotated[str | None, words("--characteristic", "Which requirement.", "NUMBER")] = None,
    found_by: Annotated[str | None, words("--found-by", "By whom; else who is asking.", "HANDLE")] = None,
    evidence: Annotated[Path | None, file("--evidence", "A picture, a report.")] = None,
) -> None:
    """Record pieces that do not conform.

    The lot is held until every piece is decided.

    Example:  partstead nonconformance add L-26A0118 --count 2 --words "bore 0.1 mm small" --found-at inspection
    """
    from vault.actions.nonconforming import NewNonconformance
    from vault.actions.nonconforming import add_nonconformance as record_found

    vault = writing(ctx)
    new = NewNonconformance(lot, pieces, said, found_at, characteristic, found_by, evidence)
    tell_recorded(vault, record_found(vault, new))


@nonconformance.command("decide")
def decide_nonconformance(
    ctx: typer.Context,
    which: Annotated[str, argument("NUMBER", "The nonconformance, such as N-26A0003.")],
    decision: Annotated[Disposition, one_of("--decision", "What is done with them.")],
    pieces: Annotated[int, count("--count", "For how many pieces.")],
    concession: Annotated[str | None, words("--concession", "The customer's concession: its reference.")] = None,
    reinspected: Annotated[bool, flag("--reinspected", "Reworked pieces were inspected again.")] = False,
    unusable_by: Annotated[str | None, words("--made-unusable-by", "Who made scrap unusable.", "HANDLE")] = None,
    cause: Annotated[str | None, words("--cause", "Why it happened.")] = None,
    action: Annotated[str | None, words("--action", "What is done so that it does not happen again.")] = None,
) -> None:
    """Decide about pieces that do not conform; quality does.

    Example:  partstead nonconformance decide N-26A0003 --decision scrap --count 2 --made-unusable-by cleo
    """
    from vault.actions.nonconforming import Decision
    from vault.actions.nonconforming import decide_nonconformance as record_decision

    vault = writing(ctx)
    decided = Decision(decision, pieces, concession, reinspected, unusable_by, cause, action)
    history = record_decision(vault, which, decided)
    tell_recorded(vault, history.nonconformance, history.decisions[-1])


@nonconformance.command("list")
def list_nonconformances(
    ctx: typer.Context,
    part: Annotated[str | None, words("--part", "Of one part only.", "PART")] = None,
    lot: Annotated[str | None, words("--lot", "Of one lot only.", "LOT")] = None,
    only_open: Annotated[bool, flag("--open", "Only those with undecided pieces.")] = False,
    as_json: AsJson = False,
) -> None:
    """List nonconformances, oldest first.

    Example:  partstead nonconformance list --open
    """
    from vault.cli.views.floor import nonconformances_shown

    put(nonconformances_shown(reading(ctx), part, lot, only_open), as_json)


@concession.command("add")
def add_concession(
    ctx: typer.Context,
    what: RevisionOf,
    lot: Annotated[list[str], words("--lot", "A lot whose pieces may be used. Repeatable.", "LOT")],
    reference: Reference,
    granted_by: GrantedBy,
    said: Meaning,
    evidence: Evidence,
    on: GrantedOn = None,
    characteristic: Affected = None,
    quantity: Pieces = None,
    until: Until = None,
) -> None:
    """Record leave to use pieces that do not conform.

    The design authority grants it: for so many pieces, or until a day.

    Example:  partstead concession add BRK-204@C --lot L-26A0118 --reference NF-C-12 --granted-by "A. Lund"
    --words "bore 29.85 accepted" --evidence mail.eml --quantity 2
    """
    from vault.actions.permitting import NewPermission
    from vault.actions.permitting import add_concession as record_concession

    vault = writing(ctx)
    granted = on or vault.today
    new = NewPermission(reference, granted_by, granted, said, evidence, tuple(characteristic or ()), quantity, until)
    tell_recorded(vault, record_concession(vault, *revision_named(what), tuple(lot), new))


@permit.command("add")
def add_permit(
    ctx: typer.Context,
    what: RevisionOf,
    reference: Reference,
    granted_by: GrantedBy,
    said: Meaning,
    evidence: Evidence,
    on: GrantedOn = None,
    characteristic: Affected = None,
    quantity: Pieces = None,
    until: Until = None,
    settings: Annotated[str | None, words("--settings", "With these settings only.", "NUMBER")] = None,
    lot: Annotated[Texts, words("--lot", "A lot that it is meant for. Repeatable.", "LOT")] = None,
) -> None:
    """Record leave to depart from a requirement.

    The design authority grants it before making: for so many pieces, or until a day.

    Example:  partstead permit add BRK-204@C --reference NF-P-3 --granted-by "A. Lund" --words "without marking"
    --evidence mail.eml --until 2026-12-31
    """
    from vault.actions.permitting import NewPermission
    from vault.actions.permitting import add_permit as record_permit

    vault = writing(ctx)
    granted = on or vault.today
    new = NewPermission(reference, granted_by, granted, said, evidence, tuple(characteristic or ()), quantity, until)
    recorded = record_permit(vault, *revision_named(what), new, settings, tuple(lot or ()))
    tell_recorded(vault, recorded.entry, findings=recorded.findings)


@concession.command("list")
def list_concessions(ctx: typer.Context, part: PartName, as_json: AsJson = False) -> None:
    """List the concessions of a part.

    Example:  partstead concession list BRK-204
    """
    from vault.cli.views.floor import permissions_shown

    put(permissions_shown(reading(ctx), part, "concessions"), as_json)


@permit.command("list")
def list_permits(ctx: typer.Context, part: PartName, as_json: AsJson = False) -> None:
    """List the permits of a part.

    Example:  partstead permit list BRK-204
    """
    from vault.cli.views.floor import permissions_shown

    put(permissions_shown(reading(ctx), part, "permits"), as_json)
