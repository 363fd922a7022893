"""Offers as issued: their items and papers, kept byte by byte and never changed."""

import hashlib
import json
import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import func, select
from sqlalchemy.orm import Session, load_only

from softseat.errors import StoreError
from softseat.store.audit import By, note
from softseat.store.database import Database
from softseat.store.records import Conflict, NotKept
from softseat.store.schema import Enquiry, Revision


@dataclass(frozen=True, slots=True)
class Issued:
    """One revision without its papers."""

    number: int
    note: str
    version: int
    engine: str
    maker: str
    digest: str
    when: str
    who: str


def issue(db: Database, by: By, enquiry: int, *, version: int, items: str, pack: bytes, maker: str, engine: str, text: str = "") -> Issued:
    """Issue the enquiry as it stands as the next revision.

    Raises
    ------
    Conflict
        Where the enquiry was changed after these papers were made.
    """
    with db.writing() as session:
        kept = session.scalar(select(Enquiry).where(Enquiry.id == enquiry).with_for_update())
        if kept is None:
            raise NotKept(f"there is no enquiry {enquiry}")
        if kept.version != version:
            raise Conflict("the enquiry was changed while the papers were made: nothing was issued; make them again")
        number = (session.scalar(select(func.max(Revision.number)).where(Revision.enquiry_id == enquiry)) or 0) + 1
        made = Revision(
            enquiry_id=enquiry, number=number, note=text, version=version, engine=engine, maker=maker[:200],
            items=zlib.compress(items.encode()), pack=pack, digest=hashlib.sha256(pack).hexdigest(), made_at=by.when, made_by=by.who,
        )  # fmt: skip
        session.add(made)
        note(session, by, "issued", enquiry, f"revision {number}: {text}")
        return _told(made)


def listed(db: Database, enquiry: int) -> list[Issued]:
    """The revisions of an enquiry, the newest first."""
    columns = (
        Revision.number,
        Revision.note,
        Revision.version,
        Revision.engine,
        Revision.maker,
        Revision.digest,
        Revision.made_at,
        Revision.made_by,
    )
    with db.reading() as session:
        wanted = select(Revision).where(Revision.enquiry_id == enquiry).options(load_only(*columns)).order_by(Revision.number.desc())
        return [_told(r) for r in session.scalars(wanted)]


def items(db: Database, enquiry: int, number: int) -> Sequence[dict[str, Any]]:
    """The items of a revision, as they were issued."""
    with db.reading() as session:
        found: Sequence[dict[str, Any]] = json.loads(zlib.decompress(_revision(session, enquiry, number).items))
        return found


def pack(db: Database, enquiry: int, number: int) -> bytes:
    """The papers of a revision (zip), byte by byte as issued.

    Raises
    ------
    StoreError
        Where the bytes are no longer those that were issued.
    """
    with db.reading() as session:
        kept = _revision(session, enquiry, number)
    if hashlib.sha256(kept.pack).hexdigest() != kept.digest:
        raise StoreError(f"revision {number}: the papers kept are not those that were issued (their digest differs)")
    return kept.pack


def _revision(session: Session, enquiry: int, number: int) -> Revision:
    found = session.scalar(select(Revision).where(Revision.enquiry_id == enquiry, Revision.number == number))
    if found is None:
        raise NotKept(f"enquiry {enquiry} has no revision {number}")
    return found


def _told(r: Revision) -> Issued:
    return Issued(r.number, r.note, r.version, r.engine, r.maker, r.digest, r.made_at, r.made_by)
