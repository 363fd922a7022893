"""Sea water and its concentrates: what salt adds to the properties of water."""

import numpy as np
import numpy.typing as npt

from softseat.media import water

STANDARD = 0.035  # [kg/kg], ocean water
_S_HIGH, _T_HIGH = 0.12, 393.15


def _checked(t: npt.ArrayLike, salinity: npt.ArrayLike) -> tuple[np.ndarray, np.ndarray]:
    """Celsius and salinity, nan outside the range of the correlations."""
    temperature, s = np.broadcast_arrays(np.asarray(t, float), np.asarray(salinity, float))
    with np.errstate(invalid="ignore"):
        good = (s >= 0) & (s <= _S_HIGH) & (temperature <= _T_HIGH)
    return np.where(good, temperature - 273.15, np.nan), s


def density(temperature: npt.ArrayLike, pressure: npt.ArrayLike, salinity: npt.ArrayLike = STANDARD) -> np.ndarray:
    """Density of sea water.

    Parameters
    ----------
    temperature : array_like
        Temperature, 273.15 to 393.15 [K]
    pressure : array_like
        Pressure, absolute [Pa]
    salinity : array_like
        Mass share of salt, 0 to 0.12 [-]

    Returns
    -------
    density : ndarray
        Density [kg/m3]; nan outside the range.

    References
    ----------
    Salt terms: Sharqawy, Lienhard and Zubair, Desalination and Water Treatment 16 (2010) 354, equation 8 (from memory, checked
    against TEOS-10); water: IAPWS R7-97(2012).
    """
    t, s = _checked(temperature, salinity)
    salt = s * (802.0 - 2.001 * t + 1.677e-2 * t**2 - 3.060e-5 * t**3) - 1.613e-5 * s**2 * t**2
    return np.asarray(water.liquid(temperature, pressure).density + salt)


def vapour_pressure(temperature: npt.ArrayLike, salinity: npt.ArrayLike = STANDARD) -> np.ndarray:
    """Vapour pressure of sea water.

    Parameters
    ----------
    temperature : array_like
        Temperature, 273.15 to 393.15 [K]
    salinity : array_like
        Mass share of salt, 0 to 0.12 [-]

    Returns
    -------
    pv : ndarray
        Vapour pressure, absolute [Pa]; nan outside the range.

    References
    ----------
    Raoult's law with an osmotic coefficient of one, as in Sharqawy, Lienhard and Zubair (2010), equation 29 (from memory).
    """
    _, s = _checked(temperature, salinity)
    return np.asarray(water.saturation_pressure(temperature) / (1 + 0.57357 * s / (1 - s)) + 0 * _)


def viscosity(temperature: npt.ArrayLike, pressure: npt.ArrayLike, salinity: npt.ArrayLike = STANDARD) -> np.ndarray:
    """Dynamic viscosity of sea water.

    Parameters
    ----------
    temperature : array_like
        Temperature, 273.15 to 393.15 [K]
    pressure : array_like
        Pressure, absolute [Pa]
    salinity : array_like
        Mass share of salt, 0 to 0.12 [-]

    Returns
    -------
    viscosity : ndarray
        Dynamic viscosity [Pa s]; nan outside the range.

    References
    ----------
    Sharqawy, Lienhard and Zubair (2010), equation 22 (from memory); water: IAPWS R12-08.
    """
    t, s = _checked(temperature, salinity)
    a = 1.541 + 1.998e-2 * t - 9.52e-5 * t**2
    b = 7.974 - 7.561e-2 * t + 4.724e-4 * t**2
    plain = water.viscosity(temperature, water.liquid(temperature, pressure).density)
    return np.asarray(plain * (1 + a * s + b * s**2))


def sound_speed(temperature: npt.ArrayLike, pressure: npt.ArrayLike, salinity: npt.ArrayLike = STANDARD) -> np.ndarray:
    """Speed of sound in sea water.

    Parameters
    ----------
    temperature : array_like
        Temperature, 273.15 to 313.15 [K]
    pressure : array_like
        Pressure, absolute [Pa]
    salinity : array_like
        Mass share of salt, 0 to 0.045 [-]

    Returns
    -------
    sound_speed : ndarray
        Speed of sound [m/s]; nan outside the range.

    Notes
    -----
    The difference that salt makes in Medwin's simple equation, put on the speed in water of IAPWS-IF97: good to a few m/s.

    References
    ----------
    Medwin, J. Acoust. Soc. Am. 58 (1975) 1318: c = 1449.2 + ... + (1.34 - 0.010 t)(S - 35), S in g/kg (from memory).
    """
    t, s = _checked(temperature, salinity)
    return np.asarray(water.liquid(temperature, pressure).sound_speed + (1.34 - 0.010 * t) * s * 1e3)
