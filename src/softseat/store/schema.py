"""The tables of the store. Times are texts in ISO 8601, UTC, told by the caller: the store knows no clock."""

from typing import Any, ClassVar

from sqlalchemy import JSON, ForeignKey, Index, LargeBinary, MetaData, String, Text, UniqueConstraint
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

NAMING = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s",
    "pk": "pk_%(table_name)s",
}
WHEN = String(32)


class Root(DeclarativeBase):
    """All tables; constraint names are fixed so that a migration can name them."""

    metadata = MetaData(naming_convention=NAMING)
    type_annotation_map: ClassVar[dict[Any, Any]] = {dict[str, Any]: JSON, list[Any]: JSON}


class Enquiry(Root):
    """An enquiry under work. ``version`` counts its changes; ``layout`` names its sheets and how they were delimited."""

    __tablename__ = "enquiries"
    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str] = mapped_column(String(200))
    customer: Mapped[str] = mapped_column(String(200), default="")
    source_name: Mapped[str] = mapped_column(String(300))
    source: Mapped[bytes] = mapped_column(LargeBinary)  # the buyer's file, byte by byte
    layout: Mapped[dict[str, Any]]
    reading: Mapped[dict[str, Any]]  # heading -> field, heading -> unit, standing answers
    version: Mapped[int] = mapped_column(default=1)
    made_at: Mapped[str] = mapped_column(WHEN)
    made_by: Mapped[str] = mapped_column(String(100))


class Row(Root):
    """One row of a sheet of the enquiry as it stands now. Two engineers meet here: ``version`` tells the later one."""

    __tablename__ = "rows"
    __table_args__ = (UniqueConstraint("enquiry_id", "sheet", "row"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    enquiry_id: Mapped[int] = mapped_column(ForeignKey("enquiries.id", ondelete="CASCADE"))
    sheet: Mapped[str] = mapped_column(String(200))
    row: Mapped[int]  # from 1
    cells: Mapped[list[Any]]  # texts, and numbers where the workbook held numbers
    version: Mapped[int] = mapped_column(default=1)


class Change(Root):
    """One cell changed; changes of one ``batch`` were made, and are undone, together."""

    __tablename__ = "changes"
    __table_args__ = (Index(None, "enquiry_id", "batch"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    enquiry_id: Mapped[int] = mapped_column(ForeignKey("enquiries.id", ondelete="CASCADE"))
    batch: Mapped[int]
    sheet: Mapped[str] = mapped_column(String(200))
    row: Mapped[int]
    place: Mapped[int]  # column from 0
    before: Mapped[str] = mapped_column(Text)  # JSON: a number is not its text
    after: Mapped[str] = mapped_column(Text)
    undone: Mapped[bool] = mapped_column(default=False)
    made_at: Mapped[str] = mapped_column(WHEN)
    made_by: Mapped[str] = mapped_column(String(100))


class Override(Root):
    """What a person decided against the finding: with name and reason, never removed, only withdrawn."""

    __tablename__ = "overrides"
    id: Mapped[int] = mapped_column(primary_key=True)
    enquiry_id: Mapped[int] = mapped_column(ForeignKey("enquiries.id", ondelete="CASCADE"), index=True)
    sheet: Mapped[str] = mapped_column(String(200))
    row: Mapped[int]
    rule: Mapped[str] = mapped_column(String(20))
    decision: Mapped[str] = mapped_column(Text)
    reason: Mapped[str] = mapped_column(Text)
    made_at: Mapped[str] = mapped_column(WHEN)
    made_by: Mapped[str] = mapped_column(String(100))
    withdrawn_at: Mapped[str] = mapped_column(WHEN, default="")
    withdrawn_by: Mapped[str] = mapped_column(String(100), default="")


class Revision(Root):
    """An offer as issued. The database itself refuses to change or remove a row (trigger)."""

    __tablename__ = "revisions"
    __table_args__ = (UniqueConstraint("enquiry_id", "number"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    enquiry_id: Mapped[int] = mapped_column(ForeignKey("enquiries.id", ondelete="RESTRICT"))
    number: Mapped[int]
    note: Mapped[str] = mapped_column(Text)
    version: Mapped[int]  # of the enquiry
    engine: Mapped[str] = mapped_column(String(50))
    maker: Mapped[str] = mapped_column(String(200))
    items: Mapped[bytes] = mapped_column(LargeBinary)  # items.json, deflated
    pack: Mapped[bytes] = mapped_column(LargeBinary)  # all papers, zip
    digest: Mapped[str] = mapped_column(String(64))
    made_at: Mapped[str] = mapped_column(WHEN)
    made_by: Mapped[str] = mapped_column(String(100))


class Memory(Root):
    """What a customer always means: a heading's field, its unit, a standing answer."""

    __tablename__ = "memory"
    __table_args__ = (UniqueConstraint("customer", "kind", "key"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    customer: Mapped[str] = mapped_column(String(200))
    kind: Mapped[str] = mapped_column(String(20))  # columns, units, answers
    key: Mapped[str] = mapped_column(String(200))
    value: Mapped[str] = mapped_column(Text)
    made_at: Mapped[str] = mapped_column(WHEN)
    made_by: Mapped[str] = mapped_column(String(100))


class Entry(Root):
    """One line of the audit: who did what and when."""

    __tablename__ = "audit"
    id: Mapped[int] = mapped_column(primary_key=True)
    made_at: Mapped[str] = mapped_column(WHEN)
    made_by: Mapped[str] = mapped_column(String(100))
    what: Mapped[str] = mapped_column(String(50))
    enquiry_id: Mapped[int | None] = mapped_column(index=True)
    detail: Mapped[str] = mapped_column(Text)


class User(Root):
    """A person with a role: reader, engineer or lead."""

    __tablename__ = "users"
    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str] = mapped_column(String(100), unique=True)
    role: Mapped[str] = mapped_column(String(20))
    password: Mapped[str] = mapped_column(String(300))  # argon2id, with its own salt and cost
    active: Mapped[bool] = mapped_column(default=True)
    made_at: Mapped[str] = mapped_column(WHEN)


class Key(Root):
    """A session of a browser or a token of a program; only the hash is kept."""

    __tablename__ = "keys"
    id: Mapped[int] = mapped_column(primary_key=True)
    user_id: Mapped[int] = mapped_column(ForeignKey("users.id", ondelete="CASCADE"))
    kind: Mapped[str] = mapped_column(String(10))  # session, token
    hash: Mapped[str] = mapped_column(String(64), unique=True)
    label: Mapped[str] = mapped_column(String(100), default="")
    made_at: Mapped[str] = mapped_column(WHEN)
    ends_at: Mapped[str] = mapped_column(WHEN)
