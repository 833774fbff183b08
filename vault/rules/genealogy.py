"""Powder genealogy: what a blend is made of, how often it was used, and what a hold on a parent reaches."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from vault.model.cards import Material
from vault.model.findings import Code, Finding
from vault.model.floor import Blend, BlendPart, PowderTest
from vault.model.words import Role
from vault.rules.finding import caution, stop

Blends = Mapping[str, Blend]


@dataclass(frozen=True)
class Mixture:
    """What a blend is, by its parents."""

    virgin_fraction: float  # by mass: powder that was never in a printer
    reuse_count: int


def mixture_of(parents: Sequence[BlendPart], blends: Blends, returned_from_run: bool) -> Mixture:
    """Work out virgin fraction and reuse count; `blends` holds every parent that is a blend.

    Powder as supplied is virgin. What comes back from a box run is not, and counts one use more than the most used
    of its parents.
    """
    total = sum(parent.kg for parent in parents)
    virgin = sum(parent.kg * _virgin(parent, blends, returned_from_run) for parent in parents)
    used = [blends[parent.blend].reuse_count for parent in parents if parent.blend is not None]
    reuse = max(used, default=0) + (1 if returned_from_run and used else 0)
    return Mixture(min(virgin / total, 1.0), reuse)


def _virgin(parent: BlendPart, blends: Blends, returned_from_run: bool) -> float:
    if parent.blend is None:
        return 1.0
    return 0.0 if returned_from_run else blends[parent.blend].virgin_fraction


def lineage(blend_ids: Iterable[str], blends: Blends) -> tuple[str, ...]:
    """Return these blends and every blend that any of them was made from, nearest first, each once."""
    found: dict[str, None] = {}
    waiting = list(blend_ids)
    while waiting:
        here = waiting.pop(0)
        if here in found:
            continue
        found[here] = None
        waiting += [parent.blend for parent in blends[here].parents if parent.blend is not None]
    return tuple(found)


def mixing_findings(
    material: str, parents: Sequence[BlendPart], blends: Blends, taken_kg: Mapping[str, float]
) -> Iterator[Finding]:
    """Yield a stop for a parent of another grade, and for one of which too little is left after `taken_kg`."""
    for parent in parents:
        if parent.blend is None:
            continue
        older = blends[parent.blend]
        if older.material != material:
            words = f"{older.id} is {older.material}, the blend is {material}: grades are never mixed"
            yield stop(Code.MATERIALS_MIXED, words)
        left = older.made_kg - taken_kg.get(older.id, 0.0)
        if not parent.kg <= left * 1.001:
            words = f"{older.id} weighed {older.made_kg:g} kg and has {left:g} kg left, {parent.kg:g} kg are taken"
            yield stop(Code.COUNTS_DO_NOT_BALANCE, words, Role.ENGINEER)


def limit_findings(blend: Blend, material: Material) -> Iterator[Finding]:
    """Yield a stop for each limit of the material's powder that a blend breaks, a caution where it was not tested."""
    limits = material.powder
    if limits.reuse_max is not None and blend.reuse_count > limits.reuse_max:
        words = f"{blend.id} was used {blend.reuse_count} times, {material.id} may be {limits.reuse_max} times"
        yield stop(Code.POWDER_OUT_OF_LIMITS, words, Role.ENGINEER, Role.QUALITY)
    tested = (
        ("oxygen", "ppm", limits.oxygen_max_ppm, _newest(blend, "oxygen_ppm")),
        ("carbon", "ppm", limits.carbon_max_ppm, _newest(blend, "carbon_ppm")),
        ("moisture", "%", limits.moisture_max_percent, _newest(blend, "moisture_percent")),
    )
    for what, unit, most, found in tested:
        if most is None:
            continue
        if found is None:
            yield caution(Code.POWDER_NOT_TESTED, f"{blend.id}: {what} was not tested, its limit is {most:g} {unit}")
        elif not found <= most:
            words = f"{blend.id}: {what} {found:g} {unit} is above {most:g} {unit}"
            yield stop(Code.POWDER_OUT_OF_LIMITS, words, Role.ENGINEER, Role.QUALITY)
    yield from _sieve_findings(blend, limits.sieve_um)


def _sieve_findings(blend: Blend, mesh_um: float | None) -> Iterator[Finding]:
    if mesh_um is None or blend.reuse_count == 0:
        return
    if blend.sieve_um is None:
        yield caution(Code.POWDER_NOT_TESTED, f"{blend.id}: used powder, and no sieving is recorded ({mesh_um:g} um)")
    elif not blend.sieve_um <= mesh_um:
        words = f"{blend.id} was sieved at {blend.sieve_um:g} um, the material asks for {mesh_um:g} um"
        yield stop(Code.POWDER_OUT_OF_LIMITS, words, Role.ENGINEER, Role.QUALITY)


def _newest(blend: Blend, field: str) -> float | None:
    def by_date(test: PowderTest) -> str:
        return test.tested_on.isoformat()

    read = [getattr(test, field) for test in sorted(blend.tests, key=by_date) if getattr(test, field) is not None]
    return read[-1] if read else None
