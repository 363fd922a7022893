"""Torque of rubber on disc with its band, before and after a works test, and how it dies away as the disc opens."""

import numpy as np
import numpy.typing as npt

from softseat.register import calculation
from softseat.torque.band import spread, uncertainty


def seat_torque_band(
    model_torque: npt.ArrayLike, tested_torque: npt.ArrayLike = np.nan, model_at_test: npt.ArrayLike = np.nan
) -> np.ndarray:
    """Seating torque with its band; one tested torque of this size and compound fixes friction times modulus.

    Parameters
    ----------
    model_torque : array_like
        Torque of rim or hub from the contact model in the service at hand. [N m]
    tested_torque : array_like
        Torque measured at the works, rim and hub together; nan where none (an invented figure is none). [N m]
    model_at_test : array_like
        Rim and hub together from the model as tested; nan where there was no test. [N m]

    Returns
    -------
    torque : ndarray, leading axis 3
        Low, best, high; nan where the model is. [N m]
    """
    with np.errstate(invalid="ignore", divide="ignore"):
        ratio = np.asarray(tested_torque, float) / np.asarray(model_at_test, float)
    tested = np.isfinite(ratio) & (ratio > 0)
    share = np.where(tested, uncertainty("seat_calibrated")[0], uncertainty("seat_uncalibrated")[0])
    return spread(np.asarray(model_torque, float) * np.where(tested, ratio, 1.0), share)


def leaving_angle(interference: npt.ArrayLike, disc_diameter: npt.ArrayLike) -> np.ndarray:
    """Angle at which the rim square to the shaft comes clear of the liner.

    Parameters
    ----------
    interference : array_like
        Radial interference. [m]
    disc_diameter : array_like
        Outside diameter of the disc. [m]

    Returns
    -------
    opening : ndarray
        nan where an input is missing or the disc would never come clear. [deg]
    """
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.asarray(np.degrees(np.arcsin(np.sqrt(4 * np.asarray(interference, float) / np.asarray(disc_diameter, float)))))


@calculation(
    "rim-share",
    source="own derivation, first order: interference left at each point of the rim, docs/theory/torque.md",
    formula="T/T0 = integral of (1 - u (1 - c^2)) dc where positive; u = R sin^2(theta)/(2 delta)",
    example={"opening": 5, "interference": "0.6 mm", "disc_diameter": "300 mm"},
)
def rim_share(opening: npt.ArrayLike, interference: npt.ArrayLike, disc_diameter: npt.ArrayLike) -> np.ndarray:
    """Share of the rim's closed torque that is left at an opening: the rim near the shaft leaves the liner last.

    Parameters
    ----------
    opening : array_like
        Opening of the disc. [deg]
    interference : array_like
        Radial interference of the closed disc. [m]
    disc_diameter : array_like
        Outside diameter of the disc. [m]

    Returns
    -------
    share : ndarray
        1 closed, falling to nothing; nan where the opening is not between 0 and 90 deg. [-]
    """
    angle, gap, d = np.broadcast_arrays(*(np.asarray(x, float) for x in (opening, interference, disc_diameter)))
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        u = d / 2 * np.square(np.sin(np.radians(angle))) / (2 * gap)
        edge = np.sqrt(np.clip(1 - 1 / u, 0, 1))  # cosine of the angle round the rim where contact begins
        left = (1 - u) * (1 - edge) + u * (1 - edge**3) / 3
        left = np.where(u > 1e6, 1 / (4 * u), left)  # the difference of near numbers is lost there; leading term of its series
        left = np.where(gap > 0, np.where(u > 0, left, 1.0), np.where(angle == 0, 1.0, 0.0))
    return np.asarray(np.where((angle >= 0) & (angle <= 90) & (gap >= 0), left, np.nan))
