"""Where a person decided against a finding: kept with name and reason, withdrawn but never removed."""

from dataclasses import dataclass

from sqlalchemy import select

from softseat.errors import InputError
from softseat.store.audit import By, note
from softseat.store.database import Database
from softseat.store.records import NotKept, Place
from softseat.store.schema import Enquiry, Override

SHORTEST = 10  # letters of a reason that says anything: a habit of the house


@dataclass(frozen=True, slots=True)
class Overridden:
    id: int
    place: Place
    rule: str
    decision: str
    reason: str
    who: str
    when: str
    withdrawn: str  # by whom and when; empty while it stands


def override(db: Database, by: By, enquiry: int, place: Place, *, rule: str, decision: str, reason: str) -> int:
    """Enter a decision.

    Raises
    ------
    InputError
        Without a name, a decision or a reason.
    """
    if not by.who.strip():
        raise InputError("an override needs the name of who answers for it")
    if len(reason.strip()) < SHORTEST:
        raise InputError(f"an override needs its reason in words (at least {SHORTEST} letters)")
    if not decision.strip():
        raise InputError("an override needs the decision: what is offered nevertheless")
    with db.writing() as session:
        if session.get(Enquiry, enquiry) is None:
            raise NotKept(f"there is no enquiry {enquiry}")
        made = Override(
            enquiry_id=enquiry, sheet=place[0], row=place[1], rule=rule[:20], decision=decision.strip(), reason=reason.strip(),
            made_at=by.when, made_by=by.who, withdrawn_at="", withdrawn_by="",
        )  # fmt: skip
        session.add(made)
        session.flush()
        _counted(session.get_one(Enquiry, enquiry))
        note(session, by, "overridden", enquiry, f"{place[0]}, row {place[1]}, {rule}: {decision}; {reason}")
        return made.id


def withdraw(db: Database, by: By, enquiry: int, number: int) -> None:
    """Withdraw a decision; it stays readable."""
    with db.writing() as session:
        found = session.scalar(select(Override).where(Override.enquiry_id == enquiry, Override.id == number))
        if found is None or found.withdrawn_at:
            raise NotKept(f"enquiry {enquiry} has no override {number} that stands")
        found.withdrawn_at, found.withdrawn_by = by.when, by.who
        _counted(session.get_one(Enquiry, enquiry))
        note(session, by, "override withdrawn", enquiry, f"{found.rule}: {found.decision}")


def overrides(db: Database, enquiry: int) -> list[Overridden]:
    """All decisions of an enquiry, in the order made."""
    with db.reading() as session:
        found = session.scalars(select(Override).where(Override.enquiry_id == enquiry).order_by(Override.id))
        return [
            Overridden(o.id, (o.sheet, o.row), o.rule, o.decision, o.reason, o.made_by, o.made_at,
                       f"{o.withdrawn_by}, {o.withdrawn_at}" if o.withdrawn_at else "")
            for o in found
        ]  # fmt: skip


def _counted(enquiry: Enquiry) -> None:
    """Papers made before are out of date now."""
    enquiry.version += 1
