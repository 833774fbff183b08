"""Recording settings: S1, S2 ... per part, from a filled-in form, or as a copy with changes and a reason."""

import json
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from vault.actions.context import Vault
from vault.actions.finding import resolve_part, resolve_revision
from vault.actions.reading import Reader
from vault.actions.shapes import bring_out
from vault.actions.writing import WRITER, Draft, keep_file, write
from vault.errors import BadInput, Clash, NotFound
from vault.interfaces import StoredFile
from vault.model.design import KeptFile, Revision
from vault.model.ids import SettingsNumber, parse_settings_number
from vault.model.settings import Settings
from vault.model.shape import MeasuredShape
from vault.model.words import FileRole
from vault.records.codec import sentence_of
from vault.records.merge import set_field
from vault.rules.history import PartHistory
from vault.rules.permissions import Verb

_MADE_HERE = ("id", "number", "part", "made_for", "by", "at", "derived_from")
_MEASURED_HERE = ("near_net.file", "near_net.measured", "near_net.made_from")


@dataclass(frozen=True)
class ShapesForPrinting:
    """Files that belong to settings, with what the near-net shape already holds."""

    near_net: Path | None = None
    near_net_says: dict[str, Any] | None = None
    setters: tuple[Path, ...] = ()


def read_form(path: Path) -> dict[str, Any]:
    """Read a filled-in settings form (JSON). Raises BadInput where it is no such form."""
    try:
        form = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError) as error:
        raise BadInput(f"{path.name} cannot be read as a settings form: {error}") from None
    if not isinstance(form, dict):
        raise BadInput(f"{path.name} is no settings form; `partstead settings form` prints an empty one")
    return {name: value for name, value in form.items() if name not in _MADE_HERE}


def next_number(history: PartHistory, writer: str) -> SettingsNumber:
    """Return the next S-number of a part for this writer: S3, or SB3 where writer B allots it."""
    prefix = "S" if writer == "A" else f"S{writer}"
    own = [s.number.removeprefix(prefix) for s in history.settings if s.number.startswith(prefix)]
    return SettingsNumber(f"{prefix}{max((int(number) for number in own if number.isdecimal()), default=0) + 1}")


def add_settings(
    vault: Vault, part: str, label: str, form: dict[str, Any], shapes: ShapesForPrinting | None = None
) -> Settings:
    """Record new settings for a revision.

    Raises:
        BadInput: A field is missing, unknown or impossible.
        NotFound: The revision, machine, material or furnace is not recorded.
    """
    shapes = shapes or ShapesForPrinting()
    kept = _keep(vault, shapes)
    near_net = vault.shapes.measured(shapes.near_net, None)[1] if shapes.near_net else None
    made: list[Settings] = []

    def decide(reader: Reader, draft: Draft) -> str:
        history = reader.part(resolve_part(vault, reader, part))
        revision = resolve_revision(history, label)
        filled = {**form, **_own_fields(vault, draft, history, revision)}
        _add_setters(filled, kept)
        if near_net is not None:
            filled["near_net"] = _near_net(kept[0][0], near_net, shapes.near_net_says or {}, revision)
        made[:] = [_settings(filled)]
        _refuse_unknown_equipment(reader, made[0])
        draft.add(made[0], {named.sha256: stored for named, stored in kept})
        return f"{history.card.number} settings {made[0].number} recorded for rev {revision.label}: {made[0].reason}"

    write(vault, Verb.SETTINGS, decide)
    return made[0]


def copy_settings(
    vault: Vault, part: str, number: str, changes: dict[str, Any], reason: str, label: str | None = None
) -> Settings:
    """Record new settings that are older ones with some fields changed. The old ones stay.

    Raises:
        NotFound: There are no such settings.
        BadInput: A field is unknown or its value impossible.
    """
    before = Reader(vault.store.at(), vault.index)
    source = settings_called(before.part(resolve_part(vault, before, part)), number)
    again = _kept_again(vault, before, source)
    made: list[Settings] = []

    def decide(reader: Reader, draft: Draft) -> str:
        history = reader.part(source.part)
        old = settings_called(history, number)
        revision = resolve_revision(history, label) if label else history.revision(old.made_for)
        if revision is None:
            raise NotFound(f"{history.card.number}: the revision that {number} was made for is not recorded")
        form = old.model_dump(mode="json")
        for field, value in changes.items():
            if field.partition(".")[0] in _MADE_HERE or field.startswith(_MEASURED_HERE):
                raise BadInput(f"{field} is given by the register, not typed")
            set_field(form, field, value)
        form |= {**_own_fields(vault, draft, history, revision), "derived_from": old.id, "reason": reason}
        made[:] = [_settings(form)]
        _refuse_unknown_equipment(reader, made[0])
        draft.add(made[0], again)
        changed = ", ".join(changes) or "nothing but the revision"
        return f"{history.card.number} settings {made[0].number} copied from {old.number}, changed: {changed}"

    write(vault, Verb.SETTINGS, decide)
    return made[0]


