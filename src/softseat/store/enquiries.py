"""Enquiries under work: their rows as they stand, every change of a cell, and undo. The later of two engineers is told."""

import json
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from sqlalchemy import delete, func, select
from sqlalchemy.orm import Session

from softseat.store.audit import By, note
from softseat.store.database import Database
from softseat.store.records import Brief, Cell, Conflict, Edit, Kept, NotKept, Place
from softseat.store.schema import Change, Enquiry, Revision, Row


def add(
    db: Database,
    by: By,
    *,
    name: str,
    source_name: str,
    source: bytes,
    layout: Mapping[str, Any],
    reading: Mapping[str, Any],
    rows: Iterable[tuple[Place, Sequence[Cell]]],
    customer: str = "",
) -> int:
    """Keep a new enquiry; its number."""
    with db.writing() as session:
        kept = Enquiry(
            name=name[:200], customer=customer[:200], source_name=source_name[:300], source=source,
            layout=dict(layout), reading=dict(reading), version=1, made_at=by.when, made_by=by.who,
        )  # fmt: skip
        session.add(kept)
        session.flush()
        session.add_all(Row(enquiry_id=kept.id, sheet=s, row=r, cells=list(cells), version=1) for (s, r), cells in rows)
        note(session, by, "taken in", kept.id, f"{name} ({source_name or 'by phone'})")
        return kept.id


def listed(db: Database) -> list[Brief]:
    """All enquiries, the newest first."""
    issued = select(Revision.enquiry_id, func.count().label("count")).group_by(Revision.enquiry_id).subquery()
    columns = (Enquiry.id, Enquiry.name, Enquiry.customer, Enquiry.version, Enquiry.made_at, Enquiry.made_by, issued.c.count)
    with db.reading() as session:
        found = session.execute(select(*columns).outerjoin(issued, issued.c.enquiry_id == Enquiry.id).order_by(Enquiry.id.desc()))
        return [Brief(i, name, customer, version, at, who, count or 0) for i, name, customer, version, at, who, count in found]


def get(db: Database, number: int) -> Kept:
    """One enquiry with its rows.

    Raises
    ------
    NotKept
        Where there is none of this number.
    """
    with db.reading() as session:
        e = _enquiry(session, number)
        rows = list(session.scalars(select(Row).where(Row.enquiry_id == number).order_by(Row.sheet, Row.row)))
        places = {(r.sheet, r.row): r for r in rows}
        return Kept(
            e.id, e.name, e.customer, e.version, e.layout, e.reading, {p: r.cells for p, r in places.items()},
            {p: r.version for p, r in places.items()}, e.source_name, e.source,
        )  # fmt: skip


def version_of(db: Database, number: int) -> int:
    """The count of changes of an enquiry."""
    with db.reading() as session:
        return _enquiry(session, number).version


def change(db: Database, by: By, number: int, edits: Sequence[Edit], read: Mapping[Place, int] | None = None) -> int:
    """Write cells, all or none; the batch under which they can be undone.

    Parameters
    ----------
    read : mapping
        The version of each row as the editor saw it; a row that has moved on since is a Conflict.
    """
    with db.writing() as session:
        kept = _enquiry(session, number, lock=True)
        _check(session, number, read or {})
        batch = (session.scalar(select(func.max(Change.batch)).where(Change.enquiry_id == number)) or 0) + 1
        rows = _rows(session, number, {(e.sheet, e.row) for e in edits})
        for edit in edits:
            row = rows[edit.sheet, edit.row]
            before = _written(row, edit.column, edit.text)
            session.add(
                Change(enquiry_id=number, batch=batch, sheet=edit.sheet, row=edit.row, place=edit.column, before=json.dumps(before),
                       after=json.dumps(edit.text), undone=False, made_at=by.when, made_by=by.who)
            )  # fmt: skip
        for row in rows.values():
            row.version += 1
        kept.version += 1
        note(session, by, "cells changed", number, "; ".join(f"{e.sheet}!{e.row}: {e.text}" for e in edits[:20]))
        return batch


