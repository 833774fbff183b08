"""Settings of the demo's parts: complete in form, useless as recipes. Every process number repeats one digit."""

from typing import Any

from demo_vault.scenario.facts import PartFact
from demo_vault.scenario.shop import MACHINES, WATERMARK

_SCALE = {
    "DEMO-STEEL-1": (1.188, 1.188, 1.199),
    "DEMO-INOX-2": (1.177, 1.177, 1.188),
    "DEMO-NICKEL-3": (1.199, 1.199, 1.211),
    "DEMO-COBALT-4": (1.166, 1.166, 1.177),
    "DEMO-COPPER-5": (1.155, 1.155, 1.166),
}
_FURNACE = {"DEMO-STEEL-1": "kiln-a", "DEMO-INOX-2": "kiln-a"}

SECOND_SETTINGS = {
    "P-A00001": ("C", "Bore came 0.03 mm small with the new hub: drying longer."),
    "P-A00008": ("B", "Gussets crumbled in depowdering: dried longer."),
}
"""Parts that have an S2: for which revision, and why."""


def _segment(ramp: float, target: float, hold: float, atmosphere: str) -> dict[str, Any]:
    return {"ramp_c_per_h": ramp, "target_c": target, "hold_min": hold, "atmosphere": atmosphere, "flow_l_min": 11.0}


def _cycles(material: str) -> dict[str, Any]:
    furnace = _FURNACE.get(material, "kiln-b")
    return {
        "debind": {
            "name": f"{material} debind (invented)",
            "furnace": furnace,
            "segments": [_segment(55.0, 333.0, 222.0, "argon"), _segment(33.0, 444.0, 111.0, "argon")],
        },
        "sinter": {
            "name": f"{material} sinter (invented)",
            "furnace": furnace,
            "segments": [_segment(222.0, 777.0, 33.0, "argon"), _segment(111.0, 1111.0, 111.0, "argon")],
        },
    }


def _operations(part: PartFact) -> list[dict[str, Any]]:
    """Return what is done after sintering."""
    reamed = [balloon.name for balloon in part.drawing if balloon.measured_in == "finished" and balloon.dimension]
    steps: list[dict[str, Any]] = []
    if reamed:
        steps.append({"name": "ream", "kind": "machining", "instruction": f"ream: {', '.join(reamed)}"})
    if part.finish:
        steps.append({"name": part.finish, "kind": "surface"})
    steps.append({"name": "inspection", "kind": "inspection"})
    return [{"number": 10 * place, **step} for place, step in enumerate(steps, start=1)]


def _inspection(part: PartFact) -> list[dict[str, Any]]:
    """Return the inspection plan: keys as the gate asks, the rest on a sample of twelve, notes on every piece."""
    plan: list[dict[str, Any]] = []
    for balloon in part.drawing:
        every = balloon.dimension is None or (balloon.key and part.gate == "100 % inspection")
        how = {"how_many": "100 %"} if every else {"how_many": "sample", "sample": 12}
        plan.append({"characteristics": [balloon.number], **how, "gauge": balloon.gauge})
    return plan


def settings_form(part: PartFact, number: str = "S1") -> dict[str, Any]:
    """Return a filled-in settings form; its two orientations are names such as "+x+z-y", to be read by the caller.

    Raises:
        KeyError: The part has no settings of that number.
    """
    second = SECOND_SETTINGS[part.number] if number != "S1" else None
    x, y, z = _SCALE[part.material]
    machine = next(machine for machine in MACHINES if part.material in machine.materials)
    return {
        "machine": machine.id,
        "material": part.material,
        "powder_specification": f"{part.material} powder, issue 1 (invented)",
        "binder_specification": "demo binder 5, issue 2 (invented)",
        "printing": {
            "layer_um": 55.0,
            "binder": "demo binder 5",
            "binder_of_pore_volume_percent": 66.6,
            "wait_after_jetting_s": 1.1,
            "drying_s": 8.8 if second else 5.5,
            "drying_c": 55.5,
            "spreader_mm_s": 111.0,
            "roller_rpm": 222.0,
            "firmware": machine.firmware,
        },
        "scale": {"x": x, "y": y, "z": z},
        "print_orientation": part.orientation,
        "sinter_orientation": part.orientation,
        "cure": {"peak_c": 111.0, "hold_min": 333.0, "atmosphere": "air"},
        "depowdering": "Brush, then air at 1.1 bar (invented). Wear the mask.",
        **_cycles(part.material),
        "setter": {"material": "demo ceramic", "layout": "flat side down, two fingers apart", "pieces_per_setter": 11},
        "operations": _operations(part),
        "inspection": _inspection(part),
        "reason": f"{second[1] if second else 'First settings.'} {WATERMARK}",
        "invented_for_demo": True,
    }
