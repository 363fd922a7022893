"""Letters of media.csv as arrays: which rows hold for a medium at a strength, and how letters are put together."""

import functools
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from softseat import tables

UNKNOWN, C, B, A = 0, 1, 2, 3
LETTERS = ("unknown", "C", "B", "A")


@dataclass(frozen=True, slots=True)
class _Rows:
    c_min: np.ndarray
    c_max: np.ndarray
    below: np.ndarray  # place of the next weaker row of the same substance, -1 where there is none
    above: np.ndarray
    head: np.ndarray  # place of the weakest row of the substance (itself where it stands alone)
    family: np.ndarray  # True where the substance has several strengths


def slack(key: str) -> float:
    """How far a row is believed beyond its printed conditions.

    Parameters
    ----------
    key : str
        Key of resistance_reading.csv.
    """
    row = tables.index("resistance_reading")[key]
    return tables.number(row["value"], "-" if row["unit"] == "K" else row["unit"])


@functools.cache
def _rows() -> _Rows:
    count = len(tables.read("media"))
    below, above = np.full(count, -1), np.full(count, -1)
    head, family = np.arange(count), np.zeros(count, bool)
    for row in tables.read("strength_families"):
        places = [int(n) - 1 for n in row["ids"].split()]
        head[places], family[places] = places[0], True
        above[places[:-1]], below[places[1:]] = places[1:], places[:-1]
    return _Rows(tables.column("media", "c_min_pct", "%"), tables.column("media", "c_max_pct", "%"), below, above, head, family)


@functools.cache
def column(head: str) -> np.ndarray:
    """Letters of one column of media.csv as 3, 2, 1 (A, B, C); row n holds medium n + 1.

    Parameters
    ----------
    head : str
        Heading of the column.
    """
    return np.array([LETTERS.index(row[head]) if row[head] in LETTERS else UNKNOWN for row in tables.read("media")], np.int8)


def _places(medium_id: npt.ArrayLike) -> np.ndarray:
    """Places of the rows; -1 where the number is nan or not in the table."""
    number = np.nan_to_num(np.asarray(medium_id, float), nan=0.0)
    count = len(tables.read("media"))
    return np.where((number >= 1) & (number <= count), number - 1, -1).astype(np.int64)


def neighbours(medium_id: npt.ArrayLike, concentration: npt.ArrayLike) -> tuple[np.ndarray, np.ndarray]:
    """Places in media.csv of the two rows between which a strength lies; both the same where one row holds, -1 where none does.

    Parameters
    ----------
    medium_id : array_like
        Row of media.csv, nan where the medium is not known [-]
    concentration : array_like
        Strength, mass share; nan: the row as it is named [-]
    """
    place, share = np.broadcast_arrays(_places(medium_id), np.asarray(concentration, float))
    rows, known = _rows(), place >= 0
    said = known & ~np.isnan(share) & ~np.isnan(rows.c_max[place])
    low = np.where(said & rows.family[place], rows.head[place], place)
    for _ in range(len(rows.above)):  # climb to the strongest row that begins below this strength
        up = rows.above[low]
        step = said & rows.family[place] & (up >= 0) & (rows.c_min[up] < share)
        if not step.any():
            break
        low = np.where(step, up, low)
    up = rows.above[low]
    between = (share > rows.c_max[low]) | (rows.c_min[up] <= share)  # in a gap, or on the limit of two rows
    high = np.where(said & rows.family[place] & (up >= 0) & between, up, low)
    beyond = said & (share > rows.c_max[low] * (1 + slack("strength_slack"))) & (high == low)
    return np.where(beyond, -1, low), np.where(beyond, -1, high)


def worst(ratings: npt.ArrayLike, axis: int = 0) -> np.ndarray:
    """The letter of a mixture: any C makes it C, else any unknown makes it unknown, else the lowest letter.

    Parameters
    ----------
    ratings : array_like
        Letters as 3, 2, 1, 0 (A, B, C, unknown) [-]
    axis : int
        Along which the parts stand.
    """
    order = np.array([1, 0, 2, 3])  # C is worse than unknown
    return np.asarray(order[np.min(order[np.asarray(ratings)], axis=axis)], np.int8)
