"""Water and steam: IAPWS-IF97 regions 1, 2 and 4, viscosity of 2008."""

import functools
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from softseat import tables

GAS_CONSTANT = 461.526  # [J/(kg K)], specific, of IF97
MOLAR_MASS = 0.018015268  # [kg/mol]
T_CRITICAL, P_CRITICAL = 647.096, 22.064e6
_T_LOW, _T_LIQUID, _T_GAS, _P_HIGH = 273.15, 623.15, 1073.15, 100e6
_SLACK = 1e-9  # 0 C typed as 273.15 must not fall outside by rounding
_SATURATION = (1167.0521452767, -724213.16703206, -17.073846940092, 12020.82470247, -3232555.0322333, 14.91510861353, -4823.2657361591,
               405113.40542057, -0.23855557567849, 650.17534844798)  # fmt: skip
_VISCOSITY_0 = (1.67752, 2.20462, 0.6366564, -0.241605)


@dataclass(frozen=True, slots=True)
class State:
    """Properties of one phase, nan where the phase does not exist there or the formulation ends."""

    density: np.ndarray  # kg/m3
    sound_speed: np.ndarray  # m/s
    heat_capacity: np.ndarray  # J/(kg K), at constant pressure


@functools.cache
def _terms(name: str) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    return tables.column(name, "i"), tables.column(name, "j"), tables.column(name, "n")


def _inside(t: np.ndarray, p: np.ndarray, t_high: float) -> np.ndarray:
    with np.errstate(invalid="ignore"):
        return (t >= _T_LOW - _SLACK) & (t <= t_high + _SLACK) & (p > 0) & (p <= _P_HIGH)


def _added(terms: np.ndarray) -> np.ndarray:
    """Sum along the first axis, one after the other: np.sum takes another order for one state than for many, and another last digit."""
    return np.asarray(np.add.accumulate(terms, axis=0)[-1])


def _sums(name: str, x: np.ndarray, y: np.ndarray) -> tuple[np.ndarray, ...]:
    """Sum of n x**i y**j and its derivatives: x, xx, y, yy, xy (with respect to x and y)."""
    i, j, n = (c.reshape(-1, *[1] * x.ndim) for c in _terms(name))
    term = n * x**i * y**j
    return (
        _added(term * i / x),
        _added(term * i * (i - 1) / x**2),
        _added(term * j * (j - 1) / y**2),
        _added(term * i * j / (x * y)),
    )


def liquid(temperature: npt.ArrayLike, pressure: npt.ArrayLike) -> State:
    """Liquid water (region 1).

    Parameters
    ----------
    temperature : array_like
        Temperature, 273.15 to 623.15 [K]
    pressure : array_like
        Pressure, absolute, to 100 MPa [Pa]

    Returns
    -------
    state : State
        Density, speed of sound, heat capacity; nan outside the region of the formulation (the vapour side of saturation
        is not cut off: there it is the metastable liquid).

    References
    ----------
    IAPWS R7-97(2012), section 5.1.
    """
    t, p = np.broadcast_arrays(np.asarray(temperature, float), np.asarray(pressure, float))
    good = _inside(t, p, _T_LIQUID)
    t, p = np.where(good, t, 300.0), np.where(good, p, 1e5)
    tau, pi = 1386.0 / t, p / 16.53e6
    x, xx, yy, xy = _sums("iapws_region1", 7.1 - pi, tau - 1.222)
    gp, gpp, gtt, gpt = -x, xx, yy, -xy
    slope = (gp - tau * gpt) ** 2 / (tau**2 * gtt)
    density = p / (pi * gp * GAS_CONSTANT * t)
    sound = np.sqrt(GAS_CONSTANT * t * gp**2 / (slope - gpp))
    return State(*(np.where(good, v, np.nan) for v in (density, sound, -GAS_CONSTANT * tau**2 * gtt)))


