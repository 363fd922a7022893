"""How long a seat lasts: set and hardening follow Arrhenius, inside what was tested and a little beyond, no further."""

import numpy as np
import numpy.typing as npt

from softseat.register import calculation
from softseat.tables import index, number

GAS_CONSTANT = 8.31446261815324  # [J/(mol K)]


def _reach(extrapolation: npt.ArrayLike | None) -> np.ndarray:
    if extrapolation is None:
        return np.asarray(number(index("house_limits")["extrapolate"]["value"]))
    return np.asarray(extrapolation, float)


def arrhenius(temperature: npt.ArrayLike, reference_temperature: npt.ArrayLike, activation_energy: npt.ArrayLike) -> np.ndarray:
    """How many times faster a reaction runs at one temperature than at another.

    Parameters
    ----------
    temperature, reference_temperature : array_like
        Where it runs, and what it is compared with. [K]
    activation_energy : array_like
        Activation energy. [J/mol]

    Returns
    -------
    rate : ndarray
        nan where an input is missing or a temperature is not positive. [-]

    References
    ----------
    ISO 11346:2014, Arrhenius approach.
    """
    t, ref = np.asarray(temperature, float), np.asarray(reference_temperature, float)
    with np.errstate(invalid="ignore", divide="ignore"):
        inverse = np.where((t > 0) & (ref > 0), 1 / ref - 1 / t, np.nan)
        return np.asarray(np.exp(np.asarray(activation_energy, float) / GAS_CONSTANT * inverse))


@calculation(
    "rubber-life",
    source="ISO 11346:2014, Arrhenius; extrapolation limit of the house",
    formula="t = t_ref exp(Ea/R (1/T - 1/T_ref))",
    example={
        "temperature": "80 C",
        "test_life": 3600000,
        "test_temperature": "110 C",
        "activation_energy": 95000,
        "tested_low": "100 C",
        "tested_high": "140 C",
    },
)
def rubber_life(
    temperature: npt.ArrayLike,
    test_life: npt.ArrayLike,
    test_temperature: npt.ArrayLike,
    activation_energy: npt.ArrayLike,
    tested_low: npt.ArrayLike | None = None,
    tested_high: npt.ArrayLike | None = None,
    extrapolation: npt.ArrayLike | None = None,
) -> np.ndarray:
    """Time to the end point (a set, a hardness, an elongation) at a service temperature.

    Parameters
    ----------
    temperature : array_like
        Service temperature. [K]
    test_life : array_like
        Time to the end point at ``test_temperature``. [s]
    test_temperature : array_like
        Temperature of that test. [K]
    activation_energy : array_like
        Activation energy of that property. [J/mol]
    tested_low, tested_high : array_like
        Range of the tests; without them the one test temperature. [K]
    extrapolation : array_like
        How far beyond the tested range the law is believed; without it the house's limit. [K]

    Returns
    -------
    life : ndarray
        nan where the temperature lies further outside the tested range than is believed (ISO 11346: another mechanism may rule). [s]
    """
    t = np.asarray(temperature, float)
    low = np.asarray(test_temperature if tested_low is None else tested_low, float)
    high = np.asarray(test_temperature if tested_high is None else tested_high, float)
    beyond = np.maximum(np.maximum(low - t, t - high), 0.0)
    with np.errstate(invalid="ignore"):
        life = np.asarray(test_life, float) / arrhenius(t, test_temperature, activation_energy)
        return np.asarray(np.where(beyond <= _reach(extrapolation), life, np.nan))


@calculation(
    "set-after",
    source="stretched exponential with Arrhenius time; ISO 815-1 test as its one point",
    formula="CS = end (1 - exp(-(t/tau)^n))",
    example={
        "time": 31557600,
        "temperature": "80 C",
        "test_set": 0.2,
        "test_time": 259200,
        "test_temperature": "100 C",
        "activation_energy": 95000,
        "exponent": 0.4,
    },
)
def set_after(
    time: npt.ArrayLike,
    temperature: npt.ArrayLike,
    test_set: npt.ArrayLike,
    test_time: npt.ArrayLike,
    test_temperature: npt.ArrayLike,
    activation_energy: npt.ArrayLike,
    exponent: npt.ArrayLike,
    extrapolation: npt.ArrayLike | None = None,
) -> np.ndarray:
    """Compression set after a time in service, from one set test.

    Parameters
    ----------
    time : array_like
        Time in service. [s]
    temperature : array_like
        Service temperature. [K]
    test_set : array_like
        Set of the test, above 0 and below 1. [-]
    test_time : array_like
        Duration of the test. [s]
    test_temperature : array_like
        Temperature of the test. [K]
    activation_energy : array_like
        Activation energy of set. [J/mol]
    exponent : array_like
        How the set grows with time, 0.3 to 0.5. [-]
    extrapolation : array_like
        How far from the test temperature the law is believed; without it the house's limit. [K]

    Returns
    -------
    compression_set : ndarray
        nan where the temperature is further from the test than is believed, or the test's set is not between 0 and 1. [-]
    """
    t, ref, n = np.asarray(temperature, float), np.asarray(test_temperature, float), np.asarray(exponent, float)
    share = np.asarray(test_set, float)
    with np.errstate(invalid="ignore", divide="ignore"):
        good = (share > 0) & (share < 1) & (np.abs(t - ref) <= _reach(extrapolation))
        spent = -np.log1p(-np.where(good, share, np.nan))  # (t/tau)^n at the test
        faster = np.asarray(time, float) * arrhenius(t, ref, activation_energy) / np.asarray(test_time, float)
        return np.asarray(-np.expm1(-spent * np.maximum(faster, 0.0) ** n))