def undo(db: Database, by: By, number: int) -> list[Place]:
    """Take back the newest batch of this person that still stands; the rows that it touched.

    Raises
    ------
    NotKept
        Where nothing is left to undo.
    Conflict
        Where another has changed one of these cells since.
    """
    with db.writing() as session:
        kept = _enquiry(session, number, lock=True)
        own = (Change.enquiry_id == number, Change.undone.is_(False), Change.made_by == by.who)
        batch = session.scalar(select(func.max(Change.batch)).where(*own))
        if batch is None:
            raise NotKept("there is nothing of yours left to undo")
        changes = list(session.scalars(select(Change).where(Change.enquiry_id == number, Change.batch == batch).order_by(Change.id.desc())))
        rows = _rows(session, number, {(c.sheet, c.row) for c in changes})
        for c in changes:
            row = rows[c.sheet, c.row]
            if row.cells[c.place] != json.loads(c.after):
                raise Conflict(f"{c.sheet}, row {c.row}: the cell was changed again since, to {row.cells[c.place]!r}; nothing was undone")
            _written(row, c.place, json.loads(c.before))
            c.undone = True
        for row in rows.values():
            row.version += 1
        kept.version += 1
        note(session, by, "undone", number, f"{len(changes)} cells")
        return list(rows)


def reread(db: Database, by: By, number: int, reading: Mapping[str, Any], version: int) -> None:
    """Another understanding of the columns."""
    with db.writing() as session:
        kept = _enquiry(session, number, lock=True)
        if kept.version != version:
            raise Conflict("the enquiry was changed by another meanwhile: look again, then choose")
        kept.reading = dict(reading)
        kept.version += 1
        note(session, by, "columns chosen", number, str(dict(reading))[:500])


def extend(db: Database, by: By, number: int, layout: Mapping[str, Any], rows: Iterable[tuple[Place, Sequence[Cell]]]) -> None:
    """More rows (an item said on the phone); a row that stands there already is written anew."""
    with db.writing() as session:
        kept = _enquiry(session, number, lock=True)
        kept.layout = dict(layout)
        kept.version += 1
        for (sheet, row), cells in rows:
            found = session.scalar(select(Row).where(Row.enquiry_id == number, Row.sheet == sheet, Row.row == row))
            if found is None:
                session.add(Row(enquiry_id=number, sheet=sheet, row=row, cells=list(cells), version=1))
            else:
                found.cells = list(cells)
                found.version += 1
        note(session, by, "item added", number)


def remove(db: Database, by: By, number: int) -> None:
    """Remove an enquiry of which nothing was issued."""
    with db.writing() as session:
        kept = _enquiry(session, number, lock=True)
        if session.scalar(select(func.count()).where(Revision.enquiry_id == number)):
            raise Conflict(f"{kept.name}: revisions of it were issued; it stays")
        note(session, by, "removed", number, kept.name)
        session.execute(delete(Enquiry).where(Enquiry.id == number))


def _enquiry(session: Session, number: int, lock: bool = False) -> Enquiry:
    wanted = select(Enquiry).where(Enquiry.id == number)
    found = session.scalar(wanted.with_for_update() if lock else wanted)
    if found is None:
        raise NotKept(f"there is no enquiry {number}")
    return found


def _check(session: Session, number: int, read: Mapping[Place, int]) -> None:
    for place, row in _rows(session, number, set(read)).items():
        if row.version != read[place]:
            by = session.scalar(
                select(Change.made_by)
                .where(Change.enquiry_id == number, Change.row == row.row, Change.sheet == row.sheet)
                .order_by(Change.id.desc())
            )
            raise Conflict(f"{place[0]}, row {place[1]} was changed by {by or 'another'} since you read it; nothing of yours was written")


def _rows(session: Session, number: int, places: set[Place]) -> dict[Place, Row]:
    wanted = select(Row).where(Row.enquiry_id == number)
    if len(places) < 200:  # beyond that one look at all rows is the quicker one
        wanted = wanted.where(Row.row.in_({row for _, row in places}))
    found = {(r.sheet, r.row): r for r in session.scalars(wanted) if (r.sheet, r.row) in places}
    if missing := places - set(found):
        raise NotKept(f"there is no row {min(missing)[1]} in sheet {min(missing)[0]!r}")
    return found


def _written(row: Row, column: int, text: Cell) -> Cell:
    """The cell written; what stood there before."""
    cells = list(row.cells)
    cells += [""] * (column + 1 - len(cells))
    before: Cell = cells[column]
    cells[column] = text
    row.cells = cells
    return before
