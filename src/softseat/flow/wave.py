"""Pressure waves in a pipe: their speed, and the rise of a sudden change of flow."""

import numpy as np
from numpy.typing import ArrayLike

from softseat.errors import InputError, UnknownName
from softseat.register import calculation
from softseat.tables import Row, index, number

RESTRAINT = ("joints", "upstream", "anchored")
WALLS = ("thin", "thick")
WATER_MODULUS = 2.19e9  # [Pa] bulk modulus of water at 20 °C, Wylie and Streeter
ENDS = ("low", "", "high")


def _factor(poisson: np.ndarray, restraint: str) -> np.ndarray:
    if restraint not in RESTRAINT:
        raise InputError(f"restraint {restraint!r} is not known; allowed are {', '.join(RESTRAINT)}")
    return {"joints": np.ones_like(poisson), "upstream": 1 - poisson / 2, "anchored": 1 - poisson**2}[restraint]


def _yielding(d: np.ndarray, e: np.ndarray, poisson: np.ndarray, restraint: str, theory: str) -> np.ndarray:
    """What the wall gives way, D/e times the factor of its support; thick walls add the strain through the wall."""
    factor = _factor(poisson, restraint)
    if theory not in WALLS:
        raise InputError(f"theory {theory!r} is not known; allowed are {', '.join(WALLS)}")
    if theory == "thick":
        factor = 2 * e / d * (1 + poisson) + d / (d + e) * factor
    return np.asarray(d / e * factor)


@calculation(
    "wave-speed",
    source="Wylie and Streeter, Fluid Transients: thin-walled pipe, from memory",
    formula="1/(rho a^2) = (1 - x)/K + x/p + (D/(E e)) c1; a = sqrt(K/rho)/sqrt(1 + (K/E)(D/e) c1) without gas",
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
    theory: str = "thin",
    gas_share: ArrayLike = 0.0,
    pressure: ArrayLike | None = None,
) -> np.ndarray:
    """Speed of a pressure wave in a liquid-filled pipe; in a rigid pipe where no wall is given.

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
    theory : str
        thin, or thick for a wall above about 1/25 of the bore.
    gas_share : array_like
        Free gas as a share of the volume, as bubbles at the pressure; one per cent takes most of the speed away. [-]
    pressure : array_like
        Pressure, absolute; needed where there is free gas. [Pa]

    Returns
    -------
    wave_speed : ndarray
        nan where density or bulk modulus is not above zero, a dimension of the pipe is missing, or gas has no pressure. [m/s]

    References
    ----------
    Wylie and Streeter, Fluid Transients in Systems (1993), 1-3 (wall) and 1-4 (free gas, isothermal): from memory.
    """
    rho, modulus, x = np.asarray(density, float), np.asarray(bulk_modulus, float), np.asarray(gas_share, float)
    if young is not None and (bore is None or wall is None):
        raise InputError("wave-speed: with young the bore and the wall of the pipe are needed")
    p = np.asarray(np.nan if pressure is None else pressure, float)
    with np.errstate(invalid="ignore", divide="ignore"):
        good = (rho > 0) & (modulus > 0) & (x >= 0) & (x < 1)
        soft = np.where(x > 0, (1 - x) / modulus + x / np.where(p > 0, p, np.nan), 1 / modulus)
        if young is not None:
            d, e, nu = np.asarray(bore, float), np.asarray(wall, float), np.asarray(poisson, float)
            stiff = np.asarray(young, float)
            given = (d > 0) & (e > 0) & (stiff > 0)
            soft = soft + np.where(given, _yielding(d, e, nu, restraint, theory) / stiff, np.nan)
        return np.asarray(np.where(good, 1 / np.sqrt(rho * (1 - x) * soft), np.nan))


def pipe_wave_speed(pipe_system: str, density: ArrayLike, bulk_modulus: ArrayLike, bore_over_wall: ArrayLike = np.nan) -> np.ndarray:
    """Wave speed in a pipe known by its material, as a band of its modulus and wall.

    Parameters
    ----------
    pipe_system : str
        steel, stainless, lined_steel, ductile_iron, grey_iron, pvc_u, pe, grp, concrete, copper; "" where no pipe is named.
    density : array_like
        Density of the liquid. [kg/m3]
    bulk_modulus : array_like
        Bulk modulus of the liquid; water where it is not known. [Pa]
    bore_over_wall : array_like
        Bore over wall thickness; the usual band of the pipe where it is not known. [-]

    Returns
    -------
    wave_speed : ndarray, shape (3, ...)
        Low, best, high; nan where the density is not above zero. [m/s]

    Raises
    ------
    UnknownName
        Where the table pipe_elasticity has no such pipe.
    """
    rows = index("pipe_elasticity", "pipe_system")
    if (pipe_system or "unknown") not in rows:
        raise UnknownName(f"pipe {pipe_system!r} is not in the table pipe_elasticity; it has {', '.join(rows)}")
    row = rows[pipe_system or "unknown"]
    rho, ratio, modulus = np.broadcast_arrays(*(np.asarray(v, float) for v in (density, bore_over_wall, bulk_modulus)))
    modulus = np.where(np.isnan(modulus), WATER_MODULUS, modulus)
    return np.stack([_end_speed(row, end, rho, modulus, ratio) for end in ENDS])


def _end_speed(row: Row, end: str, rho: np.ndarray, modulus: np.ndarray, ratio: np.ndarray) -> np.ndarray:
    """One end of the band: the soft end with joints and the thin wall of the table, the stiff end held and thick."""
    stated = number(row[_head("speed", end)])
    if not np.isnan(stated):
        return np.where(rho > 0, stated, np.nan)
    opposite = {"low": "high", "high": "low"}.get(end, "")
    d = np.where(np.isnan(ratio), number(row[_head("bore_over_wall", opposite)]), ratio)
    stiff = number(row[_head("young", end, "_GPa")], "GPa")
    return wave_speed(rho, modulus, stiff, d, 1.0, number(row["poisson"]), "joints" if end == "low" else "anchored", "thick")


def _head(name: str, end: str, unit: str = "") -> str:
    return f"{name}_{end}{unit}" if end else f"{name}{unit}"


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

    Returns
    -------
    critical_time : ndarray
        nan where an input is missing. [s]
    """
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.asarray(2 * np.asarray(length, float) / np.asarray(wave_speed, float))
