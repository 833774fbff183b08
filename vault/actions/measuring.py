"""Recording measurements of a lot: readings from a table, densities by weighing, scans."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from vault import units
from vault.actions.context import Vault
from vault.actions.deciding import Recorded, agreed, write_result
from vault.actions.reading import Reader
from vault.actions.writing import Draft, keep_file, record_of
from vault.errors import BadInput, NotFound
from vault.interfaces import StoredFile
from vault.model.design import KeptFile, Requirements
from vault.model.evidence import DensityReading, Measurement, Reading
from vault.model.findings import Code, Finding
from vault.model.ids import Thing
from vault.model.words import FileRole, MeasuredIn, Role, SealState
from vault.process.archimedes import archimedes_density_g_cm3
from vault.records.codec import make
from vault.rules.finding import caution
from vault.rules.gauges import calibration_findings, use_findings
from vault.rules.lots import LotHistory
from vault.rules.permissions import Verb
from vault.rules.readings_table import Understood, template_csv, understand_csv

_IN_ONE_RECORD = 300
"""Readings in one entry: with the longest names they stay below the size that a record may have."""


@dataclass(frozen=True)
class Weighing:
    """A piece weighed in air and in water."""

    piece: str
    mass_in_air_g: float
    mass_in_water_g: float
    water_c: float
    pores: SealState


@dataclass(frozen=True)
class HowMeasured:
    """When, in which state and with what the readings were taken."""

    measured_in: MeasuredIn
    gauge: str | None = None
    measured_on: date | None = None  # today, where nobody says
    measured_by: str | None = None  # the person asking, where nobody is named


@dataclass(frozen=True)
class Measured:
    """The entries that were written, with what to know about them."""

    entries: tuple[Measurement, ...]
    findings: tuple[Finding, ...]


def requirements_of(reader: Reader, lot_id: str) -> Requirements:
    """Return what the drawing asks of a lot's revision. Raises NotFound where nobody recorded it."""
    lot = reader.lot(lot_id).lot
    history = reader.part(lot.part)
    found = history.requirements.get(lot.revision)
    if found is None:
        label = history.label_of(lot.revision)
        raise NotFound(
            f"the requirements of {lot.part} rev {label} are not recorded; record them with "
            f"`partstead requirements record {lot.part}@{label} FILE.csv`"
        )
    return found


def understand_table(vault: Vault, lot_id: str, table: Path) -> Understood:
    """Read an inspection table for a lot and say what was understood; nothing is written.

    Raises:
        NotFound: There is no such lot or file, or the requirements are not recorded.
        BadInput: The file is no text.
    """
    requirements = requirements_of(Reader(vault.store.at(), vault.index), lot_id)
    if not table.is_file():
        raise NotFound(f"there is no file {table}")
    try:
        text = table.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        raise BadInput(f"{table.name} is not text in UTF-8; save it from the spreadsheet as CSV UTF-8") from None
    return understand_csv(text, requirements)


def inspection_template(vault: Vault, lot_id: str) -> str:
    """Return an empty inspection table for a lot, by its serials or numbered pieces. Raises NotFound."""
    reader = Reader(vault.store.at(), vault.index)
    lot = reader.lot(lot_id)
    pieces = lot.lot.serials or tuple(str(place) for place in range(1, lot.pieces_now + 1))
    return template_csv(requirements_of(reader, lot_id), pieces)


def measure(
    vault: Vault,
    lot_id: str,
    understood: Understood | None,
    how: HowMeasured,
    weighings: Sequence[Weighing] = (),
    source: Path | None = None,
    scans: Sequence[Path] = (),
) -> Measured:
    """Record readings, densities and scans of a lot; many readings become several entries.

    Raises:
        NotFound: The lot, the gauge or the requirements are not recorded.
        BadInput: Something in the table was not understood; there is nothing to record; the day is in the future.
        Refused: The gauge was out of calibration on that day.
    """
    readings = _clean(understood)
    densities = tuple(_density(weighing) for weighing in weighings)
    day = _day(vault, lot_id, how)
    if not (readings or densities or scans):
        raise BadInput(f"lot {lot_id}: there is nothing to record")
    kept = [keep_file(vault, path, FileRole.SCAN) for path in scans]
    table = keep_file(vault, source, FileRole.EVIDENCE) if source else None

    def decide(reader: Reader, draft: Draft) -> tuple[str, Measured]:
        # gather
        lot = reader.lot(lot_id)
        gauge = reader.gauge(how.gauge) if how.gauge else None
        requirements = requirements_of(reader, lot_id) if readings else None
        # decide
        found = [*(use_findings(gauge, day) if gauge else ()), *_lot_findings(lot, readings, densities)]
        found += _state_findings(requirements, readings, how) if requirements else ()
        findings = agreed(f"These readings of lot {lot_id} are not recorded:", found)
        # write
        shared = _shared(draft, lot, how, day, table[0] if table else None)
        entries = tuple(_entries(draft, shared, readings, densities, tuple(named for named, _ in kept)))
        for entry in entries:
            draft.add(entry, _by_digest(kept, table))
        words = f"{len(readings)} readings, {len(densities)} densities, {len(kept)} scans"
        return f"Lot {lot_id} measured {how.measured_in}: {words}", Measured(entries, findings)

    return write_result(vault, Verb.MEASURE, decide)


