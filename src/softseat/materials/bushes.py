"""Shaft bushes: friction between dry and wet, temperature, bearing pressure, and which media attack them."""

import functools
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from softseat import tables
from softseat.errors import UnknownName
from softseat.tables import number

MEDIA = ("water", "sea_water", "hot_water_chlorinated", "acids", "alkalis", "chlorine_hypochlorite", "oil_fuel", "ammonia", "food_potable")
_REFUSALS = ("no", "not", "poor", "attacked", "hydrolyses", "oil lost", "r073")
_NAN = float("nan")


@dataclass(frozen=True, slots=True)
class Limits:
    """Figures of a bush, nan where none is named or the liner decides."""

    t_min: np.ndarray  # K
    t_max: np.ndarray  # K, wet or dry as asked
    pressure: np.ndarray  # Pa on the projected area, seldom moved


@functools.cache
def _rows() -> dict[str, tables.Row]:
    return dict(tables.index("bushes"))


@functools.cache
def _typed() -> dict[str, str]:
    """Folded words of the trade -> key of the table."""
    found: dict[str, str] = {}
    for key, row in _rows().items():
        for word in (key, row["material"], *row["also_typed_as"].split(",")):
            found.setdefault(word.strip().casefold(), key)
    return found


def bush_key(word: str) -> str:
    """Row of the bush table for a bush as typed.

    Parameters
    ----------
    word : str
        Bush as typed.
    """
    try:
        return _typed()[word.strip().casefold()]
    except KeyError:
        raise UnknownName(f"bush {word!r} is not known; known are {', '.join(_rows())}") from None


def _picked(bush: npt.ArrayLike, *heads: tuple[str, str]) -> list[np.ndarray]:
    """Figures of each bush under these heads with their units; nan where no known one is named."""
    words = np.asarray(bush, str)
    different, back = np.unique(words, return_inverse=True)
    rows = [_rows()[_typed()[w.strip().casefold()]] if w.strip().casefold() in _typed() else None for w in map(str, different)]
    values = (np.array([number(row[head], unit) if row else _NAN for row in rows]) for head, unit in heads)
    return [v[back].reshape(words.shape) for v in values]


def friction(bush: npt.ArrayLike, wet: npt.ArrayLike) -> np.ndarray:
    """Friction of a ground stainless shaft in its bush, with its band.

    Parameters
    ----------
    bush : str or array of str
        Row of bushes.csv, or a bush as typed.
    wet : array_like
        True in water, False in air or gas [-]

    Returns
    -------
    friction : ndarray
        Low, best and high along a leading axis [-]; nan where no known bush is named.

    Notes
    -----
    A worn, scaled or corroded shaft doubles it. For torque the high end is the bad one, for a disc driven by the flow the low one.
    """
    in_water = np.asarray(wet, bool)
    picked = _picked(bush, *((f"mu_{state}_{end}", "-") for state in ("wet", "dry") for end in ("low", "best", "high")))
    return np.stack([np.where(in_water, wet_end, dry_end) for wet_end, dry_end in zip(picked[:3], picked[3:], strict=True)])


def limits(bush: npt.ArrayLike, wet: npt.ArrayLike) -> Limits:
    """Temperatures and bearing pressure of a bush.

    Parameters
    ----------
    bush : str or array of str
        Row of bushes.csv, or a bush as typed.
    wet : array_like
        True in water, False in air or gas [-]

    Returns
    -------
    limits : Limits
        Lowest and highest temperature [K], bearing pressure [Pa]; nan where no known bush is named or the liner decides.
    """
    hot, warm, cold, pressure = _picked(bush, ("t_max_wet_C", "C"), ("t_max_dry_C", "C"), ("t_min_C", "C"), ("p_max_MPa", "MPa"))
    return Limits(cold, np.where(np.asarray(wet, bool), hot, warm), pressure)


@functools.cache
def _refused(head: str) -> frozenset[str]:
    cells = {key: row[head].casefold() for key, row in _rows().items()}
    return frozenset(key for key, cell in cells.items() if any(cell.startswith(word) for word in _REFUSALS))


def attacked(bush: npt.ArrayLike, medium_kind: str) -> np.ndarray:
    """Whether a kind of medium attacks a bush.

    Parameters
    ----------
    bush : str or array of str
        Row of bushes.csv, or a bush as typed.
    medium_kind : str
        One of water, sea_water, hot_water_chlorinated, acids, alkalis, chlorine_hypochlorite, oil_fuel, ammonia, food_potable.

    Returns
    -------
    attacked : ndarray
        True where the table refuses it; False where no known bush is named.
    """
    if medium_kind not in MEDIA:
        raise UnknownName(f"kind of medium {medium_kind!r} is not known; known are {', '.join(MEDIA)}")
    words, place = np.unique(np.asarray(bush, str), return_inverse=True)
    refused = _refused(medium_kind)
    return np.array([_typed().get(w.strip().casefold(), "") in refused for w in words.tolist()], bool)[place]
