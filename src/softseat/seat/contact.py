"""The rim of the disc pressed into the bonded liner: how hard, how wide, what pressure it holds, what it costs to turn."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from softseat.errors import InputError
from softseat.register import calculation
from softseat.seat.modulus import rubber_modulus
from softseat.seat.practice import practice
from softseat.tables import index, number

# Fits to own plane-strain finite elements of an incompressible bonded layer (docs/theory/seat.md): equivalent flat punch.
PUNCH = (-0.43896, 0.89699, 0.09343, -0.29751)  # c(b/t), cubic first
PUNCH_HALF_SPACE = 0.60  # share of the round shoulder that acts as flat punch in the half-space (theory: exp(-1/2) = 0.607)
FINITE_STRAIN = 0.8  # growth of the line load per unit of interference over thickness
ENERGISED_PEAK = 0.43  # share of the held pressure that adds to the contact peak
ENERGISED_LOAD = 0.85  # line load added by the held pressure, over pressure times half contact width
DEEPEST = 0.3  # interference over thickness: twice the depth that was compared with finite elements
ITERATIONS = 48


@dataclass(frozen=True, slots=True)
class Contact:
    """Arrays over the items: load on the rim a metre, half width of the contact, highest contact pressure."""

    line_load: np.ndarray
    half_width: np.ndarray
    peak_pressure: np.ndarray


def punch_stiffness(width_ratio: npt.ArrayLike) -> np.ndarray:
    """Line load of a flat rigid punch on a bonded incompressible layer, over modulus and depth: P' = E delta k.

    Parameters
    ----------
    width_ratio : array_like
        Half width of the punch over the layer's thickness, b/t. [-]

    Returns
    -------
    k : ndarray
        P'/(E delta); nan where b/t is above 1, where the fit ends. [-]
    """
    b = np.asarray(width_ratio, float)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(np.where(b <= 1, _stiffness(b), np.nan))


def _stiffness(b: np.ndarray) -> np.ndarray:
    """The same without its end."""
    cubic, square, straight, even = PUNCH
    return np.asarray((2 * np.pi / 3) / (-np.log(b) + (((cubic * b + square) * b + straight) * b + even)))


def _shoulder(load: np.ndarray, radius: np.ndarray, land: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Contact on a rounded shoulder beyond the land, and the share of it that acts as punch (all lengths over the thickness)."""
    s = -land / 4 + np.sqrt(land * land / 16 + 3 * radius * load / np.pi)  # s (w/2 + s) = a_H^2, a_H the half-space half width
    return s, np.maximum(0.45, PUNCH_HALF_SPACE - 0.107 * s)


def _balance(depth: np.ndarray, radius: np.ndarray, land: np.ndarray) -> np.ndarray:
    """Line load over E t at which punch, shoulder and depth agree; bisection on its logarithm, as the root is bracketed."""
    low = np.full(np.shape(depth), np.log(1e-9))
    high = np.log(np.maximum(depth, 1e-9) * 10.0)
    half = land / 2
    for _ in range(ITERATIONS):
        middle = (low + high) / 2
        load = np.exp(middle)
        s, share = _shoulder(load, radius, land)
        too_low = load < depth * _stiffness(np.minimum(half + share * s, 1.0))
        low, high = np.where(too_low, middle, low), np.where(too_low, high, middle)
    return np.asarray(np.exp((low + high) / 2))


def rim_contact(
    liner_thickness: npt.ArrayLike,
    edge_radius: npt.ArrayLike,
    land: npt.ArrayLike,
    interference: npt.ArrayLike,
    young: npt.ArrayLike,
    finite_strain: npt.ArrayLike = True,
) -> Contact:
    """Contact of the disc's edge with the liner, by an equivalent flat punch on a bonded layer.

    Parameters
    ----------
    liner_thickness : array_like
        Thickness of the rubber, t. [m]
    edge_radius : array_like
        Radius of the round edge or of the shoulders beside the land, r. [m]
    land : array_like
        Width of the flat on the edge, w; 0 for a round edge. [m]
    interference : array_like
        Radial interference, delta. [m]
    young : array_like
        Young's modulus of the rubber. [Pa]
    finite_strain : bool
        Whether the load grows by 1 + 0.8 delta/t, as neo-Hooke rubber does.

    Returns
    -------
    contact : Contact
        Arrays; nan where the contact would be wider than twice the liner is thick, the interference above 0.3 of it, or a length missing.
    """
    t, r, w, d, e = np.broadcast_arrays(*(np.asarray(x, float) for x in (liner_thickness, edge_radius, land, interference, young)))
    with np.errstate(invalid="ignore", divide="ignore"):
        good = (t > 0) & (r > 0) & (w >= 0) & (d >= 0) & (e > 0)
        t, r, w, d, e = (np.where(good, x, np.nan) for x in (t, r, w, d, e))
        load = np.full(t.shape, np.nan)
        load[good] = _balance(*(np.asarray(x)[good] for x in (d / t, r / t, w / t)))
        s, share = _shoulder(load, r / t, w / t)
        good &= (w / t / 2 + share * s < 1) & (d / t <= DEEPEST)
        half = w / 2 + s * t * share / PUNCH_HALF_SPACE
        growth = 1 + FINITE_STRAIN * d / t * np.asarray(finite_strain, bool)
        line = np.where(d > 0, load * growth * e * t, 0.0)
        shape = 1 + (4 / np.pi - 1) * np.clip((half - w / 2) / half, 0, 1)  # round edge: elliptic; land: even
        peak = np.where(d > 0, line / (2 * half) * shape, 0.0)
        half = np.where(d > 0, half, 0.0)
    return Contact(*(np.where(good, x, np.nan) for x in (line, half, peak)))


