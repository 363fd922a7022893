"""The common gases by a cubic equation of state: compressibility, density, speed of sound; viscosity by a simple temperature law."""

import functools
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from softseat import tables
from softseat.errors import UnknownName

GAS_CONSTANT = 8.314462618  # [J/(mol K)]
_T_REFERENCE = 293.15
_STEAM_REFERENCE = 373.15  # the row of water vapour stands at 100 C


@dataclass(frozen=True, slots=True)
class Gas:
    """What the cubic equation needs of one gas, or of a mixture taken as one."""

    key: str
    molar_mass: np.ndarray  # kg/mol
    t_critical: np.ndarray  # K
    p_critical: np.ndarray  # Pa
    acentric: np.ndarray
    heat: np.ndarray  # four coefficients of cp/R in T/300 - 1, along the first axis
    viscosity: np.ndarray  # Pa s at t_viscosity
    t_viscosity: np.ndarray  # K
    boiling: np.ndarray  # K


@functools.cache
def _rows() -> dict[str, tables.Row]:
    return dict(tables.index("gases"))


@functools.cache
def _names() -> dict[str, str]:
    found: dict[str, str] = {}
    for key, row in _rows().items():
        for word in (key, row["name"], row["cas"], *row["also_typed_as"].split(",")):
            found.setdefault(word.strip().casefold(), key)
    return found


def gas_key(word: str) -> str:
    """Row of the gas table for a gas as typed.

    Parameters
    ----------
    word : str
        Key, name, formula or CAS number.
    """
    try:
        return _names()[word.strip().casefold()]
    except KeyError:
        raise UnknownName(f"gas {word!r} is not in the gas table; known are {', '.join(_rows())}") from None


@functools.cache
def gas(key: str) -> Gas:
    """One gas of gases.csv.

    Parameters
    ----------
    key : str
        Row of gases.csv.
    """
    row, heat = _rows()[gas_key(key)], tables.index("gas_heat")[gas_key(key)]
    value = functools.partial(_cell, row)
    t_viscosity = _STEAM_REFERENCE if row["key"] == "water_vapour" else _T_REFERENCE
    return Gas(
        row["key"],
        value("molar_mass_g_mol", 1e-3),
        value("Tc_K", 1.0),
        value("Pc_bar", 1e5),
        value("omega", 1.0),
        np.array([float(heat[f"c{n}"]) for n in range(4)]),
        value("viscosity_20C_uPa_s", 1e-6),
        np.array(t_viscosity),
        value("boiling_C", 1.0) + 273.15,
    )


def _cell(row: tables.Row, head: str, factor: float) -> np.ndarray:
    return np.array(tables.number(row[head]) * factor)


def heat_capacity(of: Gas, temperature: npt.ArrayLike) -> np.ndarray:
    """Ideal-gas heat capacity over the gas constant, at constant pressure.

    Parameters
    ----------
    of : Gas
        The gas.
    temperature : array_like
        Temperature, 220 to 500 [K]
    """
    x = np.asarray(temperature, float) / 300 - 1
    return np.asarray(of.heat[0] + x * (of.heat[1] + x * (of.heat[2] + x * of.heat[3])))


def ideal_gamma(of: Gas, temperature: npt.ArrayLike) -> np.ndarray:
    """Ratio of specific heats of the ideal gas.

    Parameters
    ----------
    of : Gas
        The gas.
    temperature : array_like
        Temperature [K]
    """
    cp = heat_capacity(of, temperature)
    return np.asarray(cp / (cp - 1))


@dataclass(frozen=True, slots=True)
class _Cubic:
    """Soave's form of the cubic equation at one state: a (with its derivatives in temperature), b, molar volume."""

    a: np.ndarray
    slope: np.ndarray
    bend: np.ndarray
    b: np.ndarray
    volume: np.ndarray
    z: np.ndarray


