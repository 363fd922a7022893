"""A curve through printed points that never leaves them: the monotone cubic of Fritsch and Carlson."""

import numpy as np
from numpy.typing import ArrayLike


def _slopes(x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """Slope at each point: harmonic mean of the neighbours, zero at a turning point, one-sided and held at the ends."""
    h, d = np.diff(x), np.diff(y) / np.diff(x)
    slope = np.zeros(x.shape)
    same = d[:-1] * d[1:] > 0
    w1, w2 = 2 * h[1:] + h[:-1], h[1:] + 2 * h[:-1]
    with np.errstate(divide="ignore", invalid="ignore"):
        slope[1:-1] = np.where(same, (w1 + w2) / (w1 / d[:-1] + w2 / d[1:]), 0.0)
    slope[0] = _end_slope(h[0], h[1], d[0], d[1])
    slope[-1] = _end_slope(h[-1], h[-2], d[-1], d[-2])
    return slope


def _end_slope(h0: float, h1: float, d0: float, d1: float) -> float:
    slope = ((2 * h0 + h1) * d0 - h0 * d1) / (h0 + h1)
    if slope * d0 <= 0:
        return 0.0
    return float(3 * d0) if d0 * d1 <= 0 and abs(slope) > abs(3 * d0) else float(slope)


def monotone(at: ArrayLike, x: ArrayLike, y: ArrayLike) -> np.ndarray:
    """Value at these places of the monotone curve through the points; nan outside of them.

    Parameters
    ----------
    at : array_like
        Where the value is wanted, in the unit of ``x``. [-]
    x, y : array_like
        The points, ``x`` rising. [-]

    References
    ----------
    F. N. Fritsch and R. E. Carlson, SIAM J. Numer. Anal. 17 (1980) 238, with the slopes of Fritsch and Butland (1984).
    """
    at, x, y = (np.asarray(v, float) for v in (at, x, y))
    slope = _slopes(x, y) if x.size > 2 else np.full(x.shape, (y[-1] - y[0]) / (x[-1] - x[0]))
    i = np.clip(np.searchsorted(x, at, side="right") - 1, 0, x.size - 2)
    h = x[i + 1] - x[i]
    t = (at - x[i]) / h
    near, far = (1 + 2 * t) * np.square(1 - t), np.square(t) * (3 - 2 * t)
    value = near * y[i] + far * y[i + 1] + h * (t * np.square(1 - t) * slope[i] + np.square(t) * (t - 1) * slope[i + 1])
    return np.where((at >= x[0]) & (at <= x[-1]), value, np.nan)
