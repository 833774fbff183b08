"""Starting lots: from an order's package, or a trial lot from settings alone."""

from dataclasses import dataclass

from vault.actions.acceptance_now import acceptance_scope
from vault.actions.box_runs import finish_of
from vault.actions.context import Vault
from vault.actions.deciding import Recorded, agreed, write_result
from vault.actions.finding import resolve_part, resolve_revision
from vault.actions.packages_now import package_now
from vault.actions.reading import Reader
from vault.actions.settings import settings_called
from vault.actions.upstream import holds_over_blends, holds_over_part, holds_over_run
from vault.actions.writing import Draft, record_of
from vault.errors import NotFound
from vault.model.floor import Lot
from vault.model.ids import Thing
from vault.model.packaging import Package
from vault.model.settings import Settings
from vault.rules.lot_start import LotFacts, lot_findings
from vault.rules.permissions import Verb


@dataclass(frozen=True)
class Pieces:
    """The pieces that a lot starts with, and what they were printed from."""

    count: int
    blends: tuple[str, ...]
    box_runs: tuple[str, ...] = ()
    serials: tuple[str, ...] = ()


def start_lot(vault: Vault, package_id: str, pieces: Pieces, production_representative: bool = True) -> Recorded[Lot]:
    """Start a lot from a reprint package. Asks again whether the package is still what should be printed.

    Raises:
        NotFound: The package, a blend or a box run is not recorded.
        Refused: The package is superseded, void or out of date; the part, powder or a box run is on hold; the powder
            is of another grade; more pieces than the package is for, or the order more than the acceptance covers;
            serials are missing.
    """

    def decide(reader: Reader, draft: Draft) -> tuple[str, Recorded[Lot]]:
        # gather
        now = package_now(reader, package_id, vault.today)
        package = now.package
        settings = reader.part(package.part).settings_with(package.settings)
        if settings is None:
            raise NotFound(f"the settings of package {package_id} are not recorded; run `partstead check`")
        facts = _facts(reader, settings, package.revision, pieces, package)
        scope = acceptance_scope(vault, reader, reader.order(package.order).order)
        # decide
        findings = agreed(f"No lot from package {package.id}:", (*now.findings, *scope, *lot_findings(facts)))
        # write
        lot = _lot(draft, settings, package.revision, pieces, package, production_representative)
        draft.add(lot)
        return f"Lot {lot.id} started from {package.id}: {lot.count} pieces of {lot.part}", Recorded(lot, findings)

    return write_result(vault, Verb.FLOOR, decide)


def start_trial_lot(
    vault: Vault, part: str, label: str, settings_number: str, pieces: Pieces, as_in_production: bool = False
) -> Recorded[Lot]:
    """Start a lot without an order: development pieces, or pieces made exactly as in production to prove settings.

    Only the second kind counts as a production run; what is good of it may be shipped once the revision is ready.

    Raises:
        NotFound: The revision, the settings, a blend or a box run is not recorded.
        Refused: The part, powder or a box run is on hold, or the powder is of another grade.
    """

    def decide(reader: Reader, draft: Draft) -> tuple[str, Recorded[Lot]]:
        # gather
        history = reader.part(resolve_part(vault, reader, part))
        revision = resolve_revision(history, label)
        settings = settings_called(history, settings_number)
        facts = _facts(reader, settings, revision.id, pieces, None)
        # decide
        findings = agreed(f"No trial lot of {history.card.number}:", lot_findings(facts))
        # write
        lot = _lot(draft, settings, revision.id, pieces, None, production_representative=as_in_production)
        draft.add(lot)
        return f"Trial lot {lot.id} started: {lot.count} pieces of {lot.part}", Recorded(lot, findings)

    return write_result(vault, Verb.FLOOR, decide)


def _facts(reader: Reader, settings: Settings, revision: str, pieces: Pieces, package: Package | None) -> LotFacts:
    holds = [*holds_over_part(reader, settings.part, revision), *holds_over_blends(reader, pieces.blends)]
    for run in pieces.box_runs:
        holds += holds_over_run(reader, run)
    lots = reader.referring(Thing.PACKAGE, package.id, Lot) if package else ()
    return LotFacts(
        settings=settings,
        count=pieces.count,
        serials=pieces.serials,
        blends=tuple(reader.blend(blend) for blend in pieces.blends),
        runs=tuple((reader.box_run(run), finish_of(reader, run)) for run in pieces.box_runs),
        holds=tuple(dict.fromkeys(holds)),
        package=package,
        order=reader.order(package.order).order if package else None,
        # Children of a split or merged lot are the same pieces again.
        started_before=sum(lot.count for lot in lots if not lot.parents),
    )


def _lot(
    draft: Draft,
    settings: Settings,
    revision: str,
    pieces: Pieces,
    package: Package | None,
    production_representative: bool,
) -> Lot:
    return record_of(
        draft,
        Lot,
        id=draft.allot(Thing.LOT),
        part=settings.part,
        revision=revision,
        settings=settings.id,
        order=package.order if package else None,
        package=package.id if package else None,
        blends=pieces.blends,
        box_runs=pieces.box_runs,
        count=pieces.count,
        serials=pieces.serials,
        production_representative=production_representative,
    )
