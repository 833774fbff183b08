"""What is noted when controlled data leave the shop."""

from typing import ClassVar

from vault.model.base import Entry, Line, Sha256
from vault.model.ids import CustomerRef, OwnUlid, PartRef, PersonRef


class ExportLog(Entry):
    """Data of a controlled or not yet classified part were given away, on whose word and under which authorisation."""

    KIND: ClassVar[str] = "export-log"
    id: OwnUlid
    part: PartRef
    customer: CustomerRef
    authorisation: Line
    responsible: PersonRef
    destination: Line
    view_sha256: Sha256
