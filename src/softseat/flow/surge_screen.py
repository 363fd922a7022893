"""Surge by hand: the chain of Allievi, the slow closing, and the effective closing time."""

import numpy as np
from numpy.typing import ArrayLike

from softseat.flow.surge_line import GRAVITY
from softseat.register import calculation

FURTHEST = 100_000  # wave returns that are followed


@calculation(
    "allievi-chain",
    source="Allievi 1913: interlocking equations, frictionless pipe, uniform closing, discharge at the datum",
    formula="z_i^2 + z_(i-1)^2 - 2 = 2 r (tau_(i-1) z_(i-1) - tau_i z_i), z^2 = H/H0, r = a V0/(2 g H0)",
    example={"pipeline_constant": 0.5, "phases": 4, "phase": 1},
)
def allievi_chain(pipeline_constant: ArrayLike, phases: ArrayLike, phase: ArrayLike) -> np.ndarray:
    """Head at the valve at the end of each wave return, over the steady head.

    Parameters
    ----------
    pipeline_constant : array_like
        Constant of the pipeline, a V0/(2 g H0). [-]
    phases : array_like
        Closing time in wave returns 2L/a; the effective area falls uniformly to nothing. [-]
    phase : array_like
        Number of the wave return, 1 the first. [-]

    Returns
    -------
    head_ratio : ndarray
        H/H0; nan where the constant or the closing time is not above zero, or the phase is not a whole number up to 100 000. [-]

    References
    ----------
    Allievi, Teoria del colpo d'ariete (1913); the valve's end of the characteristics at t = 2L/a, 4L/a, ...
    """
    r, n, last = np.broadcast_arrays(*(np.asarray(v, float) for v in (pipeline_constant, phases, phase)))
    good = (r > 0) & (n > 0) & (last >= 0) & (last <= FURTHEST) & (last == np.rint(last))
    ratio = np.where(good, 1.0, np.nan)
    h, z, tau = np.ones(r.shape), np.ones(r.shape), np.ones(r.shape)
    with np.errstate(invalid="ignore", divide="ignore"):
        for i in range(1, int(np.max(np.where(good, last, 0), initial=0)) + 1):
            shut = np.clip(1 - i / n, 0.0, 1.0)
            known = 2 - h + 2 * r * tau * z  # may fall below zero once it is shut
            z = -r * shut + np.sqrt(np.square(r * shut) + np.maximum(known, 0.0))
            h, tau = np.where(shut > 0, np.square(z), known), shut
            ratio = np.where(good & (last == i), h, ratio)
    return ratio


@calculation(
    "slow-closing",
    source="rigid column and the limit of Allievi's chain for a slow uniform closing; any textbook",
    formula="rigid: H/H0 = 1 + m; limit: 1 + (m/2)(m + sqrt(m^2 + 4)); m = L V0/(g H0 t_c)",
    example={"length": "3000 m", "velocity": 1.5, "closing_time": 60, "valve_head": 40},
)
def slow_closing(
    length: ArrayLike, velocity: ArrayLike, closing_time: ArrayLike, valve_head: ArrayLike, gravity: ArrayLike = GRAVITY
) -> tuple[np.ndarray, np.ndarray]:
    """Head of a closing that takes many wave returns; not for a faster one.

    Parameters
    ----------
    length : array_like
        Length of the pipe. [m]
    velocity : array_like
        Velocity before the closing. [m/s]
    closing_time : array_like
        Time in which the effective area falls uniformly to nothing. [s]
    valve_head : array_like
        Steady head at the valve over the head behind it. [m]
    gravity : array_like
        Gravity. [m/s2]

    Returns
    -------
    head_ratio : ndarray
        Highest head over the steady one; nan where time or head is not above zero. [-]
    rigid_ratio : ndarray
        The same of a rigid column that is braked evenly, which is too low; nan where time or head is not above zero. [-]
    """
    t, h = np.asarray(closing_time, float), np.asarray(valve_head, float)
    with np.errstate(invalid="ignore", divide="ignore"):
        good = (t > 0) & (h > 0)
        m = np.asarray(length, float) * np.asarray(velocity, float) / (np.asarray(gravity, float) * np.where(good, h, np.nan) * t)
        return 1 + m / 2 * (m + np.sqrt(np.square(m) + 4)), 1 + m


def effective_time(
    length: ArrayLike, velocity: ArrayLike, rise: ArrayLike, stroke_time: ArrayLike, gravity: ArrayLike = GRAVITY
) -> np.ndarray:
    """Time in which an even stop of the flow would raise the head as much, by Michaud: what is left of the stroke.

    Parameters
    ----------
    length : array_like
        Length of the pipe. [m]
    velocity : array_like
        Velocity before the closing. [m/s]
    rise : array_like
        Highest head over that of the source. [m]
    stroke_time : array_like
        Full stroke. [s]
    gravity : array_like
        Gravity. [m/s2]

    Returns
    -------
    effective_time : ndarray
        Never more than the stroke; nan where an input is missing. [s]
    """
    up = np.asarray(rise, float)
    with np.errstate(divide="ignore", invalid="ignore"):
        even = 2 * np.asarray(length, float) * np.asarray(velocity, float) / (np.asarray(gravity, float) * np.where(up > 0, up, 0 * up))
    return np.asarray(np.minimum(even, np.asarray(stroke_time, float)))
