"""How rubbers and metals stand a medium: the letter with its limit, the worse neighbour between two strengths, unknown never A."""

import functools

import numpy as np
import numpy.typing as npt

from softseat import tables
from softseat.errors import UnknownName
from softseat.materials import elastomers
from softseat.materials.letters import UNKNOWN, A, B, C, column, neighbours, slack, worst

ELASTOMERS = ("NBR", "HNBR", "EPDM", "FKM", "CSM", "VMQ", "CR", "NR", "AU", "PTFE_EPDM")
_NAN = float("nan")


@functools.cache
def _stacked() -> tuple[np.ndarray, np.ndarray]:
    """Letters and limits [K] of all rubbers, (rubber, row); a last row of unknowns answers for place -1."""
    letters = [np.append(column(f"{e}_rating"), UNKNOWN) for e in ELASTOMERS]
    limits = [np.append(tables.column("media", f"{e}_maxC", "C"), _NAN) for e in ELASTOMERS]
    return np.array(letters, np.int8), np.array(limits)


@functools.cache
def _range(head: str, unit: str = "-") -> np.ndarray:
    return np.append(tables.column("media", head, unit), _NAN)


def _outside(value: np.ndarray, low: np.ndarray, high: np.ndarray, slack: float) -> np.ndarray:
    with np.errstate(invalid="ignore"):
        return (value < low - slack) | (value > high + slack)


