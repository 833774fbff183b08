"""May a gauge be believed: calibrated on that day, and studied well enough for what it measures?"""

from collections.abc import Iterator
from datetime import date

from vault.model.cards import Gauge
from vault.model.findings import Code, Finding
from vault.model.words import Role
from vault.rules.finding import caution, stop

STUDY_LIMIT_PERCENT = 30.0
"""Share of the tolerance that a gauge may use up at most (common practice: 10 % good, 30 % the end)."""


def calibration_findings(gauge: Gauge, on: date) -> Iterator[Finding]:
    """Yield a stop where the gauge was past its due date on a day, a caution where the card cannot tell."""
    if on > gauge.calibration_due:
        words = f"gauge {gauge.id} was due for calibration on {gauge.calibration_due}; on {on} it accepts nothing"
        command = f"partstead gauge edit {gauge.id} --set calibrated_on=... --set calibration_due=..."
        yield stop(Code.GAUGE_OUT_OF_CALIBRATION, words, Role.QUALITY, next_command=command)
    elif on < gauge.calibrated_on:
        words = f"gauge {gauge.id} was calibrated on {gauge.calibrated_on}, after {on}; its card shows no earlier one"
        yield caution(Code.GAUGE_OUT_OF_CALIBRATION, words, Role.QUALITY)


def use_findings(gauge: Gauge, on: date) -> Iterator[Finding]:
    """Yield what stands against measuring with the gauge on a day."""
    if gauge.retired:
        yield stop(Code.GAUGE_OUT_OF_CALIBRATION, f"gauge {gauge.id} is retired", Role.QUALITY)
    yield from calibration_findings(gauge, on)


def study_findings(gauge: Gauge, characteristic: str) -> Iterator[Finding]:
    """Yield a stop where the gauge study is missing, or the gauge uses up too much of the tolerance."""
    if gauge.study is None:
        words = f"gauge {gauge.id} has no gauge study and measures key characteristic {characteristic}"
        yield stop(Code.GAUGE_STUDY_MISSING, words, Role.QUALITY)
    elif not gauge.study.percent_of_tolerance <= STUDY_LIMIT_PERCENT:
        share = f"{gauge.study.percent_of_tolerance:g} % of the tolerance"
        words = (
            f"gauge {gauge.id} uses up {share} of characteristic {characteristic}, more than {STUDY_LIMIT_PERCENT:g} %"
        )
        yield stop(Code.GAUGE_STUDY_MISSING, words, Role.QUALITY)
