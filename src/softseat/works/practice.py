"""Figures of works, site and service that are practice, read from their table in SI."""

import functools

from softseat.errors import UnknownName
from softseat.tables import index, number


@functools.cache
def practice(key: str) -> float:
    """One figure of ``works_practice.csv``, in SI.

    Parameters
    ----------
    key : str
        Its key.

    Raises
    ------
    UnknownName
        Where the table has no such key.
    """
    rows = index("works_practice")
    if key not in rows:
        raise UnknownName(f"works practice {key!r} is not known; known are {', '.join(rows)}")
    return number(rows[key]["value"], rows[key]["unit"])
