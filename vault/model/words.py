"""The closed lists of the trade, one enumeration each."""

from enum import StrEnum


class Role(StrEnum):
    """What a person does in the shop."""

    READER = "reader"
    CLERK = "clerk"
    ENGINEER = "engineer"
    QUALITY = "quality"
    DESK = "desk"
    OWNER = "owner"


class Stage(StrEnum):
    """How a part is being made now."""

    PROTOTYPE = "prototype"
    RAMP = "ramp"
    PRODUCTION = "production"
    RETIRED = "retired"


class Authority(StrEnum):
    """Whose design it is: who names revisions and grants concessions."""

    CUSTOMER = "customer"
    SHOP = "shop"


class LabelScheme(StrEnum):
    """How a part's revision labels follow each other. A scheme orders and warns; it never names."""

    LETTERS = "letters"
    NUMBERS = "numbers"
    FREE = "free"


class Criticality(StrEnum):
    """What a failed part may do. Never defaulted: a person says it."""

    NOT_SET = "not yet set"
    ORDINARY = "ordinary"
    FLIGHT = "flight"
    MEDICAL = "medical"
    PRESSURE = "pressure"
    SAFETY = "otherwise safety-critical"

    @property
    def is_critical(self) -> bool:
        """True unless a person said that the part is ordinary."""
        return self is not Criticality.ORDINARY


class ControlStatus(StrEnum):
    """Export control of a part's data, as a named person classified it."""

    NOT_CLASSIFIED = "not yet classified"
    NO_LICENCE_NEEDED = "classified, no licence needed to the places named"
    CONTROLLED = "controlled"


class FileRole(StrEnum):
    """What a file is for."""

    DESIGN = "design"
    DRAWING = "drawing"
    DOCUMENT = "document"
    NEAR_NET = "near-net"
    SETTER = "setter"
    SCAN = "scan"
    EVIDENCE = "evidence"


class Definition(StrEnum):
    """What defines the part, and what wins where they disagree."""

    DRAWING = "drawing"
    MODEL = "model"
    BOTH_DRAWING_WINS = "drawing and model, the drawing wins"
    BOTH_MODEL_WINS = "drawing and model, the model wins"


class MeasuredIn(StrEnum):
    """The state of the metal in which a characteristic is measured."""

    GREEN = "green"
    AS_SINTERED = "as-sintered"
    AFTER_HIP = "after HIP"
    FINISHED = "finished"


class Feature(StrEnum):
    """What kind of feature a dimension belongs to: edge growth has another sign on each."""

    EXTERNAL = "external"
    INTERNAL = "internal"
    STEP = "step"
    CENTRE_DISTANCE = "centre distance"
    OTHER = "other"


class Direction(StrEnum):
    """Direction of a dimension in the frame of the part."""

    X = "x"
    Y = "y"
    Z = "z"
    NONE = "none"


class AcceptanceBasis(StrEnum):
    """On what the customer's acceptance rests."""

    OWN_DESIGN = "customer's own design, the PO is the authority"
    DRAWING = "drawing approval"
    SAMPLE = "sample approval"
    FIRST_ARTICLE = "first-article approval"


class Atmosphere(StrEnum):
    """What fills the furnace in a segment."""

    AIR = "air"
    NITROGEN = "nitrogen"
    ARGON = "argon"
    HYDROGEN = "hydrogen"
    FORMING_GAS = "forming gas"
    VACUUM = "vacuum"
    PARTIAL_ARGON = "partial pressure of argon"
    PARTIAL_HYDROGEN = "partial pressure of hydrogen"


class TurnsAllowed(StrEnum):
    """Which orientations in the box the proof covers beside the proven one."""

    PROVEN_ONLY = "the proven one and half turns about box z"
    ABOUT_Z = "any turn about box z"
    FREE = "any"


class Disposition(StrEnum):
    """What was decided about pieces that do not conform."""

    REWORK = "rework"
    REPAIR = "repair"
    USE_AS_IS = "use as is"
    RETURN = "return"
    SCRAP = "scrap"


class ServiceEffect(StrEnum):
    """What an event on a machine, furnace or gauge means for proofs."""

    ROUTINE = "routine"
    AFFECTS_QUALITY = "affects quality"
    CLEAN_OUT = "clean-out"


class SealState(StrEnum):
    """How surface-connected pores were treated before weighing in water."""

    SEALED = "sealed"
    IMPREGNATED = "impregnated"
    NEITHER = "neither"


class ArticleState(StrEnum):
    """Whether a first article covers every characteristic."""

    COMPLETE = "complete"
    NOT_COMPLETE = "not complete"


class CarryVerdict(StrEnum):
    """Whether a proof of one revision holds for the next."""

    CARRIES = "carries"
    DELTA_PROOF = "delta proof"
    PROVE_AGAIN = "prove again"


class Severity(StrEnum):
    """Weight of a finding."""

    NOTE = "note"
    CAUTION = "caution"
    STOP = "stop"


class Answer(StrEnum):
    """Yes, no, or nobody said: unknown facts are findings."""

    YES = "yes"
    NO = "no"
    NOT_STATED = "not stated"
