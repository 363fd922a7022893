"""Lever and worm gear: what a hand can do."""

import numpy as np
import numpy.typing as npt

from softseat.register import calculation

SELF_LOCKING_BELOW = 0.5  # a worm that is driven back has the efficiency 2 - 1/eta: none below one half


@calculation(
    "lever-force",
    source="moment on a lever; API 609 allows 360 N (house limit)",
    formula="F = T/L",
    example={"torque": "60 N m", "lever_length": "230 mm"},
)
def lever_force(torque: npt.ArrayLike, lever_length: npt.ArrayLike) -> np.ndarray:
    """Pull of the hand at the end of a lever.

    Parameters
    ----------
    torque : array_like
        Torque at the shaft. [N m]
    lever_length : array_like
        Length from the shaft to the middle of the hand. [m]

    Returns
    -------
    hand_force : ndarray
        nan where an input is missing or the length is 0. [N]
    """
    length = np.asarray(lever_length, float)
    return np.asarray(np.asarray(torque, float) / np.where(length > 0, length, np.nan))


@calculation(
    "gear-pull",
    source="handbook: worm gear",
    formula="F = T/(i eta D/2); turns = i/4",
    example={"torque": "900 N m", "ratio": 40, "efficiency": 0.3, "wheel_diameter": "300 mm"},
)
def gear_pull(
    torque: npt.ArrayLike, ratio: npt.ArrayLike, efficiency: npt.ArrayLike, wheel_diameter: npt.ArrayLike
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Pull at the rim of a gear's handwheel, turns for a quarter turn, and whether the gear holds by itself.

    Parameters
    ----------
    torque : array_like
        Torque at the valve shaft. [N m]
    ratio : array_like
        Turns of the handwheel for one turn of the shaft. [-]
    efficiency : array_like
        Efficiency from handwheel to shaft. [-]
    wheel_diameter : array_like
        Diameter of the handwheel. [m]

    Returns
    -------
    hand_force : ndarray
        nan where an input is missing or not positive. [N]
    turns : ndarray
        Turns from closed to open; nan where the ratio is missing. [-]
    self_locking : ndarray of bool
        True where the efficiency is below one half, so that the valve cannot drive the gear.
    """
    t, i, eta, wheel = np.broadcast_arrays(*(np.asarray(x, float) for x in (torque, ratio, efficiency, wheel_diameter)))
    with np.errstate(invalid="ignore", divide="ignore"):
        arm = i * eta * wheel / 2
        force = t / np.where(arm > 0, arm, np.nan)
    return np.asarray(force), np.asarray(i / 4), np.asarray(eta < SELF_LOCKING_BELOW)


def gear_output(
    hand_force: npt.ArrayLike, ratio: npt.ArrayLike, efficiency: npt.ArrayLike, wheel_diameter: npt.ArrayLike, rated: npt.ArrayLike
) -> np.ndarray:
    """Torque that a hand gets out of a gear, not above what the gear is rated for.

    Parameters
    ----------
    hand_force : array_like
        Pull at the rim of the handwheel. [N]
    ratio, efficiency : array_like
        Turns of the wheel for one of the shaft; efficiency. [-]
    wheel_diameter : array_like
        Diameter of the handwheel. [m]
    rated : array_like
        Rated output of the gear. [N m]

    Returns
    -------
    torque : ndarray
        nan where an input is missing. [N m]
    """
    gain = np.asarray(ratio, float) * np.asarray(efficiency, float)
    pulled = np.asarray(hand_force, float) * np.asarray(wheel_diameter, float) / 2 * gain
    return np.asarray(np.minimum(pulled, np.asarray(rated, float)))


def hand_stroke_time(ratio: npt.ArrayLike, turn_rate: npt.ArrayLike) -> np.ndarray:
    """Time that a hand needs for a quarter turn through a gear.

    Parameters
    ----------
    ratio : array_like
        Turns of the wheel for one of the shaft. [-]
    turn_rate : array_like
        Turns of the wheel in a second. [1/s]

    Returns
    -------
    stroke_time : ndarray
        nan where an input is missing. [s]
    """
    return np.asarray(np.asarray(ratio, float) / (4 * np.asarray(turn_rate, float)))
