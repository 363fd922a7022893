"""The closed disc bends under pressure, and its rim gives up a little of the interference."""

import numpy as np
import numpy.typing as npt

from softseat.register import calculation

# Own finite elements (Morley, 128 to 8192 triangles, nu = 0.3): half disc held along its diameter, free rim, even pressure.
CLAMPED_HALF = 0.0882  # deflection of the rim, over p R^4/D; a strip alone gives 1/8
SLOPE = 1.32  # slope there, over w/R
SHORTENING = 0.565  # half the integral of the slope squared, over w^2/R


@calculation(
    "disc-deflection",
    source="thin plate held along its shaft, own finite elements; cantilever strip (1/8) bounds it",
    formula="w = kappa dp R^4/D, D = E h^3/(12 (1 - nu^2))",
    example={"difference": "10 bar", "disc_diameter": "300 mm", "disc_thickness": "20 mm", "young": "170000 MPa", "land": "3 mm"},
)
def disc_deflection(
    difference: npt.ArrayLike,
    disc_diameter: npt.ArrayLike,
    disc_thickness: npt.ArrayLike,
    young: npt.ArrayLike,
    land: npt.ArrayLike = 0.0,
    poisson: npt.ArrayLike = 0.3,
) -> tuple[np.ndarray, np.ndarray]:
    """Deflection of the rim square to the shaft, and the interference that it takes there.

    Parameters
    ----------
    difference : array_like
        Pressure difference across the closed disc; its sign does not matter. [Pa]
    disc_diameter : array_like
        Outside diameter of the disc. [m]
    disc_thickness : array_like
        Thickness of the plate that bends; ribs and boss left out. [m]
    young : array_like
        Young's modulus of the disc. [Pa]
    land : array_like
        Width of the flat on the edge. [m]
    poisson : array_like
        Poisson's ratio of the disc. [-]

    Returns
    -------
    deflection : ndarray
        Along the pipe; nan where an input is missing or a thickness is 0. [m]
    loss : ndarray
        Radial interference lost: shortening of the bent half and tilt of the land; nan where an input is missing or a thickness is 0. [m]
    """
    p, d, h = np.abs(np.asarray(difference, float)), np.asarray(disc_diameter, float), np.asarray(disc_thickness, float)
    with np.errstate(invalid="ignore", divide="ignore"):
        stiffness = np.asarray(young, float) * np.where(h > 0, h, np.nan) ** 3 / (12 * (1 - np.square(np.asarray(poisson, float))))
        deflection = CLAMPED_HALF * p * (d / 2) ** 4 / stiffness
        slope = SLOPE * deflection / (d / 2)
        loss = SHORTENING * deflection**2 / (d / 2) + slope * np.asarray(land, float) / 2
    deflection, loss = np.broadcast_arrays(deflection, loss)
    return deflection, loss
