"""What a customer always means: which field a heading is, in which unit, and answers that stand for all his enquiries."""

from collections.abc import Mapping

from sqlalchemy import select

from softseat.errors import InputError
from softseat.store.audit import By, note
from softseat.store.database import Database
from softseat.store.schema import Memory

KINDS = ("columns", "units", "answers")


def remember(db: Database, by: By, customer: str, kind: str, known: Mapping[str, str]) -> None:
    """Keep for this customer; an empty value forgets."""
    if kind not in KINDS:
        raise InputError(f"memory of kind {kind!r} is not known; allowed are {', '.join(KINDS)}")
    if not customer.strip():
        raise InputError("whose habit is it? a customer's name is needed")
    with db.writing() as session:
        for key, value in known.items():
            found = session.scalar(select(Memory).where(Memory.customer == customer, Memory.kind == kind, Memory.key == key))
            if found is not None and not value:
                session.delete(found)
            elif found is not None:
                found.value, found.made_at, found.made_by = value, by.when, by.who
            elif value:
                session.add(Memory(customer=customer, kind=kind, key=key, value=value, made_at=by.when, made_by=by.who))
        note(session, by, "remembered", None, f"{customer}, {kind}: {dict(known)}")


def remembered(db: Database, customer: str) -> dict[str, dict[str, str]]:
    """Everything kept of a customer, by kind."""
    found: dict[str, dict[str, str]] = {kind: {} for kind in KINDS}
    with db.reading() as session:
        for line in session.scalars(select(Memory).where(Memory.customer == customer)):
            found[line.kind][line.key] = line.value
    return found


def customers(db: Database) -> list[str]:
    """Names of customers of whom something is kept."""
    with db.reading() as session:
        return list(session.scalars(select(Memory.customer).distinct().order_by(Memory.customer)))
