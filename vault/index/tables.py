"""The tables of the index: flat rows of strings and integers, filled from records and made again when in doubt.

Rows are not the model. They hold what is needed to find a record, and the record itself is read from the store.
"""

from typing import ClassVar

from sqlalchemy import BigInteger, Index, MetaData
from sqlmodel import Field, SQLModel


class Row(SQLModel):
    """Keeps our tables apart from those of any other user of SQLModel."""

    metadata: ClassVar[MetaData] = MetaData()


class RecordRow(Row, table=True):
    """One record: where it lies, what it is, what it belongs to."""

    __tablename__ = "record"
    __table_args__ = (Index("record_name", "thing", "name"), Index("record_owner", "owner_thing", "owner_name"))

    id: int | None = Field(default=None, primary_key=True)
    path: str = Field(index=True, unique=True)
    kind: str = Field(index=True)
    thing: str | None
    name: str | None
    owner_thing: str | None
    owner_name: str | None
    at_us: int = Field(sa_type=BigInteger)
    label: str | None


class LinkRow(Row, table=True):
    """One arrow from a record to a thing."""

    __tablename__ = "link"
    __table_args__ = (Index("link_target", "thing", "name"),)

    id: int | None = Field(default=None, primary_key=True)
    record: int = Field(foreign_key="record.id", ondelete="CASCADE", index=True)
    field: str
    thing: str
    name: str


class SoughtRow(Row, table=True):
    """A record that a search finds: how it is called, and the line that is looked through."""

    __tablename__ = "sought"

    record: int = Field(foreign_key="record.id", ondelete="CASCADE", primary_key=True)
    shown: str
    title: str
    own: str  # folded texts of the record itself
    borrowed: str  # folded names of its customer and material


class TextRow(Row, table=True):
    """One text by which a record is found; numbers are squashed, so that separators do not matter."""

    __tablename__ = "text"

    id: int | None = Field(default=None, primary_key=True)
    record: int = Field(foreign_key="record.id", ondelete="CASCADE", index=True)
    field: str
    text: str
    number: str | None = Field(index=True)


class UnreadableRow(Row, table=True):
    """A path that should hold a record and does not: skipped, never hidden."""

    __tablename__ = "unreadable"

    path: str = Field(primary_key=True)
    why: str


class StateRow(Row, table=True):
    """The one row that says what the index shows."""

    __tablename__ = "state"

    id: int = Field(default=1, primary_key=True)
    commit: str
    schema_number: int