def _at(place: np.ndarray, which: np.ndarray, temperature: np.ndarray, cap: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Letter and limit of one row for one rubber at a temperature."""
    letters, limits = _stacked()
    letter = letters[which, place]
    limit = np.where(letter > C, np.fmin(limits[which, place], cap), _NAN)
    with np.errstate(invalid="ignore"):
        return np.where(temperature > limit, C, letter).astype(np.int8), limit


def liner_rating(
    medium_id: npt.ArrayLike,
    liner: npt.ArrayLike,
    temperature: npt.ArrayLike,
    concentration: npt.ArrayLike = _NAN,
    ph: npt.ArrayLike = _NAN,
    solids: npt.ArrayLike = _NAN,
) -> tuple[np.ndarray, np.ndarray]:
    """How a rubber stands a medium.

    Parameters
    ----------
    medium_id : array_like
        Row of media.csv, nan where the medium is not known [-]
    liner : str or array of str
        Rubber or grade as typed; "" where none is named, a word that is not known gives unknown.
    temperature : array_like
        Highest temperature; nan: the letter as printed, with its limit [K]
    concentration : array_like
        Strength, mass share; nan: the row as it is named [-]
    ph : array_like
        pH where it was said: outside the row, the pH range of the rubber decides [-]
    solids : array_like
        Mass share of solids where it was said: above the row, A falls to B [-]

    Returns
    -------
    rating : ndarray
        3, 2, 1, 0 for A (resists), B (conditional), C (no), unknown; 0 where medium, strength or liner is not known [-]
    limit : ndarray
        Temperature up to which the letter of the row holds [K]; nan where the row itself says C, or nothing.
    """
    low, high = neighbours(medium_id, concentration)
    words = np.asarray(liner, str)
    different, back = np.unique(words, return_inverse=True)
    known = [elastomers.known(str(w)) for w in different]
    letters = [ELASTOMERS.index(elastomers.liner_letters(str(w))) if k else -1 for w, k in zip(different, known, strict=True)]
    of_word = np.array(letters), elastomers.limits(different).t_max, *elastomers.ph_range(different)
    which, cap, *ph_ends = (figures[back].reshape(words.shape) for figures in of_word)
    low, high, which, cap, t, acid, grit, *ph_ends = np.broadcast_arrays(
        low, high, which, cap, *(np.asarray(x, float) for x in (temperature, ph, solids)), *ph_ends
    )
    one, first = _at(low, which, t, cap)
    two, second = _at(high, which, t, cap)
    rating = worst(np.stack([one, two]))
    limit = np.where(rating > C, np.fmin(first, second), np.where((one > UNKNOWN) & (two > UNKNOWN), np.fmin(first, second), _NAN))
    strange = _outside(
        acid,
        np.fmin(_range("ph_min")[low], _range("ph_min")[high]),
        np.fmax(_range("ph_max")[low], _range("ph_max")[high]),
        slack("ph_slack"),
    )
    rating = np.where(strange & (rating > UNKNOWN) & _outside(acid, ph_ends[0], ph_ends[1], 0.0), C, rating)
    with np.errstate(invalid="ignore"):
        rating = np.where((grit > _range("solids_max_pct", "%")[low]) & (rating == A), B, rating)
    told = (low >= 0) & (which >= 0)
    return np.where(told, rating, UNKNOWN).astype(np.int8), np.where(told, limit, _NAN)


@functools.cache
def _metals() -> dict[str, tables.Row]:
    return dict(tables.index("metal_columns"))


def metal_column(metal: str) -> tables.Row:
    """Which column of media.csv holds for a metal or coated disc, and how near it is.

    Parameters
    ----------
    metal : str
        Key of body_class.csv or number of a shaft steel.
    """
    try:
        return _metals()[metal]
    except KeyError:
        raise UnknownName(f"metal {metal!r} is not known; known are {', '.join(_metals())}") from None


def _metal_letter(place: np.ndarray, row: tables.Row, temperature: np.ndarray) -> np.ndarray:
    """Letter of one metal; well above the temperature of the row it is a letter lower, for nothing is known there."""
    letter = np.append(column(row["column"]), UNKNOWN)[place]
    with np.errstate(invalid="ignore"):
        above = temperature - _range("t_max_C", "C")[place]
        falls = ((above > slack("heat_near")) & (letter == A)) | ((above > slack("heat_far")) & (letter == B))
        letter = np.where(falls, letter - 1, letter)
    return np.where((letter == B) & (row["b_falls"] == "yes"), C, letter).astype(np.int8)


def _one_metal(key: str, medium_id: np.ndarray, t: np.ndarray, share: np.ndarray, covering: np.ndarray) -> np.ndarray:
    row = metal_column(key)
    if row["column"].startswith("liner:"):
        rubber = row["column"].removeprefix("liner:")
        return liner_rating(medium_id, covering if rubber == "covering" else rubber, t, share)[0]
    if row["column"] == "none":
        return np.zeros(medium_id.shape, np.int8)
    low, high = neighbours(medium_id, share)
    return worst(np.stack([_metal_letter(low, row, t), _metal_letter(high, row, t)]))


def metal_rating(
    medium_id: npt.ArrayLike,
    metal: npt.ArrayLike,
    temperature: npt.ArrayLike,
    concentration: npt.ArrayLike = _NAN,
    covering: npt.ArrayLike = "EPDM",
) -> np.ndarray:
    """How a metal, coat or covered disc stands a medium.

    Parameters
    ----------
    medium_id : array_like
        Row of media.csv, nan where the medium is not known [-]
    metal : str or array of str
        Key of body_class.csv, or number of a shaft steel; "" where none is named, a word that is not known gives unknown.
    temperature : array_like
        Highest temperature; nan: the letter as printed [K]
    concentration : array_like
        Strength, mass share; nan: the row as it is named [-]
    covering : str or array of str
        Rubber of a covered disc.

    Returns
    -------
    rating : ndarray
        3, 2, 1, 0 for A, B, C, unknown; 0 where medium, strength or metal is not known or the table has no column for it [-]
    """
    number, words, t, share, rubber = np.broadcast_arrays(
        np.asarray(medium_id, float),
        np.asarray(metal, str),
        np.asarray(temperature, float),
        np.asarray(concentration, float),
        np.asarray(covering, str),
    )
    rating = np.zeros(number.shape, np.int8)
    for key in np.unique(np.asarray(metal, str)):
        if str(key) in _metals():
            here = words == key
            rating[here] = _one_metal(str(key), number[here], t[here], share[here], rubber[here])
    return rating
