"""What went wrong, or nearly: the reason why a register is kept at all."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from demo_vault.scenario import parts_calyx as calyx
from demo_vault.scenario import parts_grubbin as grubbin
from demo_vault.scenario import parts_ostrel as ostrel
from demo_vault.scenario import parts_ostrel_air as air
from demo_vault.scenario.facts import FileKind


@dataclass(frozen=True)
class HoldFact:
    """A part that nothing may be made of."""

    part: str
    on: date
    by: str
    reason: str


HOLDS = (
    HoldFact(
        grubbin.COVER.number,
        date(2026, 11, 10),
        "maren",
        "Hairline cracks at the rib ends of two trial pieces of rev R3; nothing is made until the rib has a fillet.",
    ),
)


@dataclass(frozen=True)
class WithdrawalFact:
    """An acceptance that the customer took back."""

    part: str
    label: str
    on: date
    by: str
    reason: str


WITHDRAWALS = (
    WithdrawalFact(
        ostrel.CONTROL_HORN.number,
        "B",
        date(2026, 10, 5),
        "maren",
        "Noor Castellane, mail of 2026-10-05: crack in the long arm after 40 hours on the stand; do not fly rev B.",
    ),
)


@dataclass(frozen=True)
class SecondFileFact:
    """The customer sends a label again with another model behind it, and does not say so."""

    part: str
    label: str
    on: date
    sender: str
    covering_note: str
    edits: Mapping[str, float] = field(default_factory=dict)
    file: FileKind = "stl"


SECOND_FILES = (
    SecondFileFact(
        air.VANE_RING.number,
        "B",
        date(2026, 11, 12),
        "Jarek Windmarsh",
        "Here is rev B once more, please use this one.",
        {"lean_deg": 34.0},
    ),
)
"""Nobody has answered yet which of the two is rev B."""


@dataclass(frozen=True)
class SupersededPackageFact:
    """A reprint package that stopped being what should be printed while its paper was on the floor."""

    order: str
    issued: date
    superseded: date
    reason: str
    copies_recovered: int
    recovered_by: str


SUPERSEDED_PACKAGES = (
    SupersededPackageFact(
        "sprocket-5",
        date(2025, 10, 22),
        date(2025, 11, 24),
        "Rev 4 accepted 2025-11-24; Gwenda Pryce-Holloway cancels the line and orders rev 4.",
        1,
        "tove",
    ),
)


@dataclass(frozen=True)
class NonconformanceFact:
    """Pieces that are not as required, what was decided, and the customer's concession where there is one."""

    lot: str
    count: int
    characteristic: str
    found_at: str
    found_by: str
    on: date
    words: str
    decision: str
    cause: str
    action: str
    concession_reference: str | None = None
    granted_by: str | None = None
    granted_on: date | None = None
    granted_quantity: int | None = None


NONCONFORMANCES = (
    NonconformanceFact(
        "jaw-4",
        24,
        "1",
        "inspection",
        "maren",
        date(2026, 7, 29),
        "Width up to 4.70 mm, limit 4.68 mm; all pieces assemble in the gauge channel.",
        "use as is",
        "Binder bled more than usual after the head was exchanged.",
        "Head alignment is checked with a test plate before every campaign.",
        "CX-CON-0031",
        "Piet Halloran-Dusk",
        date(2026, 7, 31),
        24,
    ),
    NonconformanceFact(
        "cover-1",
        2,
        "4",
        "inspection",
        "maren",
        date(2026, 2, 18),
        "Rim warped to 9.35 mm at one corner, limit 9.20 mm.",
        "scrap",
        "The floor is thin between the ribs and sags on the setter.",
        "Told Ysolde Pinnock; she will thicken the ribs (became rev R3).",
    ),
)


@dataclass(frozen=True)
class SplitFact:
    """A lot that went on in children."""

    lot: str
    on: date
    first_child: int  # pieces; the rest goes into the second
    reason: str


SPLITS = (
    SplitFact(
        "finger-5",
        date(2026, 3, 20),
        30,
        "Leopold Starling-Nye wants thirty by courier before Easter; the rest follows with the order.",
    ),
)


@dataclass(frozen=True)
class ReturnFact:
    """Pieces that came back."""

    order: str
    lot: str
    quantity: int
    on: date
    defect: str
    pieces_came_back: bool


RETURNS = (
    ReturnFact(
        "coupler-2",
        "coupler-2",
        12,
        date(2026, 6, 8),
        "Keyways of one bag too tight for a 5 mm key: powder caked in the corners.",
        True,
    ),
)


@dataclass(frozen=True)
class OlderRevisionFact:
    """A PO that names a revision which is not the newest accepted one."""

    order: str
    document: str | None
    words: str


OLDER_REVISIONS = (
    OlderRevisionFact(
        "clamp-open",
        None,
        "WS-5833 asks for rev 2, for the old frame; rev 3 has been accepted since 2025-08-11. No letter came.",
    ),
)

STANDING_TROUBLES: Mapping[str, str] = {
    "HGT-05": "the height gauge has been out of calibration since 2026-09-15",
    "ratchet-open": "the last lot of the ratchet wheel is more than two years old: its proof has lapsed",
    "finger-open": "the PO names no revision",
    "horn-open": "the PO names a revision whose acceptance was withdrawn",
    air.FAN_WHEEL.number: "nobody has classified it for export; five revisions in nine months",
    calyx.SPACER.number: "nobody has classified it for export",
}
"""What a visitor of the demo can find by asking `ready`, besides the incidents above."""