def _day(vault: Vault, lot_id: str, how: HowMeasured) -> date:
    day = how.measured_on or vault.today
    if day > vault.today:
        raise BadInput(f"lot {lot_id}: {day} has not come yet; today is {vault.today}")
    return day


def _clean(understood: Understood | None) -> tuple[Reading, ...]:
    if understood is None:
        return ()
    if not understood.is_clean:
        listed = "\n".join(f"  {problem}" for problem in understood.problems[:20])
        more = f"\n  and {len(understood.problems) - 20} more" if len(understood.problems) > 20 else ""
        raise BadInput(f"the table is not recorded until this is mended:\n{listed}{more}")
    return understood.readings


def _density(weighing: Weighing) -> DensityReading:
    density = archimedes_density_g_cm3(weighing.mass_in_air_g, weighing.mass_in_water_g, weighing.water_c)
    return make(
        DensityReading,
        piece=weighing.piece,
        mass_in_air_g=weighing.mass_in_air_g,
        mass_in_water_g=weighing.mass_in_water_g,
        water_c=weighing.water_c,
        pores=weighing.pores,
        density_g_cm3=density,
    )


def _shared(draft: Draft, lot: LotHistory, how: HowMeasured, day: date, source: KeptFile | None) -> dict[str, object]:
    """Return the fields that every entry of one measuring has."""
    return {
        "lot": lot.lot.id,
        "measured_on": day,
        "measured_by": how.measured_by or draft.by,
        "measured_in": how.measured_in,
        "gauge": how.gauge,
        "source": source,
    }


def _entries(
    draft: Draft,
    shared: dict[str, object],
    readings: tuple[Reading, ...],
    densities: tuple[DensityReading, ...],
    scans: tuple[KeptFile, ...],
) -> Iterator[Measurement]:
    """Yield the entries: readings in handy portions, densities and scans with the first."""
    starts = range(0, max(len(readings), 1), _IN_ONE_RECORD)
    for start in starts:
        yield record_of(
            draft,
            Measurement,
            id=draft.new_ulid(),
            **shared,
            readings=readings[start : start + _IN_ONE_RECORD],
            densities=densities if start == 0 else (),
            scans=scans if start == 0 else (),
        )


def _by_digest(
    kept: Sequence[tuple[KeptFile, StoredFile]], table: tuple[KeptFile, StoredFile] | None
) -> dict[str, StoredFile]:
    return {named.sha256: stored for named, stored in (*kept, *([table] if table else []))}


def _lot_findings(
    lot: LotHistory, readings: Sequence[Reading], densities: Sequence[DensityReading]
) -> Iterator[Finding]:
    pieces = dict.fromkeys([reading.piece for reading in readings] + [density.piece for density in densities])
    if len(pieces) > lot.lot.count:
        words = f"{units.pieces(len(pieces))} were measured, lot {lot.lot.id} began with {lot.lot.count}"
        yield caution(Code.READING_UNLIKELY, words, Role.QUALITY)
    strangers = [piece for piece in pieces if lot.lot.serials and piece not in lot.lot.serials]
    if strangers:
        words = f"lot {lot.lot.id} has no piece with the serial {', '.join(strangers[:5])}"
        yield caution(Code.READING_UNLIKELY, words, Role.QUALITY)
    before = {
        (reading.characteristic, reading.piece.casefold())
        for measurement in lot.measurements
        for reading in measurement.readings
    }
    again = sum((reading.characteristic, reading.piece.casefold()) in before for reading in readings)
    if again:
        words = (
            f"{again} readings of lot {lot.lot.id} were taken before; the newest counts, the older ones stay recorded"
        )
        yield caution(Code.MEASURED_AGAIN, words, Role.QUALITY)


def _state_findings(requirements: Requirements, readings: Sequence[Reading], how: HowMeasured) -> Iterator[Finding]:
    read = {reading.characteristic for reading in readings}
    asked = [c for c in requirements.characteristics if c.number in read]
    elsewhere = [c.number for c in asked if c.measured_in is not how.measured_in]
    if elsewhere:
        words = f"characteristic {', '.join(elsewhere)} counts in another state than {how.measured_in}"
        yield caution(Code.READING_UNLIKELY, words[:500], Role.QUALITY)
    others = [f"{c.number} ({c.gauge})" for c in asked if c.gauge is not None and c.gauge != how.gauge]
    if others:
        words = (
            f"measured with {how.gauge or 'no gauge named'}; the drawing's plan names another for {', '.join(others)}"
        )
        yield caution(Code.GAUGE_NOT_NAMED, words[:500], Role.QUALITY)
    if how.gauge is None and any(c.form == "variable" for c in asked):
        yield caution(Code.GAUGE_NOT_NAMED, "numbers without a gauge prove nothing", Role.QUALITY)


def measured_with(reader: Reader, gauge: str) -> tuple[Recorded[Measurement], ...]:
    """Return every measurement taken with a gauge, oldest first, with a stop where it was out of calibration then."""
    card = reader.gauge(gauge)
    found = reader.referring(Thing.GAUGE, gauge, Measurement)
    return tuple(Recorded(entry, tuple(calibration_findings(card, entry.measured_on))) for entry in found)
