"""A series of losses over the whole stroke: a monotone curve through its points, continued to both ends, on one fine grid."""

import functools

import numpy as np

from softseat.flow.interpolation import monotone
from softseat.flow.losses import idelchik, points

_STEP = 0.25
_GRID = np.arange(1.0, 90 + _STEP, _STEP)  # fine enough for straight lines between: below 1e-4 in K
Places = tuple[np.ndarray, np.ndarray, np.ndarray]  # openings, the point of the grid below each, how far it lies above that


@functools.cache
def _plate(model: str) -> np.ndarray:
    """Logarithm of the loss of a series on the grid, continued below its first point with the trend of Idelchik's form."""
    at, k = points(model)
    inside = np.exp(monotone(_GRID, at, np.log(k)))
    with np.errstate(divide="ignore"):
        below = k[0] * idelchik(_GRID) / idelchik(at[0])
        above = k[-1] * np.maximum(90 - _GRID, 1e-6) / max(90 - at[-1], 1e-6)
    first, last = at[[0, -1]]
    return np.asarray(np.log(np.select([first > _GRID, last < _GRID], [below, above], inside)))


@functools.cache
def _rises(model: str) -> np.ndarray:
    """Rise of a series from each point of the grid on."""
    return np.append(np.diff(_plate(model)) / np.diff(_GRID), 0.0)


def places_of(opening: np.ndarray) -> Places:
    """Where the openings lie on the grid, told once for all the series that stand on it.

    Parameters
    ----------
    opening : ndarray
        Opening, up to 90. [deg]
    """
    above = np.maximum(opening - _GRID[0], 0.0)
    point = np.minimum(np.nan_to_num(above / _STEP), len(_GRID) - 1).astype(np.intp)
    return opening, point, np.maximum(opening, _GRID[0]) - _GRID[point]


def series_loss(model: str, places: Places) -> np.ndarray:
    """Loss of a disc by a printed or simulated series over the whole stroke, straight in the logarithm between the points of the grid.

    Parameters
    ----------
    model : str
        isa, weisbach, simulated.
    places : tuple
        The openings, by ``places_of``.
    """
    opening, point, above = places
    k = np.exp(_rises(model)[point] * above + _plate(model)[point])
    with np.errstate(divide="ignore"):
        return np.asarray(np.where(opening < _GRID[0], k / np.square(opening), k))  # nearly closed: the gap grows with the opening
