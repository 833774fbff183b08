"""How capable a process is, as computed from measured pieces of several lots."""

from typing import Annotated

from pydantic import Field

from vault.model.base import Fraction, Positive, Value


class Capability(Value):
    """Long-term capability (Ppk) of one characteristic, with a lower bound that has lot-to-lot variation in it."""

    readings: Annotated[int, Field(ge=2)]
    lots: Annotated[int, Field(ge=1)]
    mean: float
    total_sd: Positive  # of one future piece from any lot
    between_sd: Annotated[float, Field(ge=0)]  # of the lots' own means
    degrees: Positive  # degrees of freedom behind total_sd
    ppk: float
    bound: float  # lower bound of Ppk; may be below 0
    confidence: Fraction
    looks_normal: bool | None  # None where there are too few readings to say
    drifts: bool | None  # None where there are too few lots to say
    lots_needed: int | None  # lots in all, as large as these, at which the same spread would pass; None where never