def rim_torque(contact: Contact, disc_diameter: npt.ArrayLike, friction: npt.ArrayLike, difference: npt.ArrayLike = 0.0) -> np.ndarray:
    """What it takes to turn the rim out of this contact, 4 mu P' R^2.

    Parameters
    ----------
    contact : Contact
        The contact without pressure in the pipe.
    disc_diameter : array_like
        Outside diameter of the disc. [m]
    friction : array_like
        Friction between disc and liner. [-]
    difference : array_like
        Pressure difference across the closed disc, which presses liner and disc together further. [Pa]
    """
    line = contact.line_load + ENERGISED_LOAD * np.abs(np.asarray(difference, float)) * contact.half_width
    return np.asarray(np.asarray(friction, float) * line * np.square(np.asarray(disc_diameter, float)))


def holding_pressure(peak_pressure: npt.ArrayLike, maintenance: npt.ArrayLike | None = None) -> np.ndarray:
    """Pressure that the contact holds: its peak, raised by the pressure itself, is to stay m times above it.

    Parameters
    ----------
    peak_pressure : array_like
        Highest contact pressure without pressure in the pipe. [Pa]
    maintenance : array_like
        Contact stress wanted over the held pressure, m. [-]

    Returns
    -------
    holding_pressure : ndarray
        Difference held; nan where the contact is not known. [Pa]
    """
    m = practice("maintenance_factor") if maintenance is None else np.asarray(maintenance, float)
    return np.asarray(np.asarray(peak_pressure, float) / (m - ENERGISED_PEAK))


def _young(hardness: npt.ArrayLike | None, young: npt.ArrayLike | None) -> np.ndarray:
    if young is not None:
        return np.asarray(young, float)
    if hardness is None:
        raise InputError("seat-contact needs the hardness (Shore A) or the modulus (young) of the liner; neither is given")
    return rubber_modulus(hardness)


@calculation(
    "seat-contact",
    source="equivalent punch on a bonded layer, fitted to own finite elements; rim friction integrated in closed form",
    formula="P' = E delta k(b/t) (1 + 0.8 delta/t); T = 4 mu P' R^2",
    example={
        "disc_diameter": "300 mm",
        "liner_thickness": "8 mm",
        "edge_radius": "4 mm",
        "land": "3 mm",
        "interference": "0.6 mm",
        "hardness": 70,
        "friction": 0.5,
    },
)
def seat_contact(
    disc_diameter: npt.ArrayLike,
    liner_thickness: npt.ArrayLike,
    edge_radius: npt.ArrayLike,
    land: npt.ArrayLike,
    interference: npt.ArrayLike,
    friction: npt.ArrayLike,
    hardness: npt.ArrayLike | None = None,
    young: npt.ArrayLike | None = None,
    finite_strain: npt.ArrayLike = True,
    difference: npt.ArrayLike = 0.0,
    maintenance: npt.ArrayLike | None = None,
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """How hard the disc sits in the liner, what pressure that holds and what it takes to turn it out.

    Parameters
    ----------
    disc_diameter : array_like
        Outside diameter of the disc, D. [m]
    liner_thickness : array_like
        Thickness of the bonded liner, t. [m]
    edge_radius : array_like
        Radius of the round edge or of the shoulders beside the land, r. [m]
    land : array_like
        Width of the flat on the edge; 0 for a round edge. [m]
    interference : array_like
        Radial interference, half of disc diameter less liner bore. [m]
    friction : array_like
        Friction between disc and liner. [-]
    hardness : array_like
        Hardness of the liner, Shore A; not needed where ``young`` is given. [-]
    young : array_like
        Young's modulus of the liner; takes the place of ``hardness``. [Pa]
    finite_strain : bool
        Whether the growth of the load at finite strain is counted.
    difference : array_like
        Pressure difference across the closed disc, which presses liner and disc together further. [Pa]
    maintenance : array_like
        Contact stress wanted over the held pressure, m; without it the figure of the practice table. [-]

    Returns
    -------
    line_load : ndarray
        Load on a metre of the rim, P'; nan where an input is missing, the interference is above 0.3 of the
        liner's thickness or the contact wider than twice the thickness. [N/m]
    peak_pressure : ndarray
        Highest contact pressure; nan where the line load cannot be computed. [Pa]
    holding_pressure : ndarray
        Difference that the seat holds; nan where the line load cannot be computed. [Pa]
    rim_torque : ndarray
        Torque of the rim at the closed disc, 4 mu P' R^2; nan where the line load or the friction is missing. [N m]
    rim_torque_low, rim_torque_high : ndarray
        Its band before a works test of this size and compound; nan where the line load or the friction is missing. [N m]

    References
    ----------
    Own derivation and finite elements, docs/theory/seat.md; m of the gasket rules and of common practice (no source).
    """
    contact = rim_contact(liner_thickness, edge_radius, land, interference, _young(hardness, young), finite_strain)
    p = np.abs(np.asarray(difference, float))
    line = contact.line_load + ENERGISED_LOAD * p * contact.half_width
    peak = contact.peak_pressure + ENERGISED_PEAK * p * (contact.half_width > 0)
    torque = rim_torque(contact, disc_diameter, friction, difference)
    share = number(index("torque_uncertainty")["seat_uncalibrated"]["half_width"])
    held = holding_pressure(contact.peak_pressure, maintenance)
    shaped = np.broadcast_arrays(line, peak, held, torque, torque * (1 - share), torque * (1 + share))
    return shaped[0], shaped[1], shaped[2], shaped[3], shaped[4], shaped[5]
