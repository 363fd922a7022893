"""Cylinders and electric drives: torque over the stroke, duty."""

import numpy as np
import numpy.typing as npt

from softseat.errors import UnknownName
from softseat.register import calculation

BAR = 1e5
ATMOSPHERE = 101325.0
DUTIES = ("on-off", "inching", "modulating", "continuous modulating")  # classes A to D of EN 15714-2 and ISO 22153


def stroke_shape(
    start: npt.ArrayLike, middle: npt.ArrayLike, end: npt.ArrayLike, opening: npt.ArrayLike, yoke: npt.ArrayLike
) -> np.ndarray:
    """A cylinder's torque between the three points that its table gives.

    Parameters
    ----------
    start, middle, end : array_like
        At 0, 45 and 90 deg of opening. Shape (operators,). [N m]
    opening : array_like
        Opening. Shape (angles,). [deg]
    yoke : array_like of bool
        True for a scotch yoke, false for rack and pinion (straight lines). [-]

    Returns
    -------
    torque : ndarray, (operators, angles)
        nan where a point is missing. [N m]

    Notes
    -----
    Scotch yoke: force times sec^2 of the angle from the middle; a force that changes straight with the travel (a spring)
    is exact too: T = sec^2 (m + s tan) + e tan^2, the three points fix m, s and e.
    """
    a, m, b = (np.asarray(x, float)[:, None] for x in (start, middle, end))
    theta = np.asarray(opening, float)
    straight = np.where(theta <= 45, a + (m - a) * theta / 45, m + (b - m) * (theta - 45) / 45)
    tan = np.tan(np.radians(theta - 45))
    bent = (1 + tan**2) * (m + (b - a) / 4 * tan) + ((a + b) / 2 - 2 * m) * tan**2
    return np.asarray(np.where(np.asarray(yoke, bool)[:, None], bent, straight))


@calculation(
    "cylinder-torque",
    source="geometry of rack and pinion and of the scotch yoke",
    formula="rack: T = p A r; yoke: T = p A h/cos^2(theta - 45)",
    example={"air_pressure": "6.5 bar", "torque_per_bar": "40 N m", "opening": 0, "cylinder": "yoke"},
    each=True,
)
def cylinder_torque(air_pressure: float, torque_per_bar: float, opening: float, cylinder: str) -> float:
    """Torque of a double-acting cylinder, from what a bar gives at mid-stroke.

    Parameters
    ----------
    air_pressure : float
        Air pressure, absolute. [Pa]
    torque_per_bar : float
        Torque of one bar above the atmosphere at mid-stroke. [N m]
    opening : float
        Opening, 0 to 90. [deg]
    cylinder : str
        "rack" or "yoke".

    Returns
    -------
    torque : float
        nan where the air is below the atmosphere or the opening not between 0 and 90 deg. [N m]
    """
    if cylinder not in ("rack", "yoke"):
        raise UnknownName(f"cylinder {cylinder!r} is not known; allowed are rack, yoke")
    gauge = (air_pressure - ATMOSPHERE) / BAR
    if not (gauge >= 0 and 0 <= opening <= 90):
        return float("nan")
    lever = 1.0 if cylinder == "rack" else 1 / float(np.cos(np.radians(opening - 45))) ** 2
    return gauge * torque_per_bar * lever


def duty_rank(duty: npt.ArrayLike) -> np.ndarray:
    """Rank of a duty class, on-off lowest, so that a higher one may do a lower one's work.

    Parameters
    ----------
    duty : array_like of str
        on-off, inching, modulating or continuous modulating; "" counts as on-off. [-]

    Returns
    -------
    rank : ndarray of int
        0 to 3. [-]
    """
    words = np.asarray(duty, str)
    for word in np.unique(words):
        if word and word not in DUTIES:
            raise UnknownName(f"duty class {str(word)!r} is not known; allowed are {', '.join(DUTIES)}")
    return np.asarray(sum((np.where(words == d, n, 0) for n, d in enumerate(DUTIES)), np.zeros(words.shape, int)))


def duty_needed(modulating: npt.ArrayLike, starts_per_hour: npt.ArrayLike, starts_limit: npt.ArrayLike) -> np.ndarray:
    """Duty class that a service asks of an electric drive (EN 15714-2, ISO 22153).

    Parameters
    ----------
    modulating : array_like of bool
        Whether it follows a controller. [-]
    starts_per_hour : array_like
        Starts in an hour; nan counts as few. [1/h]
    starts_limit : array_like
        Starts in an hour above which an on-off drive wears out (house). [1/h]

    Returns
    -------
    rank : ndarray of int
        0 on-off, 2 modulating. [-]
    """
    with np.errstate(invalid="ignore"):
        often = np.asarray(starts_per_hour, float) > np.asarray(starts_limit, float)
    return np.where(np.asarray(modulating, bool) | often, 2, 0)


def electric_stroke_time(speed: npt.ArrayLike) -> np.ndarray:
    """Time of a quarter turn from the speed of the output shaft.

    Parameters
    ----------
    speed : array_like
        Turns of the output in a minute. [1/min]

    Returns
    -------
    stroke_time : ndarray
        nan where the speed is missing or 0. [s]
    """
    n = np.asarray(speed, float)
    return np.asarray(15.0 / np.where(n > 0, n, np.nan))