def _attraction(of: Gas, t: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """a(T) and its two derivatives, Soave 1972."""
    a_c = 0.42748 * (GAS_CONSTANT * of.t_critical) ** 2 / of.p_critical
    m = 0.480 + 1.574 * of.acentric - 0.176 * of.acentric**2
    root = np.sqrt(t / of.t_critical)
    alpha = 1 + m * (1 - root)
    slope = -a_c * alpha * m / np.sqrt(t * of.t_critical)
    bend = a_c * m * (1 + m) / (2 * t * np.sqrt(t * of.t_critical))
    return a_c * alpha**2, slope, bend


def _vapour_root(big_a: np.ndarray, big_b: np.ndarray) -> np.ndarray:
    """Largest root of z3 - z2 + (A - B - B2) z - A B = 0, by Newton's method from above."""
    z = 1 + big_b
    moving = np.ones(np.shape(z), bool)  # each state ends by itself: what stands beside it must not move its last digit
    for _ in range(60):
        value = ((z - 1) * z + (big_a - big_b - big_b**2)) * z - big_a * big_b
        slope = (3 * z - 2) * z + (big_a - big_b - big_b**2)
        step = np.where(moving & (slope > 0), value / np.where(slope == 0, 1.0, slope), 0.0)
        z = z - step
        moving &= np.abs(step) >= 1e-13
        if not moving.any():
            break
    return np.where(z > big_b, z, np.nan)


def _cubic(of: Gas, temperature: npt.ArrayLike, pressure: npt.ArrayLike) -> _Cubic:
    t, p = np.broadcast_arrays(np.asarray(temperature, float), np.asarray(pressure, float))
    good = (t > 0) & (p > 0)
    t, p = np.where(good, t, np.nan), np.where(good, p, np.nan)
    with np.errstate(invalid="ignore"):
        a, slope, bend = _attraction(of, t)
        b = 0.08664 * GAS_CONSTANT * of.t_critical / of.p_critical
        z = _vapour_root(a * p / (GAS_CONSTANT * t) ** 2, b * p / (GAS_CONSTANT * t))
        return _Cubic(a, slope, bend, b, z * GAS_CONSTANT * t / p, z)


def compressibility(of: Gas, temperature: npt.ArrayLike, pressure: npt.ArrayLike) -> np.ndarray:
    """Compressibility of the gas by the equation of Soave.

    Parameters
    ----------
    of : Gas
        The gas.
    temperature : array_like
        Temperature [K]
    pressure : array_like
        Pressure, absolute [Pa]

    Returns
    -------
    z : ndarray
        Compressibility of the vapour [-]; nan where temperature or pressure is missing or not positive.

    References
    ----------
    G. Soave, Chem. Eng. Sci. 27 (1972) 1197.
    """
    return _cubic(of, temperature, pressure).z


def density(of: Gas, temperature: npt.ArrayLike, pressure: npt.ArrayLike) -> np.ndarray:
    """Density of the gas.

    Parameters
    ----------
    of : Gas
        The gas.
    temperature : array_like
        Temperature [K]
    pressure : array_like
        Pressure, absolute [Pa]

    Returns
    -------
    density : ndarray
        Density [kg/m3]; nan where temperature or pressure is missing or not positive.
    """
    return np.asarray(of.molar_mass / _cubic(of, temperature, pressure).volume)


def sound_speed(of: Gas, temperature: npt.ArrayLike, pressure: npt.ArrayLike) -> np.ndarray:
    """Speed of sound by the cubic equation with the ideal-gas heat capacity.

    Parameters
    ----------
    of : Gas
        The gas.
    temperature : array_like
        Temperature [K]
    pressure : array_like
        Pressure, absolute [Pa]

    Returns
    -------
    sound_speed : ndarray
        Speed of sound [m/s]; nan where temperature or pressure is missing or not positive.
    """
    s, t = _cubic(of, temperature, pressure), np.asarray(temperature, float)
    v, b, r = s.volume, s.b, GAS_CONSTANT
    with np.errstate(invalid="ignore", divide="ignore"):
        dp_dt = r / (v - b) - s.slope / (v * (v + b))
        dp_dv = -r * t / (v - b) ** 2 + s.a * (2 * v + b) / (v * (v + b)) ** 2
        cv = r * (heat_capacity(of, t) - 1) + t * s.bend / b * np.log1p(b / v)
        cp = cv - t * dp_dt**2 / dp_dv
        return np.asarray(v * np.sqrt(-cp / cv * dp_dv / of.molar_mass))


def viscosity(of: Gas, temperature: npt.ArrayLike) -> np.ndarray:
    """Viscosity of the thin gas: Sutherland's law, its constant 1.47 times the boiling temperature.

    Parameters
    ----------
    of : Gas
        The gas.
    temperature : array_like
        Temperature [K]

    Returns
    -------
    viscosity : ndarray
        Dynamic viscosity [Pa s]; nan where the temperature is missing.

    References
    ----------
    W. Sutherland, Phil. Mag. 36 (1893) 507; the constant: J. H. Arnold, Ind. Eng. Chem. 22 (1930) 1091 (from memory).
    """
    t, c, t0 = np.asarray(temperature, float), 1.47 * of.boiling, of.t_viscosity
    return np.asarray(of.viscosity * (t / t0) ** 1.5 * (t0 + c) / (t + c))
