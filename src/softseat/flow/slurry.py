"""Solids in a liquid: density of the slurry, the velocity below which they settle, and whether they wear."""

import numpy as np
from numpy.typing import ArrayLike

from softseat.flow.coefficient import positive
from softseat.register import calculation

GRAVITY = 9.80665


@calculation(
    "slurry-density",
    source="volumes add",
    formula="rho = 1/(c/rho_s + (1 - c)/rho_l)",
    example={"solids": 0.3, "solids_density": 2650, "density": 998},
)
def slurry_density(solids: ArrayLike, solids_density: ArrayLike, density: ArrayLike) -> tuple[np.ndarray, np.ndarray]:
    """Density of a slurry and its solids by volume.

    Parameters
    ----------
    solids : array_like
        Mass share of the solids, 0 to 1. [-]
    solids_density : array_like
        Density of the solids. [kg/m3]
    density : array_like
        Density of the liquid. [kg/m3]

    Returns
    -------
    slurry_density : ndarray
        Density of the mixture; nan where the share is not within 0 to 1 or a density is not above zero. [kg/m3]
    volume_share : ndarray
        Volume share of the solids; nan as above. [-]
    """
    given = np.asarray(solids, float)
    c = np.where((given >= 0) & (given <= 1), given, np.nan)
    solid, liquid = c / positive(solids_density), (1 - c) / positive(density)
    return 1 / (solid + liquid), solid / (solid + liquid)


@calculation(
    "deposit-velocity",
    source="Durand 1953, from memory",
    formula="v = F_L sqrt(2 g D (s - 1))",
    example={"bore": "200 mm", "solids_density": 2650, "density": 998, "deposit_factor": 1.0},
)
def deposit_velocity(
    bore: ArrayLike, solids_density: ArrayLike, density: ArrayLike, deposit_factor: ArrayLike, gravity: ArrayLike = GRAVITY
) -> np.ndarray:
    """Durand's velocity below which solids settle in a level pipe.

    Parameters
    ----------
    bore : array_like
        Bore of the pipe. [m]
    solids_density : array_like
        Density of the solids. [kg/m3]
    density : array_like
        Density of the liquid. [kg/m3]
    deposit_factor : array_like
        Durand's F_L, about 0.5 for fine to 1.3 for coarse solids. [-]
    gravity : array_like
        Acceleration of gravity. [m/s2]

    Returns
    -------
    velocity : ndarray
        Deposit velocity; nan where the solids are lighter than the liquid or a bore is missing. [m/s]

    References
    ----------
    R. Durand, Basic relationships of the transportation of solids in pipes, Minnesota International Hydraulics Convention, 1953.
    """
    ratio = np.asarray(solids_density, float) / positive(density)
    with np.errstate(invalid="ignore"):
        return np.asarray(np.asarray(deposit_factor, float) * np.sqrt(2 * np.asarray(gravity, float) * positive(bore) * (ratio - 1)))


def wears(
    d50: ArrayLike, solids: ArrayLike, hardness_solids: ArrayLike, coarse: float, share: float, hard: float, size_share: float
) -> np.ndarray:
    """Whether solids wear a liner: coarse and many, or hard and their size times their share above a limit. All limits are the house's.

    Parameters
    ----------
    d50 : array_like
        Mean particle size. [m]
    solids : array_like
        Mass share. [-]
    hardness_solids : array_like
        Mohs hardness; not known counts as hard. [-]
    coarse : float
        Size from which solids are coarse. [m]
    share : float
        Mass share from which they are many. [-]
    hard : float
        Mohs hardness from which they are hard. [-]
    size_share : float
        Size times mass share from which hard solids wear. [m]
    """
    size, mass, mohs = (np.asarray(v, float) for v in (d50, solids, hardness_solids))
    return np.asarray(((size > coarse) & (mass > share)) | (~(mohs < hard) & (size * mass > size_share)))
