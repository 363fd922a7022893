"""People and their roles, browser sessions, tokens of programs. Passwords are hashed (argon2id), keys are kept as hashes only."""

import hashlib
import secrets
from dataclasses import dataclass

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError
from sqlalchemy import delete, func, select

from softseat.errors import InputError
from softseat.store.audit import By, note
from softseat.store.database import Database
from softseat.store.records import Conflict, NotKept
from softseat.store.schema import Key, User

ROLES = ("reader", "engineer", "lead")
SHORTEST = 12  # letters of a password: a habit of the house
HASHER = PasswordHasher()
# checked where there is no such user, so that the answer takes as long
NOBODY = HASHER.hash("nobody has this password")


@dataclass(frozen=True, slots=True)
class Person:
    id: int
    name: str
    role: str
    active: bool = True

    def may(self, role: str) -> bool:
        return self.active and ROLES.index(self.role) >= ROLES.index(role)


def add_user(db: Database, by: By, name: str, role: str, password: str) -> Person:
    """A new person.

    Raises
    ------
    InputError
        Where the role is not known, the name is empty or the password is short.
    """
    if role not in ROLES:
        raise InputError(f"role {role!r} is not known; allowed are {', '.join(ROLES)}")
    if not name.strip() or len(name) > 100:
        raise InputError("a user needs a name of 1 to 100 letters")
    with db.writing() as session:
        if session.scalar(select(User).where(User.name == name)) is not None:
            raise Conflict(f"there is a user {name!r} already")
        made = User(name=name, role=role, password=_hashed(password), active=True, made_at=by.when)
        session.add(made)
        session.flush()
        note(session, by, "user added", None, f"{name}, {role}")
        return Person(made.id, made.name, made.role)


def change_user(db: Database, by: By, name: str, *, role: str = "", password: str = "", active: bool | None = None) -> None:
    """Another role, another password, in or out; whoever is changed has to log in again. One lead always stays."""
    if role and role not in ROLES:
        raise InputError(f"role {role!r} is not known; allowed are {', '.join(ROLES)}")
    with db.writing() as session:
        user = session.scalar(select(User).where(User.name == name).with_for_update())
        if user is None:
            raise NotKept(f"there is no user {name!r}")
        user.role = role or user.role
        user.active = user.active if active is None else active
        if password:
            user.password = _hashed(password)
        session.flush()
        if not session.scalar(select(func.count()).where(User.role == "lead", User.active.is_(True))):
            raise Conflict("one lead has to stay")
        session.execute(delete(Key).where(Key.user_id == user.id, *([] if user.active is False else [Key.kind == "session"])))
        note(session, by, "user changed", None, f"{name}: {role or user.role}, {'in' if user.active else 'out'}")


def people(db: Database) -> list[Person]:
    """Everyone, by name."""
    with db.reading() as session:
        return [Person(u.id, u.name, u.role, u.active) for u in session.scalars(select(User).order_by(User.name))]


def checked(db: Database, name: str, password: str) -> Person | None:
    """The person, if name and password fit; takes as long where they do not."""
    with db.reading() as session:
        user = session.scalar(select(User).where(User.name == name))
    try:
        HASHER.verify(user.password if user else NOBODY, password)
    except (VerificationError, InvalidHashError):
        return None
    return Person(user.id, user.name, user.role) if user and user.active else None


def new_key(db: Database, by: By, user: int, kind: str, ends_at: str, label: str = "") -> str:
    """A session or a token; told once, kept as a hash."""
    secret = secrets.token_urlsafe(32)
    with db.writing() as session:
        session.execute(delete(Key).where(Key.ends_at < by.when))
        session.add(Key(user_id=user, kind=kind, hash=_digest(secret), label=label[:100], made_at=by.when, ends_at=ends_at))
        note(session, by, f"{kind} begun", None, label)
    return secret


def holder(db: Database, secret: str, kind: str, now: str) -> Person | None:
    """Whose session or token this is; None where it has ended."""
    wanted = select(User).join(Key, Key.user_id == User.id).where(Key.hash == _digest(secret), Key.kind == kind, Key.ends_at > now)
    with db.reading() as session:
        user = session.scalar(wanted)
    return Person(user.id, user.name, user.role) if user and user.active else None


def end_key(db: Database, secret: str) -> None:
    """Log out."""
    with db.writing() as session:
        session.execute(delete(Key).where(Key.hash == _digest(secret)))


def _digest(secret: str) -> str:
    return hashlib.sha256(secret.encode()).hexdigest()


def _hashed(password: str) -> str:
    if len(password) < SHORTEST:
        raise InputError(f"a password needs {SHORTEST} letters or more")
    return HASHER.hash(password)
