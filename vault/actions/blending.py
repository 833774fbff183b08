"""Recording powder blends with their genealogy."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from vault.actions.context import Vault
from vault.actions.deciding import Recorded, agreed, write_result
from vault.actions.reading import Reader
from vault.actions.upstream import blends_above, holds_over_blends
from vault.actions.writing import Draft, keep_file, record_of
from vault.interfaces import StoredFile
from vault.model.design import KeptFile
from vault.model.findings import Finding, stops
from vault.model.floor import Blend, BlendPart, PowderTest
from vault.model.ids import Thing
from vault.model.words import FileRole
from vault.records.codec import make
from vault.rules.genealogy import limit_findings, mixing_findings, mixture_of
from vault.rules.holds import hold_findings
from vault.rules.permissions import Verb
from vault.rules.readiness_design import powder_findings


@dataclass(frozen=True)
class PutIn:
    """What went into a blend: an older blend, or a supplier's lot with its certificate."""

    kg: float
    blend: str | None = None
    supplier_lot: str | None = None
    certificate: Path | None = None


@dataclass(frozen=True)
class NewBlend:
    """What is typed for a blend."""

    material: str
    parents: tuple[PutIn, ...]
    made_kg: float
    returned_from_run: bool = False
    sieve_um: float | None = None
    tests: tuple[PowderTest, ...] = ()


def record_blend(vault: Vault, new: NewBlend) -> Recorded[Blend]:
    """Record a powder blend; virgin fraction and reuse count follow from its parents.

    A blend that breaks a limit of its material is recorded, since it exists, with findings; no box run takes it.

    Raises:
        NotFound: The material or a parent is not recorded.
        BadInput: A mass is impossible, or more powder came out than went in.
        Refused: Grades would be mixed, a parent has not so much left or is on hold, or the powder needs a dust review.
    """
    kept = {
        put.certificate: keep_file(vault, put.certificate, FileRole.EVIDENCE) for put in new.parents if put.certificate
    }
    parents = tuple(_part(put, kept) for put in new.parents)
    stored = {named.sha256: file for named, file in kept.values()}

    def decide(reader: Reader, draft: Draft) -> tuple[str, Recorded[Blend]]:
        # gather
        material = reader.material(new.material)
        older = [parent.blend for parent in parents if parent.blend is not None]
        blends = blends_above(reader, older)
        taken: dict[str, float] = {blend: _taken_kg(reader, blend) for blend in older}
        # decide
        against = (
            *powder_findings(material),
            *mixing_findings(material.id, parents, blends, taken),
            *hold_findings(holds_over_blends(reader, older)),
        )
        agreed("This blend cannot be recorded:", against)
        mixture = mixture_of(parents, blends, new.returned_from_run)
        # write
        blend = record_of(
            draft,
            Blend,
            id=draft.allot(Thing.BLEND),
            material=material.id,
            parents=parents,
            made_kg=new.made_kg,
            virgin_fraction=mixture.virgin_fraction,
            reuse_count=mixture.reuse_count,
            returned_from_run=new.returned_from_run,
            sieve_um=new.sieve_um,
            tests=new.tests,
        )
        draft.add(blend, stored)
        message = f"Powder blend {blend.id}: {blend.made_kg:g} kg of {material.id}, used {blend.reuse_count} times"
        return message, Recorded(blend, tuple(limit_findings(blend, material)))

    return write_result(vault, Verb.FLOOR, decide)


def _part(put: PutIn, kept: Mapping[Path, tuple[KeptFile, StoredFile]]) -> BlendPart:
    certificate = kept[put.certificate][0] if put.certificate else None
    return make(BlendPart, blend=put.blend, supplier_lot=put.supplier_lot, supplier_certificate=certificate, kg=put.kg)


def _taken_kg(reader: Reader, blend: str) -> float:
    """Return how many kilograms of a blend went into others already."""
    children = reader.referring(Thing.BLEND, blend, Blend)
    return sum(part.kg for child in children for part in child.parents if part.blend == blend)


@dataclass(frozen=True)
class BlendNow:
    """A blend as it stands today: what it is, and what stands against using it."""

    blend: Blend
    ancestors: tuple[str, ...]
    findings: tuple[Finding, ...]

    @property
    def may_be_used(self) -> bool:
        """True where nothing stops a box run with it."""
        return not stops(self.findings)


def blend_now(reader: Reader, blend_id: str) -> BlendNow:
    """Return a blend with its ancestors, limits and holds as of this snapshot. Raises NotFound."""
    blend = reader.blend(blend_id)
    ancestors = tuple(name for name in blends_above(reader, (blend_id,)) if name != blend_id)
    limits = limit_findings(blend, reader.material(blend.material))
    return BlendNow(blend, ancestors, (*hold_findings(holds_over_blends(reader, (blend_id,))), *limits))


def list_blends(reader: Reader, material: str | None = None) -> tuple[BlendNow, ...]:
    """Return all blends (of one material), oldest first."""
    blends = reader.all_of(Blend)
    return tuple(blend_now(reader, blend.id) for blend in blends if material in {None, blend.material})
