"""How fast it flows: in a bore, against the speed of sound, and what it presses with."""

import numpy as np
from numpy.typing import ArrayLike

from softseat.flow.coefficient import positive
from softseat.flow.gas_viscous import GAS_CONSTANT, actual_share
from softseat.register import calculation


@calculation("velocity", source="continuity", formula="v = 4 Q/(pi D^2)", example={"flow": "360 m3/h", "bore": "200 mm"})
def velocity(flow: ArrayLike, bore: ArrayLike) -> np.ndarray:
    """Mean velocity in a bore.

    Parameters
    ----------
    flow : array_like
        Actual volume flow. [m3/s]
    bore : array_like
        Bore. [m]

    Returns
    -------
    velocity : ndarray
        Mean velocity; nan where the bore is not above zero. [m/s]
    """
    return np.asarray(np.asarray(flow, float) / (np.pi / 4 * np.square(positive(bore))))


@calculation(
    "gas-velocity",
    source="continuity and gas law with compressibility; speed of sound of the ideal gas",
    formula="v = 4 Qn pn T Z/(p Tn pi D^2), Mach = v/sqrt(gamma R T/M)",
    example={"flow": "3800 m3/h", "p1": "680 kPa", "t1": "433 K", "z": 0.991, "molar_mass": 0.04401, "gamma": 1.3, "bore": "100 mm"},
)
def gas_velocity(
    flow: ArrayLike, p1: ArrayLike, t1: ArrayLike, z: ArrayLike, molar_mass: ArrayLike, gamma: ArrayLike, bore: ArrayLike
) -> tuple[np.ndarray, np.ndarray]:
    """Mean velocity and Mach number of a gas at one place of the line.

    Parameters
    ----------
    flow : array_like
        Volume flow at 0 °C and 101.325 kPa. [m3/s]
    p1 : array_like
        Pressure at that place, absolute. [Pa]
    t1 : array_like
        Temperature there. [K]
    z : array_like
        Compressibility there. [-]
    molar_mass : array_like
        Molar mass. [kg/mol]
    gamma : array_like
        Ratio of specific heats. [-]
    bore : array_like
        Bore. [m]

    Returns
    -------
    velocity : ndarray
        Mean velocity; nan where the pressure or the bore is not above zero. [m/s]
    mach : ndarray
        Velocity over the speed of sound; nan as above. [-]
    """
    v = velocity(np.asarray(flow, float) * actual_share(positive(p1), t1, z), bore)
    sound = np.sqrt(positive(gamma) * GAS_CONSTANT * positive(t1) / positive(molar_mass))
    return v, v / sound


@calculation("momentum-flux", source="definition", formula="rho v^2", example={"density": 998, "velocity": "3 m/s"})
def momentum_flux(density: ArrayLike, velocity: ArrayLike) -> np.ndarray:
    """rho v^2: the one-line screen for a rubber liner.

    Parameters
    ----------
    density : array_like
        Density at that place. [kg/m3]
    velocity : array_like
        Mean velocity there. [m/s]

    Returns
    -------
    momentum_flux : ndarray
        Density times the square of the velocity; nan where an input is missing. [Pa]
    """
    return np.asarray(np.asarray(density, float) * np.square(np.asarray(velocity, float)))
