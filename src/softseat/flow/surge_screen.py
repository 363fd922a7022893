"""Surge by hand: the chain of Allievi, the slow closing, and the effective closing time of a real valve in a long line."""

import numpy as np
from numpy.typing import ArrayLike

from softseat.flow.surge_line import GRAVITY
from softseat.register import calculation

WINDOWS = 90  # the stroke is looked at in ninetieths: one degree of a quarter turn


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
        H/H0; nan where the constant or the closing time is not above zero, or the phase is not a whole number. [-]

    References
    ----------
    Allievi, Teoria del colpo d'ariete (1913); the valve's end of the characteristics at t = 2L/a, 4L/a, ...
    """
    r, n, last = np.broadcast_arrays(*(np.asarray(v, float) for v in (pipeline_constant, phases, phase)))
    good = (r > 0) & (n > 0) & (last >= 0) & (last == np.rint(last))
    ratio = np.where(good, 1.0, np.nan)
    z, tau = np.ones(r.shape), np.ones(r.shape)
    with np.errstate(invalid="ignore", divide="ignore"):
        for i in range(1, int(np.max(np.where(good, last, 0), initial=0)) + 1):
            shut = np.clip(1 - i / n, 0.0, 1.0)
            known = 2 - np.square(z) + 2 * r * tau * z
            z = -r * shut + np.sqrt(np.square(r * shut) + known)
            tau = shut
            ratio = np.where(good & (last == i), np.square(z), ratio)
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


def flow_over_stroke(relative_kv: np.ndarray, authority: ArrayLike) -> np.ndarray:
    """Flow over a closing stroke in a line that answers at once, as a share of the first.

    Parameters
    ----------
    relative_kv : ndarray, shape (points, ...)
        Kv over the stroke as a share of the first, from 1 to 0. [-]
    authority : array_like
        Share of the whole head that the valve takes at the first point. [-]
    """
    a = np.asarray(authority, float)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(np.where(relative_kv > 0, 1 / np.sqrt(1 - a + a / np.square(relative_kv)), 0 * a))


def stopped_share(flow: np.ndarray, window: ArrayLike) -> np.ndarray:
    """Largest part of the flow that is stopped within a share of the stroke, wherever it lies.

    Parameters
    ----------
    flow : ndarray, shape (points, ...)
        Flow over the stroke as a share of the first, at even steps of time. [-]
    window : array_like
        Share of the stroke, a wave return over the stroke time. [-]

    Returns
    -------
    share : ndarray
        1 for a window of the whole stroke and more; nan where the window is not known. [-]
    """
    at, values = _stopped(flow)
    w = np.asarray(window, float) * np.ones(values.shape[1:])
    place = np.clip(np.nan_to_num(w), 0, 1) * (len(at) - 1)
    k = np.minimum(place.astype(int), len(at) - 2)
    left, right = (np.take_along_axis(values, (k + i)[None], axis=0)[0] for i in (0, 1))
    return np.where(np.isnan(w), np.nan, left + (place - k) * (right - left))


def longest_window(flow: np.ndarray, share: ArrayLike) -> np.ndarray:
    """Largest share of the stroke in which no more than this share of the flow is stopped: the inverse of `stopped_share`.

    Parameters
    ----------
    flow : ndarray, shape (points, ...)
        As there. [-]
    share : array_like
        Share of the flow. [-]
    """
    at, values = _stopped(flow)
    s = np.asarray(share, float) * np.ones(values.shape[1:])
    k = np.clip((values <= s).sum(axis=0) - 1, 0, len(at) - 2)
    left, right = (np.take_along_axis(values, (k + i)[None], axis=0)[0] for i in (0, 1))
    with np.errstate(divide="ignore", invalid="ignore"):
        inside = np.where(right > left, (s - left) / (right - left), 1.0)
    window = (k + np.clip(inside, 0, 1)) * at[1]
    return np.where(np.isnan(s) | np.isnan(values[-1]), np.nan, np.where(s >= values[-1], 1.0, window))


def _stopped(flow: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Windows (0 to 1) and the largest drop of flow within each."""
    points = len(flow)
    drops = [np.zeros(flow.shape[1:])] + [np.max(flow[:-k] - flow[k:], axis=0) for k in range(1, points)]
    return np.arange(points) / (points - 1), np.stack(drops)


def effective_time(flow: np.ndarray, stroke_time: ArrayLike) -> np.ndarray:
    """Time that an even stop of the flow would take at the steepest part of the stroke.

    Parameters
    ----------
    flow : ndarray, shape (points, ...)
        As in `stopped_share`. [-]
    stroke_time : array_like
        Full stroke. [s]

    Returns
    -------
    effective_time : ndarray
        nan where the stroke time is not known. [s]
    """
    steepest = np.max(flow[:-1] - flow[1:], axis=0) * (len(flow) - 1)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(np.asarray(stroke_time, float) * flow[0] / steepest)
