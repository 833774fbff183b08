"""A characteristic held against one reading, and in words."""

import math

from vault.model.design import Characteristic
from vault.model.evidence import Reading


def is_outside(reading: Reading, characteristic: Characteristic) -> bool:
    """Say whether a reading is outside the limits, or rejected. A limit itself is inside; NaN is outside."""
    if characteristic.form == "attribute":
        return reading.accepted is not True
    value = math.nan if reading.value is None else reading.value
    above = characteristic.lower is None or value >= characteristic.lower
    below = characteristic.upper is None or value <= characteristic.upper
    return math.isnan(value) or not (above and below)


def limits_in_words(characteristic: Characteristic) -> str:
    """Return the limits as a person says them: "29.9 to 30.1 mm", or an attribute's requirement."""
    if characteristic.form == "attribute":
        return (characteristic.requirement or "").splitlines()[0][:100]
    lower, upper, unit = characteristic.lower, characteristic.upper, characteristic.unit
    if lower is None:
        return f"up to {upper:g} {unit}"
    return f"at least {lower:g} {unit}" if upper is None else f"{lower:g} to {upper:g} {unit}"
