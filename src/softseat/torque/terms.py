"""The terms of the operating torque, each in closed form."""

import numpy as np
import numpy.typing as npt

from softseat.register import calculation

STANDARD_GRAVITY = 9.80665


@calculation(
    "rim-torque",
    source="integral of rim friction with its lever along the pipe axis",
    formula="T = 4 mu P' R^2 = mu P' D^2",
    example={"line_load": "7300 N/m", "friction": 0.5, "disc_diameter": "300 mm"},
)
def rim_torque(line_load: npt.ArrayLike, friction: npt.ArrayLike, disc_diameter: npt.ArrayLike) -> np.ndarray:
    """Torque that slides the rim of the closed disc along the liner.

    Parameters
    ----------
    line_load : array_like
        Load on a metre of the rim, P'. [N/m]
    friction : array_like
        Friction between disc and liner. [-]
    disc_diameter : array_like
        Outside diameter of the disc, D. [m]

    Returns
    -------
    torque : ndarray
        Torque at the closed disc; nan where an input is missing. [N m]

    Notes
    -----
    The lever of a rim element is R |sin phi|, so the integral is 4 R^2; a lever R all round would be pi/2 too high.
    """
    return np.asarray(np.asarray(friction, float) * np.asarray(line_load, float) * np.square(np.asarray(disc_diameter, float)))


@calculation(
    "bearing-torque",
    source="AWWA M49 structure: pressure load on the disc, friction at the shaft",
    formula="T = pi/4 D^2 dp mu d/2",
    example={"difference": "10 bar", "disc_diameter": "300 mm", "shaft_diameter": "36 mm", "friction": 0.1},
)
def bearing_torque(
    difference: npt.ArrayLike, disc_diameter: npt.ArrayLike, shaft_diameter: npt.ArrayLike, friction: npt.ArrayLike
) -> np.ndarray:
    """Friction of the shaft in its bushes under the pressure on the disc, from either side.

    Parameters
    ----------
    difference : array_like
        Pressure difference across the disc; its sign does not matter. [Pa]
    disc_diameter : array_like
        Outside diameter of the disc. [m]
    shaft_diameter : array_like
        Diameter of the shaft in the bush. [m]
    friction : array_like
        Friction of the bush. [-]

    Returns
    -------
    torque : ndarray
        Torque at every angle with this difference; nan where an input is missing. [N m]
    """
    load = np.pi / 4 * np.square(np.asarray(disc_diameter, float)) * np.abs(np.asarray(difference, float))
    return np.asarray(load * np.asarray(friction, float) * np.asarray(shaft_diameter, float) / 2)


@calculation(
    "hydrostatic-torque",
    source="moment of liquid standing on one side of a round disc about its horizontal diameter",
    formula="T = rho g pi D^4/64",
    example={"density": "1000 kg/m3", "bore": "600 mm"},
)
def hydrostatic_torque(density: npt.ArrayLike, bore: npt.ArrayLike, gravity: npt.ArrayLike = STANDARD_GRAVITY) -> np.ndarray:
    """Torque of a pipe that is full on one side only, with the shaft horizontal.

    Parameters
    ----------
    density : array_like
        Density of the liquid. [kg/m3]
    bore : array_like
        Bore of the valve. [m]
    gravity : array_like
        Acceleration of free fall. [m/s2]

    Returns
    -------
    torque : ndarray
        Torque at the closed disc; nan where an input is missing. It is zero with the shaft vertical or both sides full. [N m]
    """
    return np.asarray(np.asarray(density, float) * np.asarray(gravity, float) * np.pi * np.asarray(bore, float) ** 4 / 64)


def stem_seal_torque(
    contact_pressure: npt.ArrayLike, width: npt.ArrayLike, shaft_diameter: npt.ArrayLike, friction: npt.ArrayLike
) -> np.ndarray:
    """Friction of a ring (O-ring, lip) on the shaft.

    Parameters
    ----------
    contact_pressure : array_like
        Pressure of the ring on the shaft. [Pa]
    width : array_like
        Width of the contact along the shaft. [m]
    shaft_diameter : array_like
        Diameter of the shaft. [m]
    friction : array_like
        Friction of the ring. [-]

    Returns
    -------
    torque : ndarray
        Torque at every angle; nan where an input is missing. [N m]
    """
    area = np.pi * np.asarray(shaft_diameter, float) * np.asarray(width, float)
    return np.asarray(np.asarray(friction, float) * np.asarray(contact_pressure, float) * area * np.asarray(shaft_diameter, float) / 2)
