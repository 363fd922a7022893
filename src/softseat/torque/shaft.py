"""Stress in the shaft: turned by the operator, bent by the pressure on the disc."""

import numpy as np
import numpy.typing as npt

from softseat.errors import UnknownName
from softseat.register import calculation
from softseat.tables import number, read

SQUARE = 0.208  # Saint-Venant, sharp corners (Timoshenko)


@calculation(
    "shaft-stress",
    source="handbook: torsion and bending of a round bar, von Mises",
    formula="tau = 16 T/(pi d^3); sigma = 32 M/(pi d^3), M = F (L - D)/4, F = pi/4 D^2 dp; sigma_v = sqrt(sigma^2 + 3 tau^2)",
    example={
        "torque": "500 N m",
        "difference": "10 bar",
        "disc_diameter": "300 mm",
        "shaft_diameter": "36 mm",
        "span": "340 mm",
        "yield_strength": "600 MPa",
    },
)
def shaft_stress(
    torque: npt.ArrayLike,
    difference: npt.ArrayLike,
    disc_diameter: npt.ArrayLike,
    shaft_diameter: npt.ArrayLike,
    span: npt.ArrayLike,
    yield_strength: npt.ArrayLike,
    bare: npt.ArrayLike = False,
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Stress of the shaft at the disc, and how much of its yield strength that uses.

    Parameters
    ----------
    torque : array_like
        Torque in the shaft. [N m]
    difference : array_like
        Pressure difference across the disc; its sign does not matter. [Pa]
    disc_diameter : array_like
        Outside diameter of the disc. [m]
    shaft_diameter : array_like
        Diameter of the round shaft. [m]
    span : array_like
        Distance between the middles of the bearings. [m]
    yield_strength : array_like
        0.2 % proof stress of the shaft at its temperature. [Pa]
    bare : bool
        Whether the shaft bends alone, as if the disc had no stiffness: far on the safe side.

    Returns
    -------
    torsion : ndarray
        Shear stress of the torque; nan where an input is missing. [Pa]
    bending : ndarray
        Bending stress; nan where the span is shorter than the disc. [Pa]
    combined : ndarray
        Equivalent stress (von Mises); nan where the span is shorter than the disc. [Pa]
    use : ndarray
        Equivalent stress over yield strength; 1 yields; nan where the span is shorter than the disc. [-]

    Notes
    -----
    The disc is stiff against the shaft, so the shaft bends between bearing and rim: half the load on the arm (L - D)/2.
    ``bare``: the load goes to the shaft chord by chord, 2 dp sqrt(R^2 - x^2) a metre: M = F (L/4 - D/(3 pi)) in the middle.
    """
    t, p, disc, d, length = (np.asarray(x, float) for x in (torque, difference, disc_diameter, shaft_diameter, span))
    with np.errstate(invalid="ignore", divide="ignore"):
        d = np.where(d > 0, d, np.nan)
        torsion = 16 * np.abs(t) / (np.pi * d**3)
        arm = np.where(np.asarray(bare, bool), length / 4 - disc / (3 * np.pi), (length - disc) / 4)
        arm = np.where(length >= disc, arm, np.nan)
        moment = np.pi / 4 * disc**2 * np.abs(p) * arm
        bending = 32 * moment / (np.pi * d**3)
        combined = np.sqrt(bending**2 + 3 * torsion**2)
        use = combined / np.asarray(yield_strength, float)
    shaped = np.broadcast_arrays(torsion, bending, combined, use)
    return shaped[0], shaped[1], shaped[2], shaped[3]


def square_torsion(torque: npt.ArrayLike, square: npt.ArrayLike) -> np.ndarray:
    """Highest shear stress in a square end, at the middle of a side.

    Parameters
    ----------
    torque : array_like
        Torque. [N m]
    square : array_like
        Width across the flats. [m]

    Returns
    -------
    torsion : ndarray
        nan where an input is missing. [Pa]

    References
    ----------
    S. Timoshenko, Strength of Materials: T/(0.208 a^3), sharp corners.
    """
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.asarray(np.abs(np.asarray(torque, float)) / (SQUARE * np.asarray(square, float) ** 3))


def greatest_shear(torsion: npt.ArrayLike, bending: npt.ArrayLike) -> np.ndarray:
    """Greatest shear stress of torsion with bending (Tresca: yields at half the yield strength).

    Parameters
    ----------
    torsion, bending : array_like
        Shear stress and bending stress. [Pa]

    Returns
    -------
    shear : ndarray
        nan where one is missing. [Pa]
    """
    return np.asarray(np.sqrt(np.square(np.asarray(bending, float)) / 4 + np.square(np.asarray(torsion, float))))


def bush_pressure(
    difference: npt.ArrayLike, disc_diameter: npt.ArrayLike, shaft_diameter: npt.ArrayLike, bush_length: npt.ArrayLike
) -> np.ndarray:
    """Pressure of the shaft in each of its two bushes, on the projected area.

    Parameters
    ----------
    difference : array_like
        Pressure difference across the disc. [Pa]
    disc_diameter, shaft_diameter : array_like
        Outside diameter of the disc, diameter of the shaft. [m]
    bush_length : array_like
        Length of one bush. [m]

    Returns
    -------
    bush_pressure : ndarray
        nan where an input is missing or a length is 0. [Pa]
    """
    area = np.asarray(shaft_diameter, float) * np.asarray(bush_length, float)
    with np.errstate(invalid="ignore", divide="ignore"):
        load = np.pi / 8 * np.square(np.asarray(disc_diameter, float)) * np.abs(np.asarray(difference, float))
        return np.asarray(load / np.where(area > 0, area, np.nan))


def thrust(gauge_pressure: npt.ArrayLike, shaft_diameter: npt.ArrayLike) -> np.ndarray:
    """Force that drives the shaft out of the body, against its retention (pin, ring, shoulder).

    Parameters
    ----------
    gauge_pressure : array_like
        Pressure above the atmosphere at the shaft seal. [Pa]
    shaft_diameter : array_like
        Diameter of the shaft in its seal. [m]

    Returns
    -------
    thrust : ndarray
        nan where an input is missing. [N]
    """
    return np.asarray(np.asarray(gauge_pressure, float) * np.pi / 4 * np.square(np.asarray(shaft_diameter, float)))


def shear_retention(ring_diameter: npt.ArrayLike, thickness: npt.ArrayLike, yield_strength: npt.ArrayLike) -> np.ndarray:
    """Force at which a retaining ring or collar of this thickness yields in shear round the shaft.

    Parameters
    ----------
    ring_diameter : array_like
        Diameter at which it is sheared. [m]
    thickness : array_like
        Its thickness along the shaft. [m]
    yield_strength : array_like
        Yield strength of the weaker of ring and groove. [Pa]

    Returns
    -------
    force : ndarray
        nan where an input is missing. [N]
    """
    area = np.pi * np.asarray(ring_diameter, float) * np.asarray(thickness, float)
    return np.asarray(area * np.asarray(yield_strength, float) / np.sqrt(3))


def yield_at(number_of_steel: str, condition: str, temperature: npt.ArrayLike) -> np.ndarray:
    """0.2 % proof stress of a shaft steel when warm, least value of its standard.

    Parameters
    ----------
    number_of_steel : str
        Steel number, as in ``shaft_yield_hot.csv``.
    condition : str
        Heat treatment, as there.
    temperature : array_like
        Temperature of the shaft. [K]

    Returns
    -------
    yield_strength : ndarray
        Room-temperature value below 20 C; nan where it is above 200 C, the end of the table. [Pa]
    """
    rows = [r for r in read("shaft_yield_hot") if (r["number"], r["condition"]) == (number_of_steel, condition)]
    if not rows:
        known = sorted({f"{r['number']} {r['condition']}" for r in read("shaft_yield_hot")})
        raise UnknownName(f"shaft steel {number_of_steel!r} {condition!r} is not known hot; known are {', '.join(known)}")
    warm = [number(r["temperature_C"], "C") for r in rows]
    proof = [number(r["Rp02_MPa"], "MPa") for r in rows]
    return np.asarray(np.interp(np.asarray(temperature, float), warm, proof, right=np.nan))
