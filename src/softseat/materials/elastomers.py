"""Rubbers of a liner: letters of ISO 1629, the grade that is meant, and between which temperatures and pH it may stay."""

import functools
import re
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from softseat import tables
from softseat.errors import UnknownName

_COLUMNS = {"t_min": "safe_min_C", "t_max": "safe_max_continuous_C", "t_short": "short_max_C"}


def _first_number(text: str) -> float:
    """Leading number of a cell such as ``60 (water 40)``."""
    found = re.match(r"\s*(-?\d+(?:\.\d+)?)", text)
    return float(found.group(1)) if found else float("nan")


def _fold(word: str) -> str:
    return re.sub(r"[\s\-_.]", "", word.casefold())


@functools.cache
def _codes() -> dict[str, tables.Row]:
    return {_fold(row["typed"]): row for row in tables.read("liner_codes")}


def _code(word: str) -> tables.Row:
    try:
        return _codes()[_fold(word)]
    except KeyError:
        letters = sorted({row["liner"] for row in tables.read("liner_codes")})
        raise UnknownName(f"liner {word!r} is not known; known are {', '.join(letters)} and their old names (CSPE, FPM, EPT ...)") from None


def known(word: str) -> bool:
    """Whether this word names a rubber that we have limits for.

    Parameters
    ----------
    word : str
        Rubber or grade as typed.
    """
    return _fold(word) in _codes()


def liner_letters(word: str) -> str:
    """Letters of ISO 1629 for a rubber as typed (CSPE is CSM, FPM is FKM, EPT is EPDM, Q is VMQ).

    Parameters
    ----------
    word : str
        Rubber or grade as typed.

    Returns
    -------
    liner : str
        Letters of ISO 1629.
    """
    return _code(word)["liner"]


def default_grade(word: str) -> str:
    """Row of the elastomer table that is meant by a rubber as typed.

    Parameters
    ----------
    word : str
        Rubber or grade as typed.

    Returns
    -------
    liner_grade : str
        Row of elastomers.csv: EPDM is taken as peroxide-cured, NBR as medium acrylonitrile, FKM as type 1.
    """
    return _code(word)["grade"]


@functools.cache
def _limits() -> dict[str, dict[str, float]]:
    rows = tables.read("elastomers")
    return {row["code"]: {name: _first_number(row[head]) + 273.15 for name, head in _COLUMNS.items()} for row in rows}


@functools.cache
def _ph() -> dict[str, tuple[float, float]]:
    found = {}
    for row in tables.read("elastomers"):
        ends = re.findall(r"\d+(?:\.\d+)?", row["pH_range"])
        found[row["code"]] = (float(ends[0]), float(ends[1]))
    return found


@dataclass(frozen=True, slots=True)
class Limits:
    """Temperatures of a grade [K], nan where no grade is named."""

    t_min: np.ndarray  # lowest at which it still seals
    t_max: np.ndarray  # highest, continuous, in any medium
    t_short: np.ndarray  # highest for a short time


def _each(words: npt.ArrayLike, pick: Mapping[str, tuple[float, ...]], width: int) -> tuple[np.ndarray, ...]:
    """Figures of each grade, found once for each different word; nan for a word that names none."""
    grades = np.asarray(words, str)
    different, back = np.unique(grades, return_inverse=True)
    found = [pick[default_grade(str(g))] if known(str(g)) else (float("nan"),) * width for g in different]
    values = np.array(found).reshape(len(different), width)
    return tuple(values[:, n][back].reshape(grades.shape) for n in range(width))


def limits(liner_grade: npt.ArrayLike) -> Limits:
    """Between which temperatures a grade seals.

    Parameters
    ----------
    liner_grade : str or array of str
        Rows of elastomers.csv, or letters (then their default grade).

    Returns
    -------
    limits : Limits
        Lowest, highest and short-time temperature [K]; nan where no known grade is named.
    """
    picked = {code: (v["t_min"], v["t_max"], v["t_short"]) for code, v in _limits().items()}
    return Limits(*_each(liner_grade, picked, 3))


def ph_range(liner_grade: npt.ArrayLike) -> tuple[np.ndarray, np.ndarray]:
    """Between which pH a grade may stay: a rule of thumb where the medium has no row of its own.

    Parameters
    ----------
    liner_grade : str or array of str
        Rows of elastomers.csv, or letters (then their default grade).

    Returns
    -------
    ph_min, ph_max : ndarray
        Range of pH [-]; nan where no known grade is named.
    """
    low, high = _each(liner_grade, _ph(), 2)
    return low, high
