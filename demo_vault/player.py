"""Plays the story into a register: every fact becomes a call of the verb that a person of the shop would use."""

import json
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

from demo_vault.chosen import told_revisions
from demo_vault.clock import StoryClock
from demo_vault.papers import mail, model_file
from demo_vault.scenario import shop
from demo_vault.scenario.customers import CUSTOMERS
from demo_vault.scenario.facts import CharacteristicFact, PartFact, RevisionFact
from demo_vault.scenario.readings import limits_mm
from demo_vault.scenario.recipes import SECOND_SETTINGS, settings_form
from vault.actions.cards import Edit, add_card, edit_card
from vault.actions.context import Vault
from vault.actions.releasing import NewAcceptance, accept, release
from vault.actions.requiring import OtherRequirements, record_requirements
from vault.actions.revising import NewRevision, revise
from vault.actions.settings import add_settings
from vault.model import cards
from vault.model.design import Characteristic, RequirementChange
from vault.model.ids import Handle
from vault.model.orientation import Orientation
from vault.model.words import AcceptanceBasis, Definition
from vault.records.codec import make
from vault.records.paths import POLICY, shop_card

CUSTOMER_OF = {customer.code: customer for customer in CUSTOMERS}
STARTED_ABOVE = 0.25
"""Share of pieces that the shop starts above what was ordered."""
NO_LICENCE = "classified, no licence needed to the places named"


@dataclass
class Stage:
    """The register being filled, the story's clock, and what the shop calls the things in the facts."""

    vault: Vault
    clock: StoryClock
    scratch: Path
    out: Path
    ids: dict[tuple[str, str], str] = field(default_factory=dict)

    def hands(self, handle: str) -> Vault:
        """Return the register in somebody's hands."""
        return self.vault.as_person(Handle(handle))

    def letter(self, name: str, sender: str, words: str) -> Path:
        """Write a mail that serves as evidence."""
        return mail(self.scratch, name, sender, words)


def add_shop(stage: Stage) -> None:
    """Add people, customers, grades, boxes, printers, furnaces, gauges and rates."""
    owner = stage.vault
    for person in shop.PEOPLE[1:]:
        add_card(owner, cards.Person, {"handle": person.handle, "name": person.name, "roles": list(person.roles)})
    for customer in CUSTOMERS:
        add_card(owner, cards.Customer, _customer(customer.code))
    for grade in shop.MATERIALS:
        add_card(owner, cards.Material, _material(grade))
    for box in shop.BOXES:
        size = list(box.size_mm)
        add_card(owner, cards.Box, {"id": box.id, "name": box.name, "size_mm": size, "layer_s": box.layer_s})
    for machine in shop.MACHINES:
        add_card(owner, cards.Machine, _machine(machine))
    for furnace in shop.FURNACES:
        add_card(owner, cards.Furnace, _furnace(furnace))
    for gauge in shop.GAUGES:
        add_card(owner, cards.Gauge, _gauge(gauge))
    add_card(owner, cards.Rates, dict(shop.RATES))
    edit_card(owner, cards.Policy, POLICY, (Edit("start_extra_fraction", STARTED_ABOVE),))


def calibrate(stage: Stage, gauge: shop.GaugeFact, done: date, due: date) -> None:
    """Note on a gauge's card that it was calibrated, and until when that holds."""
    edits = (Edit("calibrated_on", done.isoformat()), Edit("calibration_due", due.isoformat()))
    edit_card(stage.hands("maren"), cards.Gauge, shop_card(cards.Gauge, gauge.id), edits)


def _customer(code: str) -> dict[str, Any]:
    customer = CUSTOMER_OF[code]
    contacts = [{"name": c.name, "email": c.email, "task": c.task} for c in customer.contacts]
    return {
        "code": customer.code,
        "name": customer.name,
        "address": customer.town,
        "contacts": contacts,
        "quality_clauses": list(customer.quality_clauses),
        "first_article_approval": customer.first_article_approval,
        "note": customer.note,
    }


def _material(grade: shop.MaterialFact) -> dict[str, Any]:
    limits = {"oxygen_max_ppm": grade.oxygen_max_ppm, "carbon_max_ppm": grade.carbon_max_ppm}
    return {
        "id": grade.id,
        "name": grade.name,
        "alloy_family": grade.family,
        "reference_density_g_cm3": grade.reference_density_g_cm3,
        "reference_density_source": shop.DENSITY_SOURCE,
        "sintered_density_g_cm3": grade.sintered_density_g_cm3,
        "reactive": "no",
        "contains_nickel": grade.contains_nickel,
        "powder": {**limits, "reuse_max": grade.reuse_max},
        "setter_materials": ["demo ceramic"],
    }


def _machine(machine: shop.MachineFact) -> dict[str, Any]:
    lists = {"boxes": list(machine.boxes), "materials": list(machine.materials)}
    return {"id": machine.id, "name": machine.name, "site": shop.SITE, "firmware": machine.firmware, **lists}


