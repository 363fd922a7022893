"""Bands of independent parts, added as variances at a declared coverage."""

import functools
from collections.abc import Sequence
from statistics import NormalDist

import numpy as np
import numpy.typing as npt

from softseat.errors import InputError, UnknownName
from softseat.tables import index, number


@functools.cache
def uncertainty(key: str) -> tuple[float, float]:
    """Half width of a part of the torque, as a share of its best value, and the coverage it is declared at.

    Parameters
    ----------
    key : str
        Key of ``torque_uncertainty.csv``.
    """
    rows = index("torque_uncertainty")
    if key not in rows:
        raise UnknownName(f"uncertainty {key!r} is not known; known are {', '.join(rows)}")
    return number(rows[key]["half_width"]), number(rows[key]["coverage"])


@functools.cache
def house(key: str) -> float:
    """One figure of the house's limits, in the unit that stands beside it.

    Parameters
    ----------
    key : str
        Key of ``house_limits.csv``.
    """
    rows = index("house_limits")
    if key not in rows:
        raise UnknownName(f"limit {key!r} is not in house_limits.csv")
    return number(rows[key]["value"])


def quantile(coverage: float) -> float:
    """Half width over standard deviation of a normal distribution.

    Parameters
    ----------
    coverage : float
        Share of cases inside the band, above 0 and below 1. [-]
    """
    if not 0 < coverage < 1:
        raise InputError(f"coverage is {coverage}; allowed is a share between 0 and 1")
    return NormalDist().inv_cdf((1 + coverage) / 2)


def spread(best: npt.ArrayLike, half_width: npt.ArrayLike, floor: float = 0.0) -> np.ndarray:
    """A value with a band of this share on either side, never below the floor.

    Parameters
    ----------
    best : array_like
        The best value. [-]
    half_width : array_like
        Half width as a share of it. [-]
    floor : float
        Lowest value that the quantity can have. [-]
    """
    value, share = np.asarray(best, float), np.asarray(half_width, float)
    return np.stack(np.broadcast_arrays(np.maximum(value * (1 - share), floor), value, value * (1 + share)))


def combine(parts: Sequence[np.ndarray], declared: Sequence[float], coverage: float) -> np.ndarray:
    """Sum of independent parts with bands: best values added, deviations of each side added as variances.

    Parameters
    ----------
    parts : sequence of ndarray
        Each with a leading axis low, best, high (a term that is taken off comes with its sign and its ends changed over). [-]
    declared : sequence of float
        Coverage of each part's band. [-]
    coverage : float
        Coverage wanted of the sum. [-]

    Returns
    -------
    total : ndarray, leading axis 3
        nan where a part is nan. [-]
    """
    best = sum((p[1] for p in parts), np.zeros(()))
    down, up = np.zeros(()), np.zeros(())
    for part, share in zip(parts, declared, strict=True):
        scale = quantile(coverage) / quantile(share)
        down = down + np.square(scale * (part[1] - part[0]))
        up = up + np.square(scale * (part[2] - part[1]))
    return np.stack(np.broadcast_arrays(best - np.sqrt(down), best, best + np.sqrt(up)))


def opposed(part: np.ndarray) -> np.ndarray:
    """The same term taken off: sign changed, and low and high changed over.

    Parameters
    ----------
    part : array_like
        Term with a leading axis low, best, high. [-]
    """
    return -part[::-1]
