"""The clock, in its one place."""

from datetime import UTC, datetime, timedelta

from softseat.store.audit import By


def now() -> str:
    """This moment, UTC, to the second."""
    return datetime.now(UTC).isoformat(timespec="seconds")


def later(hours: float) -> str:
    """A moment to come."""
    return (datetime.now(UTC) + timedelta(hours=hours)).isoformat(timespec="seconds")


def by(who: str) -> By:
    """This person, now."""
    return By(who, now())
