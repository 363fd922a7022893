"""How the disc goes shut: opening over time as the operator gives it, and what the valve passes on the way."""

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike

from softseat.errors import InputError
from softseat.flow.coefficient import BAR, HOUR, RHO_WATER
from softseat.flow.surge_line import GRAVITY
from softseat.register import calculation

LAWS = ("linear", "two-speed", "yoke", "spring")
OverTime = Callable[[np.ndarray], np.ndarray]  # of times (steps, runs)


@calculation(
    "stroke-opening",
    source="kinematics of the operator: own derivation, closed forms",
    formula="linear 1 - s; two-speed broken at (t_b, opening_b); yoke 1/2 + atan(1 - 2 s)/(pi/2); spring travel (1 - r^s)/(1 - r); s = t/T",
    example={"time": [0, 2, 4, 8, 30], "stroke_time": 30, "law": "two-speed", "break_opening": 20, "break_time": 5},
)
def stroke_opening(
    time: ArrayLike,
    stroke_time: ArrayLike,
    law: str = "linear",
    start: ArrayLike = 90.0,
    break_opening: ArrayLike = 20.0,
    break_time: ArrayLike | None = None,
    end_force: ArrayLike = 0.6,
) -> np.ndarray:
    """Opening of a closing valve over time.

    Parameters
    ----------
    time : array_like
        Time since the start. [s]
    stroke_time : array_like
        Time of the whole closing; 0 shuts at once. [s]
    law : str
        linear (electric drive, worm gear), two-speed, yoke (scotch yoke, piston at even speed), spring (spring-return yoke against a
        damper, piston speed with the spring's force).
    start : array_like
        Opening at the start. [deg]
    break_opening : array_like
        Opening at which a two-speed stroke turns slow. [deg]
    break_time : array_like
        When it does; none is a linear stroke. [s]
    end_force : array_like
        Force of the spring at the closed end over that at the open end; 0.6 is common practice, no source. [-]

    Returns
    -------
    opening : ndarray
        Opening; 0 once shut; nan where an input is missing. [deg]

    Raises
    ------
    InputError
        Where the law is not known.
    """
    if law not in LAWS:
        raise InputError(f"law {law!r} is not known; allowed are {', '.join(LAWS)}")
    t, total, first = (np.asarray(v, float) for v in (time, stroke_time, start))
    with np.errstate(divide="ignore", invalid="ignore"):
        s = np.where(total > 0, np.clip(t / total, 0, 1), np.where(t > 0, 1.0, 0.0) + 0 * total)
        if law == "two-speed" and break_time is not None:
            return _two_speed(t, total, first, np.asarray(break_opening, float), np.asarray(break_time, float))
        if law == "spring":
            r = np.asarray(end_force, float)
            s = np.where(r == 1, s, (1 - r**s) / np.where(r == 1, np.nan, 1 - r))
        return np.asarray(first * (0.5 + np.arctan(1 - 2 * s) / (np.pi / 2)) if law in ("yoke", "spring") else first * (1 - s))


def _two_speed(t: np.ndarray, total: np.ndarray, first: np.ndarray, middle: np.ndarray, at: np.ndarray) -> np.ndarray:
    middle, at = np.minimum(middle, first), np.minimum(at, total)
    fast = first + (middle - first) * t / np.where(at > 0, at, np.nan)
    slow = middle * (total - t) / np.where(total > at, total - at, np.nan)
    return np.asarray(np.select([t <= 0, t <= at, t < total], [first + 0 * t, fast, slow], 0.0 * (t + total + at + middle)))


@calculation(
    "hand-stroke",
    source="turns of a worm gear: arithmetic",
    formula="T = i/(4 n)",
    example={"ratio": 40, "turning_rate": 0.5},
)
def hand_stroke(ratio: ArrayLike, turning_rate: ArrayLike) -> np.ndarray:
    """Stroke time of a quarter-turn gear that is turned by hand at an even rate.

    Parameters
    ----------
    ratio : array_like
        Turns of the handwheel for one turn of the shaft. [-]
    turning_rate : array_like
        Turns of the handwheel in a second. [1/s]

    Returns
    -------
    stroke_time : ndarray
        nan where ratio or rate is not above zero. [s]
    """
    i, n = np.asarray(ratio, float), np.asarray(turning_rate, float)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where((i > 0) & (n > 0), i / (4 * n), np.nan)


def kv_conductance(kv: ArrayLike, gravity: float = GRAVITY) -> np.ndarray:
    """Flow coefficient as flow over the root of the head lost, whatever the liquid.

    Parameters
    ----------
    kv : array_like
        Flow coefficient. [m3/h]
    gravity : float
        [m/s2]
    """
    return np.asarray(np.asarray(kv, float) / HOUR * np.sqrt(RHO_WATER * gravity / BAR))


def valve_over_time(opening: OverTime, openings: np.ndarray, conductance: np.ndarray) -> OverTime:
    """What the valve passes over time, from its curve over the opening and the stroke.

    Parameters
    ----------
    opening : callable
        Opening at times of shape (steps, runs). [deg]
    openings : ndarray, shape (points,)
        Openings of the curve, even steps from 0. [deg]
    conductance : ndarray, shape (points, runs)
        Of the valve there, 0 at 0. [m2.5/s]
    """
    step = openings[1] - openings[0]
    last, runs = len(openings) - 2, conductance.shape[1]
    left, rise = conductance[:-1].ravel(), np.diff(conductance, axis=0).ravel()

    def at(time: np.ndarray) -> np.ndarray:
        place = np.clip(opening(time) / step, 0, last + 1)
        k = np.minimum(np.nan_to_num(place).astype(int), last)
        here = k * runs + np.arange(runs)
        return np.asarray(left[here] + (place - k) * rise[here])

    return at
