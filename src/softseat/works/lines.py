"""Straight lines through readings: least squares with its uncertainty, and the robust slope of Theil and Sen."""

from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
import numpy.typing as npt

FEWEST = 3


@dataclass(frozen=True, slots=True)
class Line:
    """A fitted straight line; ``low`` and ``high`` bound its slope at the coverage asked for."""

    slope: float
    intercept: float
    error: float  # standard error of the slope
    low: float
    high: float
    residual: float  # standard deviation about the line
    count: int


NO_LINE = Line(*(float("nan"),) * 6, 0)


def student(coverage: float, freedom: float) -> float:
    """Half width over standard error of an interval with this coverage and this many degrees of freedom.

    References
    ----------
    G. W. Hill, Algorithm 396: Student's t-quantiles, Communications of the ACM 13 (1970); exact for one and two degrees.
    """
    outside = 1 - coverage
    if freedom < 1:
        return float("nan")
    if freedom == 1:
        return float(1 / np.tan(outside * np.pi / 2))
    if freedom == 2:
        return float(np.sqrt(2 / (outside * (2 - outside)) - 2))
    a = 1 / (freedom - 0.5)
    b = 48 / a**2
    c = ((20700 * a / b - 98) * a - 16) * a + 96.36
    d = ((94.5 / (b + c) - 3) / b + 1) * np.sqrt(a * np.pi / 2) * freedom
    y = (d * outside) ** (2 / freedom)
    if y > 0.05 + a:
        x = NormalDist().inv_cdf(outside / 2)
        y = x**2
        if freedom < 5:
            c += 0.3 * (freedom - 4.5) * (x + 0.6)
        c = (((0.05 * d * x - 5) * x - 7) * x - 2) * x + b + c
        y = (((((0.4 * y + 6.3) * y + 36) * y + 94.5) / c - y - 3) / b + 1) * x
        y = np.expm1(a * y**2)
    else:
        y = ((1 / (((freedom + 6) / (freedom * y) - 0.089 * d - 0.822) * (freedom + 2) * 3) + 0.5 / (freedom + 4)) * y - 1) * (
            freedom + 1
        ) / (freedom + 2) + 1 / y
    return float(np.sqrt(freedom * y))


def least_squares(x: npt.ArrayLike, y: npt.ArrayLike, coverage: float, together: bool = False) -> Line:
    """Line of least squares through the readings.

    Parameters
    ----------
    x, y : array_like
        Readings; a pair with a nan is left out. [-]
    coverage : float
        Of the slope's interval. [-]
    together : bool
        Widen the interval where neighbouring readings err together (lag-one correlation of what is left over).

    Returns
    -------
    line : Line
        nan with fewer than three readings, or all at one x.
    """
    a, b = (np.asarray(v, float) for v in (x, y))
    kept = np.isfinite(a) & np.isfinite(b)
    a, b = a[kept], b[kept]
    if a.size < FEWEST or np.ptp(a) == 0:
        return NO_LINE
    da = a - a.mean()
    square = float(da @ da)
    slope = float(da @ b) / square
    left = b - b.mean() - slope * da
    residual = float(np.sqrt(left @ left / (a.size - 2)))
    error = residual / np.sqrt(square)
    reach = student(coverage, a.size - 2) * error * (_together(left) if together else 1.0)
    return Line(slope, float(b.mean() - slope * a.mean()), float(error), slope - reach, slope + reach, residual, int(a.size))


def _together(left: np.ndarray) -> float:
    """How much wider an interval is when each reading leans on the one before it: sqrt((1 + r)/(1 - r))."""
    square = float(left @ left)
    if square == 0:
        return 1.0
    r = float(np.clip(left[1:] @ left[:-1] / square, 0.0, 0.99))
    return float(np.sqrt((1 + r) / (1 - r)))


def spread_of(values: npt.ArrayLike) -> float:
    """Robust standard deviation: median distance from the median, as of a normal distribution; nan without readings."""
    held = np.asarray(values, float)
    held = held[np.isfinite(held)]
    return float(np.median(np.abs(held - np.median(held))) / NormalDist().inv_cdf(0.75)) if held.size else float("nan")


def theil_sen(x: npt.ArrayLike, y: npt.ArrayLike, coverage: float) -> Line:
    """Median of the slopes of all pairs of readings, which nearly a third of wild readings cannot move.

    Parameters
    ----------
    x, y : array_like
        Readings; a pair with a nan is left out. [-]
    coverage : float
        Of the slope's interval, from Kendall's statistic without ties. [-]

    Returns
    -------
    line : Line
        nan with fewer than three readings, or all at one x.

    References
    ----------
    P. K. Sen, Estimates of the regression coefficient based on Kendall's tau, J. Am. Stat. Assoc. 63 (1968) 1379.
    """
    a, b = (np.asarray(v, float) for v in (x, y))
    kept = np.isfinite(a) & np.isfinite(b)
    a, b = a[kept], b[kept]
    if a.size < FEWEST or np.ptp(a) == 0:
        return NO_LINE
    i, j = np.triu_indices(a.size, 1)
    apart = a[j] != a[i]
    slopes = np.sort((b[j] - b[i])[apart] / (a[j] - a[i])[apart])
    slope = float(np.median(slopes))
    reach = NormalDist().inv_cdf((1 + coverage) / 2) * np.sqrt(a.size * (a.size - 1) * (2 * a.size + 5) / 18)
    low = slopes[max(round((slopes.size - reach) / 2) - 1, 0)]
    high = slopes[min(round((slopes.size + reach) / 2), slopes.size - 1)]
    left = b - slope * a
    middle = float(np.median(left))
    wide = float(high - low) / 2 / NormalDist().inv_cdf((1 + coverage) / 2)
    return Line(slope, middle, wide, float(low), float(high), spread_of(left - middle), int(a.size))
