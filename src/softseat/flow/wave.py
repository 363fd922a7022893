"""Pressure waves in a pipe: their speed, and the rise of a sudden change of flow."""

import numpy as np
from numpy.typing import ArrayLike

from softseat.errors import InputError
from softseat.register import calculation

RESTRAINT = ("joints", "upstream", "anchored")


@calculation(
    "wave-speed",
    source="Wylie and Streeter, Fluid Transients: thin-walled pipe, from memory",
    formula="a = sqrt(K/rho)/sqrt(1 + (K/E)(D/e) c1)",
    example={"density": 998, "bulk_modulus": "2.19 GPa", "young": "207 GPa", "bore": "500 mm", "wall": "10 mm"},
)
def wave_speed(
    density: ArrayLike,
    bulk_modulus: ArrayLike,
    young: ArrayLike | None = None,
    bore: ArrayLike | None = None,
    wall: ArrayLike | None = None,
    poisson: ArrayLike = 0.3,
    restraint: str = "joints",
) -> np.ndarray:
    """Speed of a pressure wave in a liquid-filled thin-walled pipe; in a rigid pipe where no wall is given.

    Parameters
    ----------
    density : array_like
        Density of the liquid. [kg/m3]
    bulk_modulus : array_like
        Bulk modulus of the liquid. [Pa]
    young : array_like
        Young's modulus of the pipe; without it the pipe is rigid. [Pa]
    bore, wall : array_like
        Bore and wall thickness of the pipe. [m]
    poisson : array_like
        Poisson's ratio of the pipe. [-]
    restraint : str
        joints (expansion joints throughout), upstream (held at its upstream end), anchored (held against any axial movement).

    Returns
    -------
    wave_speed : ndarray
        nan where density or bulk modulus is not above zero. [m/s]
    """
    if restraint not in RESTRAINT:
        raise InputError(f"restraint {restraint!r} is not known; allowed are {', '.join(RESTRAINT)}")
    rho, modulus = np.asarray(density, float), np.asarray(bulk_modulus, float)
    nu = np.asarray(poisson, float)
    factor = {"joints": np.ones_like(nu), "upstream": 1 - nu / 2, "anchored": 1 - nu**2}[restraint]
    with np.errstate(invalid="ignore", divide="ignore"):
        good = (rho > 0) & (modulus > 0)
        rigid = np.sqrt(np.where(good, modulus, np.nan) / np.where(good, rho, np.nan))
        if young is None:
            return np.asarray(rigid)
        if bore is None or wall is None:
            raise InputError("wave-speed: with young the bore and the wall of the pipe are needed")
        yielding = modulus / np.asarray(young, float) * np.asarray(bore, float) / np.asarray(wall, float) * factor
        return np.asarray(rigid / np.sqrt(1 + yielding))


@calculation(
    "joukowsky",
    source="Joukowsky 1898; any textbook of fluid transients",
    formula="dp = rho a dv",
    example={"density": 998, "wave_speed": 1200, "velocity_change": 2.0},
)
def joukowsky(density: ArrayLike, wave_speed: ArrayLike, velocity_change: ArrayLike) -> np.ndarray:
    """Pressure rise of a flow that is stopped faster than the wave returns.

    Parameters
    ----------
    density : array_like
        Density of the liquid. [kg/m3]
    wave_speed : array_like
        Wave speed. [m/s]
    velocity_change : array_like
        Velocity that is taken away. [m/s]

    Returns
    -------
    pressure_rise : ndarray
        nan where an input is missing. [Pa]
    """
    return np.asarray(np.asarray(density, float) * np.asarray(wave_speed, float) * np.asarray(velocity_change, float))


def critical_time(length: ArrayLike, wave_speed: ArrayLike) -> np.ndarray:
    """Time in which the wave runs to the far end and back, 2L/a: faster closing is sudden.

    Parameters
    ----------
    length : array_like
        Length of the pipe. [m]
    wave_speed : array_like
        Wave speed. [m/s]
    """
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.asarray(2 * np.asarray(length, float) / np.asarray(wave_speed, float))
