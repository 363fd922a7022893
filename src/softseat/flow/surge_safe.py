"""The shortest stroke that is safe, and every slower one with it."""

import numpy as np
from numpy.typing import ArrayLike

from softseat.flow.surge_case import MEMBERS, Case, Stroke, band, closings, shut_head


def safe_strokes(
    case: Case, room: np.ndarray, least: np.ndarray, longest: float, floor: ArrayLike = -np.inf, reaches: int = 4
) -> np.ndarray:
    """Shortest linear stroke of which neither it nor a slower one leaves the allowed heads by its bad end.

    Parameters
    ----------
    case : Case
        The items.
    room : ndarray, shape (items,)
        Highest head allowed. [m]
    least : ndarray, shape (items,)
        No stroke shorter than this is offered: the wave return. [s]
    longest : float
        No stroke longer than this is tried. [s]
    floor : array_like
        Lowest head allowed. [m]
    reaches : int
        Reaches of each line.

    Returns
    -------
    stroke_time : ndarray, shape (items,)
        nan where a value is missing or none is safe. [s]
    """
    found, limits = np.full(len(case), np.nan), np.broadcast_to(np.asarray(floor, float), room.shape)
    # what stands before the shut valve in the end is above the room at any stroke
    left = np.flatnonzero(~(shut_head(case, np.arange(len(case)), np.tile(MEMBERS[0], (len(case), 1))) > room))
    low, high = least[left], np.full(len(left), longest)
    for tried in (17, 17):
        grid = low * (high / low) ** (np.arange(tried)[:, None] / (tried - 1))
        lasting = _lasting(case.take(left), grid, room[left], limits[left], reaches)
        any_safe, first = lasting.any(axis=0), lasting.argmax(axis=0)
        here = np.take_along_axis(grid, first[None], axis=0)[0]
        found[left] = np.where(any_safe, here, np.nan)
        between = any_safe & (first > 0)  # else there is nothing between two strokes to look at
        low = np.take_along_axis(grid, np.maximum(first - 1, 0)[None], axis=0)[0][between]
        high, left = here[between], left[between]
    return found


def _lasting(case: Case, grid: np.ndarray, room: np.ndarray, floor: np.ndarray, reaches: int) -> np.ndarray:
    """Strokes (tried, items) that keep the heads with all slower ones; the best member, run first, leaves few for the others."""
    every = np.tile(np.arange(len(case)), len(grid))
    alone = closings(case.take(every), Stroke(grid.ravel()), reaches, members=MEMBERS[:1])
    peak, lowest = alone.peak.reshape(grid.shape), alone.lowest.reshape(grid.shape)
    # the ends of a band lie on both sides of its best value
    lasting = np.logical_and.accumulate(((peak <= room) & (lowest >= floor))[::-1])[::-1].copy()
    tried, item = np.nonzero(lasting)
    others = closings(case.take(item), Stroke(grid[tried, item]), reaches, members=MEMBERS[1:])
    highest = band(np.concatenate([peak[None, tried, item], others.peak]))[2]
    least = band(np.concatenate([lowest[None, tried, item], others.lowest]))[0]
    lasting[tried, item] = (highest <= room[item]) & (least >= floor[item])
    return np.logical_and.accumulate(lasting[::-1])[::-1]
