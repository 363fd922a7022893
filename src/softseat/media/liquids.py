"""Liquids by the few figures of their row: density and viscosity over temperature, vapour pressure, strength of a solution."""

import functools

import numpy as np
import numpy.typing as npt

from softseat import tables
from softseat.media import water

_ATMOSPHERE = 101325.0
_T20, _T60 = 293.15, 333.15
_STEEP = 2330.0  # [K], fall of the viscosity of water between 0 and 20 C: ln(1.792/1.002) / (1/273.15 - 1/293.15)
_HEAT = 5420.0  # [K], heat of evaporation of water over its gas constant at 0 C


def density_at(density_20: npt.ArrayLike, expansion: npt.ArrayLike, temperature: npt.ArrayLike) -> np.ndarray:
    """Density that falls in a straight line with temperature.

    Parameters
    ----------
    density_20 : array_like
        Density at 20 C [kg/m3]
    expansion : array_like
        Fall of density with temperature, share of the value at 20 C [1/K]
    temperature : array_like
        Temperature [K]
    """
    return np.asarray(np.asarray(density_20, float) * (1 - np.asarray(expansion, float) * (np.asarray(temperature, float) - _T20)))


def viscosity_at(viscosity_20: npt.ArrayLike, viscosity_60: npt.ArrayLike, temperature: npt.ArrayLike) -> np.ndarray:
    """Viscosity whose logarithm falls in a straight line over 1/T (Andrade), through the values at 20 and 60 C.

    Parameters
    ----------
    viscosity_20, viscosity_60 : array_like
        Dynamic viscosity at 20 and at 60 C [Pa s]
    temperature : array_like
        Temperature [K]

    References
    ----------
    E. N. da C. Andrade, Nature 125 (1930) 309.
    """
    with np.errstate(invalid="ignore", divide="ignore"):
        steep = np.log(np.asarray(viscosity_20, float) / np.asarray(viscosity_60, float)) / (1 / _T20 - 1 / _T60)
        return np.asarray(viscosity_20 * np.exp(steep * (1 / np.asarray(temperature, float) - 1 / _T20)))


def _simple(tr: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """The two functions of Lee and Kesler, ln(p/pc) = f0 + omega f1."""
    f0 = 5.92714 - 6.09648 / tr - 1.28862 * np.log(tr) + 0.169347 * tr**6
    f1 = 15.2518 - 15.6875 / tr - 13.4721 * np.log(tr) + 0.43577 * tr**6
    return f0, f1


def vapour_pressure_at(
    boiling: npt.ArrayLike, t_critical: npt.ArrayLike, p_critical: npt.ArrayLike, temperature: npt.ArrayLike
) -> np.ndarray:
    """Vapour pressure of a substance by its boiling and critical point (Lee and Kesler).

    Parameters
    ----------
    boiling : array_like
        Boiling temperature at 1.01325 bar [K]
    t_critical : array_like
        Critical temperature; nan: a straight line of ln p over 1/T with the slope of Kistiakowsky [K]
    p_critical : array_like
        Critical pressure [Pa]
    temperature : array_like
        Temperature [K]

    Returns
    -------
    pv : ndarray
        Vapour pressure [Pa]; nan without boiling point, and above the critical temperature.

    References
    ----------
    B. I. Lee and M. G. Kesler, AIChE J. 21 (1975) 510; W. Kistiakowsky, Z. Phys. Chem. 107 (1923) 65 (both from memory).
    """
    tb, tc, pc, t = (np.asarray(x, float) for x in (boiling, t_critical, p_critical, temperature))
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        b0, b1 = _simple(tb / tc)
        f0, f1 = _simple(t / tc)
        omega = (np.log(_ATMOSPHERE / pc) - b0) / b1
        known = np.where(t <= tc, pc * np.exp(f0 + omega * f1), np.nan)
        slope = (36.61 + 8.314 * np.log(tb)) * tb / 8.314
        return np.asarray(np.where(np.isnan(tc), _ATMOSPHERE * np.exp(slope * (1 / tb - 1 / t)), known))


@functools.cache
def _curve(key: str) -> tuple[np.ndarray, ...]:
    rows = [row for row in tables.read("solutions") if row["key"] == key]
    heads = (("share_pct", "%"), ("density_20C_kg_m3", "-"), ("viscosity_20C_mPas", "-"), ("pv_over_water", "-"))
    return tuple(np.array([tables.number(row[head], unit) for row in rows]) for head, unit in heads)


def solution(key: str, concentration: npt.ArrayLike, temperature: npt.ArrayLike) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """An aqueous solution by strength.

    Parameters
    ----------
    key : str
        Key of solutions.csv.
    concentration : array_like
        Strength, mass share [-]
    temperature : array_like
        Temperature [K]

    Returns
    -------
    density : ndarray
        Density [kg/m3]; nan beyond the strongest of the table.
    viscosity : ndarray
        Dynamic viscosity [Pa s]
    pv : ndarray
        Vapour pressure [Pa]

    Notes
    -----
    Over temperature the density falls as that of water where dilute and by 0.06 % a kelvin where strong; the viscosity follows
    that of water, raised to the power by which a thick liquid falls faster.
    """
    share, rho, thick, ratio = _curve(key)
    c, t = np.broadcast_arrays(np.asarray(concentration, float), np.asarray(temperature, float))
    with np.errstate(invalid="ignore"):
        inside = (c >= 0) & (c <= share[-1] * 1.01)
    at = np.where(inside, np.minimum(c, share[-1]), np.nan)
    warm = np.maximum(t, 273.15)  # water has no figures below: what is colder is extrapolated from there
    cold = 1 / t - 1 / warm
    plain = water.liquid(warm, 1e6).density
    base = np.interp(at, share, rho)
    fall = plain / rho[0] * (1 - np.nan_to_num(at)) + np.nan_to_num(at) * (1 - 6e-4 * (t - _T20))
    viscous = np.exp(np.interp(at, share, np.log(thick)))
    thin = water.viscosity(warm, plain) / 1.0016e-3 * np.exp(_STEEP * cold)
    power = 1 + 0.3 * np.log(np.maximum(viscous, 1.0))
    tension = np.exp(np.interp(at, share, np.log(ratio))) * water.saturation_pressure(warm) * np.exp(-_HEAT * cold)
    return np.where(inside, base * fall, np.nan), np.where(inside, viscous * 1e-3 * thin**power, np.nan), np.where(inside, tension, np.nan)