def _furnace(furnace: shop.FurnaceFact) -> dict[str, Any]:
    lists = {"hot_zone_mm": list(furnace.hot_zone_mm), "atmospheres": list(furnace.atmospheres)}
    numbers = {name: getattr(furnace, name) for name in ("max_c", "trays", "metal_limit_kg", "binder_limit_kg")}
    return {"id": furnace.id, "name": furnace.name, "site": shop.SITE, "responsible": "hesper", **lists, **numbers}


def _gauge(gauge: shop.GaugeFact) -> dict[str, Any]:
    study = None
    if gauge.study_percent is not None and gauge.study_on is not None:
        study = {"percent_of_tolerance": gauge.study_percent, "studied_on": gauge.study_on.isoformat()}
    return {
        "id": gauge.id,
        "name": gauge.name,
        "resolution_mm": gauge.resolution_mm,
        "uncertainty_mm": gauge.uncertainty_mm,
        "calibrated_on": gauge.calibrations[0][0].isoformat(),
        "calibration_due": gauge.calibrations[0][1].isoformat(),
        "certificate": gauge.certificate,
        "study": study,
    }


def add_part(stage: Stage, fact: PartFact) -> None:
    """Add a part's card, classified by the owner where the story says that she did."""
    fields: dict[str, Any] = {
        "number": fact.number,
        "customer": fact.customer,
        "customer_number": fact.customer_number,
        "description": fact.description,
        "design_authority": fact.authority,
        "label_scheme": fact.label_scheme,
        "criticality": fact.criticality,
        "material": fact.material,
        "note": fact.note,
    }
    if fact.classified:
        day = stage.vault.today.isoformat()
        fields["control"] = {"status": NO_LICENCE, "classified_by": "hesper", "classified_on": day}
        fields["control"]["basis"] = "The customer's statement, on file (invented)."
    add_card(stage.hands("hesper"), cards.Part, fields)


def record_revision(stage: Stage, fact: PartFact, revision: RevisionFact) -> None:
    """Record a revision with its requirements, and the settings that were made for it."""
    engineer = stage.hands("ivo")
    file = model_file(stage.scratch, fact, revision.label, revision.file)
    unit = None if revision.file == "3mf" else "mm"
    new = NewRevision(
        file,
        revision.reason,
        revision.label,
        unit,
        definition=Definition.BOTH_DRAWING_WINS if fact.drawing_number else Definition.MODEL,
        drawing_number=fact.drawing_number,
        drawing_revision=revision.label if fact.drawing_number else None,
        requested_by=revision.requested_by,
    )
    revise(engineer, fact.number, new)
    changes = tuple(
        make(RequirementChange, what=what, characteristic=number, words=words)
        for what, number, words in revision.requirement_changes
    )
    asked = tuple(_characteristic(fact, revision.label, balloon) for balloon in fact.drawing)
    other = OtherRequirements(finish=fact.finish, drawing_compared=True, changes_since=changes)
    record_requirements(engineer, fact.number, revision.label, asked, other)
    if revision is told_revisions(fact)[0]:
        _add_settings(stage, fact, revision.label, "S1")
    second = SECOND_SETTINGS.get(fact.number, (None, ""))[0]
    told = [one.label for one in told_revisions(fact)]
    if second is not None and revision.label == (second if second in told else told[0]):
        _add_settings(stage, fact, revision.label, "S2")


def _characteristic(fact: PartFact, label: str, balloon: CharacteristicFact) -> Characteristic:
    fields: dict[str, Any] = {"number": balloon.number, "name": balloon.name, "key": balloon.key}
    if balloon.dimension is None:
        return make(Characteristic, form="attribute", requirement=balloon.requirement, **fields)
    nominal, lower, upper = limits_mm(fact, label, balloon)
    fields |= {"form": "variable", "nominal": nominal, "lower": lower, "upper": upper, "unit": "mm"}
    fields |= {name: getattr(balloon, name) for name in ("direction", "feature", "measured_in", "gauge")}
    return Characteristic.model_validate_json(json.dumps(fields))


def _add_settings(stage: Stage, fact: PartFact, label: str, number: str) -> None:
    form = settings_form(fact, number)
    for name in ("print_orientation", "sinter_orientation"):
        form[name] = Orientation.named(form[name]).model_dump(mode="json")
    add_settings(stage.hands("ivo"), fact.number, label, form)


def release_revision(stage: Stage, fact: PartFact, revision: RevisionFact) -> None:
    """Release a revision: another engineer than the one who recorded it."""
    release(stage.hands("sanna"), fact.number, revision.label)


def accept_revision(stage: Stage, fact: PartFact, revision: RevisionFact) -> None:
    """Record the customer's acceptance with their mail as evidence."""
    by = revision.accepted_by or revision.requested_by
    words = f"{fact.customer_number} rev {revision.label} is accepted: {revision.basis}."
    letter = stage.letter(f"{fact.customer_number}-{revision.label}-accepted", by, words)
    new = NewAcceptance(AcceptanceBasis(revision.basis), by, stage.vault.today, letter)
    accept(stage.hands("pim"), fact.number, revision.label, new)


Event = Callable[[Stage], None]
"""One thing that happens in the story."""
