"""What the shaft train may carry: shaft, drive end, joint to the disc; the weakest of them is the valve's limit."""

from collections.abc import Mapping

import numpy as np
import numpy.typing as npt

from softseat.register import calculation
from softseat.tables import index, number
from softseat.torque.shaft import SQUARE

LINKS = ("shaft", "drive", "joint")


@calculation(
    "shaft-limit",
    source="von Mises; Saint-Venant's square (Timoshenko); design factor common practice, no source",
    formula="T = pi d^3/16 sqrt(((Rp/S)^2 - sigma_b^2)/3); square 0.208 a^3 Rp/(sqrt(3) S)",
    example={"shaft_diameter": "36 mm", "yield_strength": "600 MPa", "bending": "50 MPa", "square": "27 mm"},
)
def shaft_limit(
    shaft_diameter: npt.ArrayLike,
    yield_strength: npt.ArrayLike,
    bending: npt.ArrayLike = 0.0,
    square: npt.ArrayLike = np.nan,
    joint_limit: npt.ArrayLike = np.nan,
    design_factor: npt.ArrayLike | None = None,
) -> np.ndarray:
    """Greatest torque that may be put into the shaft (maximum allowable stem torque): that of its weakest link.

    Parameters
    ----------
    shaft_diameter : array_like
        Diameter of the round shaft. [m]
    yield_strength : array_like
        0.2 % proof stress at the shaft's temperature. [Pa]
    bending : array_like
        Bending stress that is there at the same time. [Pa]
    square : array_like
        Width across the flats of a square drive end; nan where the end is round. [m]
    joint_limit : array_like
        What the joint of disc and shaft may carry; nan where it is not told. [N m]
    design_factor : array_like
        Yield over the equivalent stress allowed; without it the practice table's. [-]

    Returns
    -------
    torque_limit : ndarray
        nan where the shaft's size or strength is missing; 0 where bending alone uses it up. [N m]
    """
    limits = link_limits(shaft_diameter, yield_strength, bending, square, joint_limit, design_factor)
    least = limits["shaft"]
    for name in ("drive", "joint"):
        least = np.where(np.isnan(limits[name]), least, np.minimum(least, limits[name]))
    return np.asarray(least)


def link_limits(
    shaft_diameter: npt.ArrayLike,
    yield_strength: npt.ArrayLike,
    bending: npt.ArrayLike = 0.0,
    square: npt.ArrayLike = np.nan,
    joint_limit: npt.ArrayLike = np.nan,
    design_factor: npt.ArrayLike | None = None,
) -> Mapping[str, np.ndarray]:
    """What each link may carry, by its name: shaft, drive end, joint to the disc.

    Parameters
    ----------
    shaft_diameter, square : array_like
        Round shaft; width across the flats of its end, nan where round. [m]
    yield_strength, bending : array_like
        Proof stress; bending stress in the disc. [Pa]
    joint_limit : array_like
        Torque of the joint; nan where it is not told. [N m]
    design_factor : array_like
        Yield over the equivalent stress allowed; without it the practice table's. [-]

    Returns
    -------
    limits : mapping of ndarray
        nan for a link that is not told. [N m]
    """
    factor = number(index("torque_practice")["design_factor"]["value"]) if design_factor is None else np.asarray(design_factor, float)
    with np.errstate(invalid="ignore"):
        allowed = np.asarray(yield_strength, float) / factor
        spare = np.maximum(allowed**2 - np.square(np.asarray(bending, float)), 0.0)
        round_bar = np.pi / 16 * np.asarray(shaft_diameter, float) ** 3 * np.sqrt(spare / 3)
        end = SQUARE * np.asarray(square, float) ** 3 * allowed / np.sqrt(3)
    shaped = np.broadcast_arrays(round_bar, end, np.asarray(joint_limit, float))
    return dict(zip(LINKS, shaped, strict=True))


def weakest_link(limits: Mapping[str, np.ndarray]) -> np.ndarray:
    """Name of the link that fails first, "" where none is told.

    Parameters
    ----------
    limits : mapping of ndarray
        As ``link_limits`` gives them. [N m]
    """
    stack = np.stack([limits[name] for name in LINKS])
    first = np.argmin(np.where(np.isnan(stack), np.inf, stack), axis=0)
    return np.where(np.isnan(stack).all(axis=0), "", np.asarray(LINKS)[first])


def pin_joint(pin_diameter: npt.ArrayLike, shaft_diameter: npt.ArrayLike, pins: npt.ArrayLike, yield_strength: npt.ArrayLike) -> np.ndarray:
    """Torque at which cross pins through disc and shaft yield in shear (two faces each).

    Parameters
    ----------
    pin_diameter, shaft_diameter : array_like
        Diameters of pin and shaft. [m]
    pins : array_like
        Number of pins. [-]
    yield_strength : array_like
        0.2 % proof stress of the pins. [Pa]

    Returns
    -------
    joint_limit : ndarray
        nan where an input is missing. [N m]
    """
    area = np.pi / 4 * np.square(np.asarray(pin_diameter, float)) * np.asarray(pins, float)
    return np.asarray(area * np.asarray(shaft_diameter, float) * np.asarray(yield_strength, float) / np.sqrt(3))


def joint_share(joint_limit: npt.ArrayLike, shaft_diameter: npt.ArrayLike, yield_strength: npt.ArrayLike) -> np.ndarray:
    """Strength of the disc-to-shaft joint over the torsional strength of the shaft; 0.75 at least is asked by AWWA C504.

    Parameters
    ----------
    joint_limit : array_like
        Torque at which the joint yields. [N m]
    shaft_diameter : array_like
        Diameter of the shaft that is the least allowed. [m]
    yield_strength : array_like
        0.2 % proof stress of the shaft. [Pa]

    Returns
    -------
    share : ndarray
        nan where an input is missing. [-]
    """
    whole = np.pi / 16 * np.asarray(shaft_diameter, float) ** 3 * np.asarray(yield_strength, float) / np.sqrt(3)
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.asarray(np.asarray(joint_limit, float) / whole)
