"""Recording what happened to a printer, a furnace or a gauge that a proof may depend on."""

from dataclasses import dataclass
from datetime import date

from vault.actions.context import Vault
from vault.actions.deciding import write_result
from vault.actions.reading import Reader
from vault.actions.writing import Draft, record_of
from vault.errors import BadInput, NotFound
from vault.model.cards import Furnace, Gauge, Machine
from vault.model.floor import EquipmentEvent
from vault.model.words import ServiceEffect
from vault.records.paths import shop_card
from vault.rules.permissions import Verb

_KINDS: tuple[tuple[str, type[Machine | Furnace | Gauge]], ...] = (
    ("machine", Machine),
    ("furnace", Furnace),
    ("gauge", Gauge),
)


@dataclass(frozen=True)
class NewEvent:
    """What is typed about an event; `equipment` is the id of the printer, furnace or gauge."""

    equipment: str
    what: str
    effect: ServiceEffect
    happened_on: date | None = None  # today, where nobody says
    characteristics: tuple[str, ...] = ()
    new_material: str | None = None
    note: str | None = None


def record_event(vault: Vault, new: NewEvent) -> EquipmentEvent:
    """Record service, a change, an upset or a clean-out.

    Raises:
        NotFound: There is no such printer, furnace or gauge.
        BadInput: The day is in the future, or a clean-out does not say for which material.
    """
    happened_on = new.happened_on or vault.today
    if happened_on > vault.today:
        raise BadInput(f"{new.equipment}: {happened_on} has not come yet; today is {vault.today}")
    if (new.effect is ServiceEffect.CLEAN_OUT) != (new.new_material is not None):
        raise BadInput(f"{new.equipment}: a clean-out, and nothing else, names the material that comes next")

    def decide(reader: Reader, draft: Draft) -> tuple[str, EquipmentEvent]:
        field = _field_of(reader, new.equipment)
        if new.new_material is not None:
            reader.material(new.new_material)
        event = record_of(
            draft,
            EquipmentEvent,
            id=draft.new_ulid(),
            **{field: new.equipment},
            what=new.what,
            effect=new.effect,
            happened_on=happened_on,
            characteristics=new.characteristics,
            new_material=new.new_material,
            note=new.note,
        )
        draft.add(event)
        return f"{new.equipment}: {new.what} ({new.effect})", event

    return write_result(vault, Verb.FLOOR, decide)


def _field_of(reader: Reader, equipment: str) -> str:
    fields = [field for field, kind in _KINDS if reader.snapshot.exists(shop_card(kind, equipment))]
    if not fields:
        raise NotFound(f"there is no printer, furnace or gauge {equipment}")
    if len(fields) > 1:
        raise NotFound(f"{equipment} is the id of a {' and of a '.join(fields)}; rename one of the cards")
    return fields[0]
