"""The flats round the shaft: two rings of disc hub pressed into the liner, in contact over the whole stroke."""

import numpy as np
import numpy.typing as npt

from softseat.register import calculation
from softseat.seat.modulus import strip_modulus

BULK = 2.0e9  # [Pa] of filled rubber


@calculation(
    "hub-contact",
    source="bonded strip (Gent and Lindley 1959) and integral of friction over a ring",
    formula="T = 2 mu p_h 2 pi/3 (r_h^3 - r_s^3)",
    example={
        "hub_diameter": "62 mm",
        "shaft_diameter": "36 mm",
        "hub_interference": "0.6 mm",
        "liner_thickness": "8 mm",
        "young": "5.52 MPa",
        "friction": 0.5,
    },
)
def hub_contact(
    hub_diameter: npt.ArrayLike,
    shaft_diameter: npt.ArrayLike,
    hub_interference: npt.ArrayLike,
    liner_thickness: npt.ArrayLike,
    young: npt.ArrayLike,
    friction: npt.ArrayLike,
) -> tuple[np.ndarray, np.ndarray]:
    """Pressure between the hub flats and the liner, and the torque that turns both of them.

    Parameters
    ----------
    hub_diameter : array_like
        Outside diameter of the flat round the shaft. [m]
    shaft_diameter : array_like
        Diameter of the shaft. [m]
    hub_interference : array_like
        Depth by which each flat presses into the liner. [m]
    liner_thickness : array_like
        Thickness of the liner there. [m]
    young : array_like
        Young's modulus of the rubber. [Pa]
    friction : array_like
        Friction between hub and liner. [-]

    Returns
    -------
    hub_pressure : ndarray
        Mean contact pressure; nan where the hub is not larger than the shaft. [Pa]
    hub_torque : ndarray
        Torque of both flats, the same at every angle; nan where the hub is not larger than the shaft. [N m]
    """
    outer, inner, thick = np.asarray(hub_diameter, float), np.asarray(shaft_diameter, float), np.asarray(liner_thickness, float)
    with np.errstate(invalid="ignore", divide="ignore"):
        ring = np.where((outer > inner) & (inner >= 0) & (thick > 0), outer - inner, np.nan)
        pressure = strip_modulus(young, ring / (4 * thick), BULK) * np.asarray(hub_interference, float) / thick
        torque = 2 * np.asarray(friction, float) * pressure * (2 * np.pi / 3) * ((outer / 2) ** 3 - (inner / 2) ** 3)
    pressure, torque = np.broadcast_arrays(pressure, torque)
    return pressure, torque
