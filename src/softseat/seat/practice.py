"""Figures of the seat that are practice, read from their table."""

import functools

from softseat.errors import UnknownName
from softseat.tables import index, number


@functools.cache
def practice(key: str) -> float:
    """One figure of ``seat_practice.csv``, in the unit that stands there (SI).

    Parameters
    ----------
    key : str
        Its key.
    """
    rows = index("seat_practice")
    if key not in rows:
        raise UnknownName(f"seat practice {key!r} is not known; known are {', '.join(rows)}")
    return number(rows[key]["value"])
