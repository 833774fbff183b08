"""Readiness, second question: are the part's data fit to be made from? Files, shape, requirements, classification."""

from collections.abc import Iterator

from vault import units
from vault.model.cards import Material
from vault.model.decisions import Concession, Permit
from vault.model.design import Revision
from vault.model.findings import Code, Finding
from vault.model.words import Answer, ControlStatus, Criticality, Role, Stage
from vault.rules.facts import Facts
from vault.rules.finding import caution, note, stop


def design_findings(facts: Facts) -> Iterator[Finding]:
    """Yield what is wrong with the data of the part and of the revision asked for."""
    yield from _part_findings(facts)
    for path in facts.missing_files:
        yield stop(
            Code.FILE_MISSING,
            f"the file {path} is not here or not as recorded",
            Role.OWNER,
            next_command="partstead check",
        )
    if facts.asked is not None:
        yield from _shape_findings(facts, facts.asked)
        yield from _requirement_findings(facts, facts.asked)


def _part_findings(facts: Facts) -> Iterator[Finding]:
    card = facts.history.card
    edit = f"partstead part edit {card.number}"
    if facts.history.stage is Stage.RETIRED:
        command = f"partstead stage {card.number} prototype --because REASON"
        yield stop(Code.RETIRED, "the part is retired", Role.ENGINEER, next_command=command)
    match card.control.status:
        case ControlStatus.NOT_CLASSIFIED:
            words = "export control is not yet classified; the data are treated as controlled"
            yield stop(Code.CONTROL_NOT_CLASSIFIED, words, Role.OWNER, next_command=f"{edit} --set control.status=...")
        case ControlStatus.CONTROLLED:
            number = card.control.classification or "no number given"
            words = f"controlled data ({number}): only persons named may read them"
            yield caution(Code.CONTROLLED, words, Role.OWNER)
        case ControlStatus.NO_LICENCE_NEEDED:
            pass
    if card.criticality is Criticality.NOT_SET:
        words = "nobody said yet whether a failure of this part can hurt someone"
        yield stop(Code.CRITICALITY_NOT_SET, words, Role.ENGINEER, next_command=f"{edit} --set criticality=...")
    for hold in facts.history.standing_holds(facts.asked.id if facts.asked else None):
        words = f"on hold since {hold.at:%Y-%m-%d}: {hold.reason}"
        held = hold.target.revision
        what = f"{card.number}@{facts.history.label_of(held)}" if held else card.number
        yield stop(Code.ON_HOLD, words, Role.QUALITY, next_command=f"partstead lift {what} --because REASON")
    yield from _permission_findings(facts)


def _permission_findings(facts: Facts) -> Iterator[Finding]:
    """Concessions and permits of the revision asked for: counted down, and ended by their last day."""
    asked = facts.asked.id if facts.asked else None
    permissions: tuple[Concession | Permit, ...] = (*facts.history.concessions, *facts.history.permits)
    for permission in permissions:
        if permission.revision != asked:
            continue
        granted, used = permission.permission, facts.permission_used.get(permission.id, 0)
        name = f"{permission.KIND} {granted.reference}"
        over = granted.until is not None and facts.today > granted.until
        spent = granted.quantity is not None and used >= granted.quantity
        if over or spent:
            why = f"ended on {granted.until}" if over else f"is used up: {used} of {granted.quantity} pieces"
            yield caution(Code.CONCESSION_USED_UP, f"{name} {why}; parts now meet the drawing", Role.QUALITY)
        else:
            rest = (
                f"{granted.quantity - used} pieces left" if granted.quantity is not None else f"until {granted.until}"
            )
            yield caution(Code.CONCESSION_IN_FORCE, f"{name} in force, {rest}: {granted.words}", Role.QUALITY)


def _shape_findings(facts: Facts, asked: Revision) -> Iterator[Finding]:
    shape = facts.history.measured.get(asked.id)
    if shape is None:
        yield stop(Code.SHAPE_NOT_MEASURED, f"the shape of rev {asked.label} was never measured", Role.ENGINEER)
        return
    if not shape.is_solid:
        words = f"the surface of rev {asked.label} is open or inside out: it has no inside, so it cannot be printed"
        yield stop(Code.SHAPE_OPEN, words, Role.ENGINEER)
    if shape.unit_basis.startswith("guessed"):
        size = " x ".join(units.mm(edge, 2) for edge in shape.size_mm)
        words = f"the file of rev {asked.label} states no unit; {shape.unit_basis}, which makes it {size}"
        yield caution(Code.UNIT_GUESSED, f"{words}; hold that against the drawing", Role.ENGINEER)
    yield note(
        Code.WALLS_NOT_CHECKED, "wall thickness, sections, gaps and trapped powder are not computed; a person looks"
    )


def _requirement_findings(facts: Facts, asked: Revision) -> Iterator[Finding]:
    if asked.id not in facts.history.requirements:
        weigh = caution if facts.history.stage is Stage.PROTOTYPE else stop
        command = f"partstead requirements record {facts.history.card.number}@{asked.label} FILE.csv"
        words = f"the drawing's requirements for rev {asked.label} are not recorded"
        yield weigh(Code.REQUIREMENTS_MISSING, words, Role.ENGINEER, next_command=command)


def material_findings(facts: Facts) -> Iterator[Finding]:
    """Yield what the material asks for before powder is handled."""
    if facts.material is not None:
        yield from powder_findings(facts.material)


def powder_findings(material: Material) -> Iterator[Finding]:
    """Yield a stop where powder is, or may be, reactive and the site's dust-hazard review is not recorded."""
    if material.reactive is Answer.NO or material.dust_review_recorded:
        return
    known = "is reactive" if material.reactive is Answer.YES else "may be reactive: its card does not say"
    words = f"powder {material.id} {known}, and no dust-hazard review of the site is recorded for it"
    command = f"partstead material edit {material.id} --set reactive=... --set dust_review_recorded=true"
    yield stop(Code.REACTIVE_POWDER, words, Role.OWNER, next_command=command)
