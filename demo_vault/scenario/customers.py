"""The invented customers of the demo and the people who write from there."""

from dataclasses import dataclass


@dataclass(frozen=True)
class ContactFact:
    """Somebody at a customer."""

    name: str
    email: str
    task: str


@dataclass(frozen=True)
class CustomerFact:
    """An invented customer."""

    code: str
    name: str
    town: str
    contacts: tuple[ContactFact, ...]
    quality_clauses: tuple[str, ...]
    first_article_approval: str
    note: str

    def somebody(self, task: str) -> ContactFact:
        """Return the contact for a task, or the first one."""
        return next((contact for contact in self.contacts if contact.task == task), self.contacts[0])


CUSTOMERS = (
    CustomerFact(
        "MARROW",
        "Marrowlight Pumps",
        "12 Sluice Lane, Lower Tessbury",
        (
            ContactFact("Oriel Fenwhistle", "oriel@marrowlight.example", "buying"),
            ContactFact("Bertil Amberkvist", "bertil@marrowlight.example", "design"),
            ContactFact("Cosima Rudge-Ellory", "cosima@marrowlight.example", "quality"),
        ),
        ("certificate of conformity with every delivery", "pressure parts: records kept ten years"),
        "yes",
        "Letters for released drawings, numbers before. Drawings win over models.",
    ),
    CustomerFact(
        "OSTREL",
        "Ostrel Aerial Survey",
        "Hangar 3, Skerrow Field",
        (
            ContactFact("Tamsin Overlea", "tamsin@ostrel.example", "buying"),
            ContactFact("Jarek Windmarsh", "jarek@ostrel.example", "design"),
            ContactFact("Noor Castellane", "noor@ostrel.example", "quality"),
        ),
        ("first article approved before series delivery", "flow-down of these clauses to suppliers"),
        "yes",
        "Unmanned aircraft. Models are the authority; drawings carry the tolerances.",
    ),
    CustomerFact(
        "WINDLE",
        "Windlestraw Cycles",
        "The Old Maltings, Netherpool",
        (
            ContactFact("Gwenda Pryce-Holloway", "gwenda@windlestraw.example", "buying"),
            ContactFact("Rufus Tanglewick", "rufus@windlestraw.example", "design"),
        ),
        ("bags of fifty, tag with part number and revision",),
        "no",
        "Plain revision numbers. Orders by the season, with call-offs.",
    ),
    CustomerFact(
        "CALYX",
        "Calyxine Instruments",
        "Weavers' Court 8, Sallowby",
        (
            ContactFact("Ottoline Marsh-Verrier", "ottoline@calyxine.example", "buying"),
            ContactFact("Anselm Kirkquill", "anselm@calyxine.example", "design"),
            ContactFact("Piet Halloran-Dusk", "piet@calyxine.example", "quality"),
        ),
        ("lot number on every bag", "records kept fifteen years", "no change of process without written agreement"),
        "yes",
        "Models come as 3MF.",
    ),
    CustomerFact(
        "GRUBBIN",
        "Grubbinloft Automation",
        "Unit 40, Tarrow Works, Esk Bottom",
        (
            ContactFact("Leopold Starling-Nye", "leopold@grubbinloft.example", "buying"),
            ContactFact("Ysolde Pinnock", "ysolde@grubbinloft.example", "design"),
        ),
        (),
        "no",
        "Their own labels, such as 2025-03 or R4b. Mails rarely say everything that changed.",
    ),
)