def settings_called(history: PartHistory, number: str) -> Settings:
    """Return the settings with a number.

    Raises:
        NotFound: There are none; the sentence lists those there are.
        Clash: Two writers recorded settings with this number.
    """
    called = history.settings_called(parse_settings_number(number))
    if not called:
        known = ", ".join(settings.number for settings in history.settings) or "none"
        raise NotFound(f"{history.card.number} has no settings {number}; recorded are {known}")
    if len(called) > 1:
        raise Clash(f"{history.card.number}: settings {number} are recorded twice; copy the right ones to a new number")
    return called[0]


def _own_fields(vault: Vault, draft: Draft, history: PartHistory, revision: Revision) -> dict[str, Any]:
    return {
        "by": draft.by,
        "at": draft.at.isoformat(),
        "id": draft.new_ulid(),
        "number": next_number(history, vault.store.local(WRITER) or "A"),
        "part": history.card.number,
        "made_for": revision.id,
    }


def _settings(form: dict[str, Any]) -> Settings:
    try:
        return Settings.model_validate_json(json.dumps(form))
    except ValidationError as error:
        raise BadInput(sentence_of(error, "settings")) from None


def _keep(vault: Vault, shapes: ShapesForPrinting) -> list[tuple[KeptFile, StoredFile]]:
    kept = [keep_file(vault, shapes.near_net, FileRole.NEAR_NET)] if shapes.near_net else []
    return kept + [keep_file(vault, path, FileRole.SETTER) for path in shapes.setters]


def _near_net(kept: KeptFile, measured: MeasuredShape, says: dict[str, Any], revision: Revision) -> dict[str, Any]:
    """Return a near-net shape as a form: what a person says of it, and what the register knows itself."""
    return {
        "holds_machining_stock": "not stated",
        "holds_distortion": "not stated",
        "holds_shrinkage_scale": "not stated",
        **says,
        "file": kept.model_dump(mode="json"),
        "measured": measured.model_dump(mode="json"),
        "made_from": revision.id,
        "made_from_sha256": revision.design.sha256,
    }


def _add_setters(form: dict[str, Any], kept: list[tuple[KeptFile, StoredFile]]) -> None:
    setters = [named.model_dump(mode="json") for named, _ in kept if named.role is FileRole.SETTER]
    if setters and isinstance(form.get("setter"), dict):
        form["setter"] = {**form["setter"], "files": [*form["setter"].get("files", []), *setters]}


def _kept_again(vault: Vault, reader: Reader, old: Settings) -> dict[str, StoredFile]:
    """Bring the originals of older settings out and keep them again: the store holds equal bytes once."""
    with tempfile.TemporaryDirectory(prefix="partstead-") as scratch:
        places = {kept.sha256: bring_out(reader, old, kept, Path(scratch)) for kept in old.files}
        return {sha256: vault.store.keep(place) for sha256, place in places.items()}


def _refuse_unknown_equipment(reader: Reader, settings: Settings) -> None:
    reader.machine(settings.machine)
    reader.material(settings.material)
    reader.furnace(settings.debind.furnace)
    hottest = max(segment.target_c for segment in settings.sinter.segments)
    furnace = reader.furnace(settings.sinter.furnace)
    if not hottest <= furnace.max_c:
        raise BadInput(f"the sinter cycle asks for {hottest:.0f} C, and {furnace.id} reaches {furnace.max_c:.0f} C")
    for line in settings.inspection:
        if line.gauge is not None:
            reader.gauge(line.gauge)
