"""Who did what and when. Lines are only ever added."""

from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from softseat.store.database import Database
from softseat.store.schema import Entry


@dataclass(frozen=True, slots=True)
class By:
    """Who acts, and when: told by the caller."""

    who: str
    when: str  # ISO 8601, UTC


@dataclass(frozen=True, slots=True)
class Line:
    when: str
    who: str
    what: str
    enquiry: int | None
    detail: str


def note(session: Session, by: By, what: str, enquiry: int | None = None, detail: str = "") -> None:
    """One line, in the transaction of what it tells about."""
    session.add(Entry(made_at=by.when, made_by=by.who, what=what, enquiry_id=enquiry, detail=detail[:2000]))


def lines(db: Database, enquiry: int | None = None, most: int = 200) -> list[Line]:
    """The newest lines first; of one enquiry, or of all."""
    wanted = select(Entry).order_by(Entry.id.desc()).limit(most)
    if enquiry is not None:
        wanted = wanted.where(Entry.enquiry_id == enquiry)
    with db.reading() as session:
        return [Line(e.made_at, e.made_by, e.what, e.enquiry_id, e.detail) for e in session.scalars(wanted)]
