"""The customary safety cautions of the trade, chosen by what a job contains.

They remind a trained person; the safety data sheets, the law as locally adopted and licensed practice decide.
Sources behind the words, as far as known: NFPA 660 (2025) for combustible metal powder; 29 CFR 1910.146 for the oxygen
limits 19.5 % and 23.5 %; NFPA 86 for special furnace atmospheres; OSHA's and NIOSH's lists for nickel.
"""

from collections.abc import Collection

from vault.model.words import Answer, Atmosphere

RECIPE = (
    "Recipe data for a trained person. Purge, burn-off, gas and over-temperature protection are the furnace's own "
    "interlocks; this paper sets none of them. A changed cycle, load mass or gas is reviewed by the furnace's "
    "responsible person."
)

_FLAMMABLE = frozenset({Atmosphere.HYDROGEN, Atmosphere.FORMING_GAS, Atmosphere.PARTIAL_HYDROGEN})
_HARMLESS_TO_BREATHE = frozenset({Atmosphere.AIR})

_ALWAYS = (
    "Metal powder can burn and a cloud of it can explode. Keep sparks, static and heat away, let no dust gather, and "
    "put a fire out only with what the powder's safety data sheet names.",
    "Fine powder is breathed in and stays. Use the extraction, respirator and gloves that its safety data sheet names.",
    "Binder vapour and debinding gas need working extraction. Green and debound parts break easily.",
)
_DEFERS = (
    "The safety data sheets, the rules as locally adopted and the judgement of licensed people come before this paper. "
    "It holds records and arithmetic; it releases no parts."
)


def safety_cautions(contains_nickel: Answer, reactive: Answer) -> tuple[str, ...]:
    """Return the cautions for a job, most general first; what nobody stated is cautioned against as if it were so.

    Those on furnace gases are apart, since they stand beside the cycle: `gas_cautions`.
    """
    cautions = list(_ALWAYS)
    if reactive is not Answer.NO:
        cautions.append(
            "This powder is, or may be, reactive metal: never water, and only where the dust-hazard review covers it."
        )
    if contains_nickel is not Answer.NO:
        cautions.append(
            "The metal contains, or may contain, nickel: it sensitises the skin, and its dust harms the lungs."
        )
    return (*cautions, _DEFERS)


def gas_cautions(atmospheres: Collection[Atmosphere]) -> tuple[str, ...]:
    """Return the cautions that belong beside a furnace cycle which uses these gases."""
    cautions = []
    if set(atmospheres) - _HARMLESS_TO_BREATHE:
        cautions.append(
            "Furnace gas takes the place of air without warning. Nobody enters or leans into a furnace or pit before "
            "the oxygen has been measured there: not under 19.5 %, not over 23.5 %."
        )
    if set(atmospheres) & _FLAMMABLE:
        cautions.append(
            "Hydrogen burns in air from 4 to 75 %. Only with purge and burn-off interlocks proved and working."
        )
    return tuple(cautions)