def vapour(temperature: npt.ArrayLike, pressure: npt.ArrayLike) -> State:
    """Steam (region 2, basic equation).

    Parameters
    ----------
    temperature : array_like
        Temperature, 273.15 to 1073.15 [K]
    pressure : array_like
        Pressure, absolute [Pa]

    Returns
    -------
    state : State
        Density, speed of sound, heat capacity; nan outside the region and where the pressure is above saturation.

    References
    ----------
    IAPWS R7-97(2012), section 6.1.
    """
    t, p = np.broadcast_arrays(np.asarray(temperature, float), np.asarray(pressure, float))
    limit = saturation_pressure(t)
    with np.errstate(invalid="ignore"):
        good = _inside(t, p, _T_GAS) & ((p <= limit * (1 + 1e-6)) | (t > _T_LIQUID))
    t, p = np.where(good, t, 400.0), np.where(good, p, 1e5)
    tau, pi = 540.0 / t, p / 1e6
    x, xx, yy, xy = _sums("iapws_region2", pi, tau - 0.5)
    j, n = (tables.column("iapws_region2_ideal", head).reshape(-1, *[1] * t.ndim) for head in ("j", "n"))
    gtt = _added(n * j * (j - 1) * tau ** (j - 2)) + yy
    one = 1 + pi * x
    bend = one - tau * pi * xy
    sound = np.sqrt(GAS_CONSTANT * t * one**2 / (1 - pi**2 * xx + bend**2 / (tau**2 * gtt)))
    return State(*(np.where(good, v, np.nan) for v in (p / (GAS_CONSTANT * t * one), sound, -GAS_CONSTANT * tau**2 * gtt)))


def saturation_pressure(temperature: npt.ArrayLike) -> np.ndarray:
    """Pressure at which water boils (region 4).

    Parameters
    ----------
    temperature : array_like
        Temperature, 273.15 to 647.096 [K]

    Returns
    -------
    pressure : ndarray
        Saturation pressure, absolute [Pa]; nan outside the range.

    References
    ----------
    IAPWS R7-97(2012), equation 30.
    """
    t = np.asarray(temperature, float)
    n = _SATURATION
    with np.errstate(invalid="ignore", divide="ignore"):
        theta = t + n[8] / (t - n[9])
        a = theta**2 + n[0] * theta + n[1]
        b = n[2] * theta**2 + n[3] * theta + n[4]
        c = n[5] * theta**2 + n[6] * theta + n[7]
        p = 1e6 * (2 * c / (-b + np.sqrt(b**2 - 4 * a * c))) ** 4
        return np.where((t >= _T_LOW - _SLACK) & (t <= T_CRITICAL + _SLACK), p, np.nan)


def saturation_temperature(pressure: npt.ArrayLike) -> np.ndarray:
    """Temperature at which water boils (region 4, backward).

    Parameters
    ----------
    pressure : array_like
        Pressure, absolute, 611.213 Pa to 22.064 MPa [Pa]

    Returns
    -------
    temperature : ndarray
        Saturation temperature [K]; nan outside the range.

    References
    ----------
    IAPWS R7-97(2012), equation 31.
    """
    p = np.asarray(pressure, float)
    n = _SATURATION
    with np.errstate(invalid="ignore", divide="ignore"):
        beta = (p / 1e6) ** 0.25
        e = beta**2 + n[2] * beta + n[5]
        f = n[0] * beta**2 + n[3] * beta + n[6]
        g = n[1] * beta**2 + n[4] * beta + n[7]
        d = 2 * g / (-f - np.sqrt(f**2 - 4 * e * g))
        t = (n[9] + d - np.sqrt((n[9] + d) ** 2 - 4 * (n[8] + n[9] * d))) / 2
        return np.where((p >= 611.2) & (p <= P_CRITICAL * (1 + 1e-9)), t, np.nan)


def viscosity(temperature: npt.ArrayLike, density: npt.ArrayLike) -> np.ndarray:
    """Dynamic viscosity of water and steam, without the enhancement near the critical point.

    Parameters
    ----------
    temperature : array_like
        Temperature, 273.15 to 1173.15 [K]
    density : array_like
        Density [kg/m3]

    Returns
    -------
    viscosity : ndarray
        Dynamic viscosity [Pa s]; nan where the temperature is outside the range or the density is nan.

    References
    ----------
    IAPWS R12-08, equations 10 to 12.
    """
    t, rho = np.broadcast_arrays(np.asarray(temperature, float), np.asarray(density, float))
    i, j, h = (tables.column("iapws_viscosity", head).reshape(-1, *[1] * t.ndim) for head in ("i", "j", "h"))
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        hot, dense = t / T_CRITICAL, rho / 322.0
        thin = 100 * np.sqrt(hot) / sum(v / hot**n for n, v in enumerate(_VISCOSITY_0))
        thick = np.exp(dense * _added(h * (1 / hot - 1) ** i * (dense - 1) ** j))
        return np.where((t >= _T_LOW - _SLACK) & (t <= 1173.15), thin * thick * 1e-6, np.nan)
