"""Gas flow at a low Reynolds number (IEC 60534-2-1, annex A): other expansion factor, no FP, factor FR."""

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike

from softseat.flow.coefficient import HOUR
from softseat.flow.reynolds import TURBULENT, reynolds_factor, smallest_kv, valve_reynolds

N22 = 17.3  # IEC 60534-2-1:2011, table 1: Kv, m3/h at 0 °C and 101.325 kPa
GAS_CONSTANT = 8.314462618  # [J/(mol K)], CODATA
P_NORMAL, T_NORMAL = 101325.0, 273.15
LAMINAR_Y = 1000.0  # Reynolds number up to which Y = sqrt(1 - x/2), equation A.5


def expansion(reynolds: np.ndarray, x: np.ndarray, limit: np.ndarray) -> np.ndarray:
    """Expansion factor between laminar and turbulent flow, equation A.5.

    Parameters
    ----------
    reynolds : array_like
        Valve Reynolds number. [-]
    x, limit : array_like
        Pressure drop ratio and the one at which turbulent flow chokes, without fittings. [-]
    """
    laminar = np.sqrt(1 - x / 2)
    turbulent = 1 - np.minimum(x, limit) / (3 * limit)
    share = np.clip((reynolds - LAMINAR_Y) / (TURBULENT - LAMINAR_Y), 0, 1)
    return np.asarray(laminar + share * (turbulent - laminar))


class _Slow:
    """The rows in non-turbulent flow, with everything that the equation A.4 needs of them."""

    def __init__(self, slow: np.ndarray, trim: str, *given: ArrayLike) -> None:
        p1, p2, t1, m, z, limit, fl, mu, fd, bore = (np.asarray(np.broadcast_to(v, slow.shape)[slow], float) for v in given)
        self.fl, self.fd, self.bore, self.limit, self.x, self.trim = fl, fd, bore, limit, 1 - p2 / p1, trim
        self.per_kv = N22 / HOUR * 1e-3 * np.sqrt((p1 - p2) * (p1 + p2) / (1e3 * m * t1))
        self.actual, self.nu = actual_share(p1, t1, z), kinematic(p1, t1, m, z, mu)

    def passes(self, flow: np.ndarray, kv: np.ndarray) -> np.ndarray:
        """Flow of equation A.4 at the Reynolds number of ``flow``."""
        re = valve_reynolds(flow * self.actual, self.nu, kv, self.fl, self.fd, self.bore)
        return np.asarray(self.per_kv * kv * reynolds_factor(re, kv, self.fl, self.bore, self.trim) * expansion(re, self.x, self.limit))

    def factor(self, flow: np.ndarray, kv: np.ndarray) -> np.ndarray:
        re = valve_reynolds(flow * self.actual, self.nu, kv, self.fl, self.fd, self.bore)
        return expansion(re, self.x, self.limit)


def actual_share(p1: ArrayLike, t1: ArrayLike, z: ArrayLike) -> np.ndarray:
    """Volume at the inlet of one normal volume (0 °C, 101.325 kPa) of gas.

    Parameters
    ----------
    p1 : array_like
        Pressure before the valve, absolute. [Pa]
    t1 : array_like
        Inlet temperature. [K]
    z : array_like
        Compressibility at the inlet. [-]
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(P_NORMAL / np.asarray(p1, float) * np.asarray(t1, float) / T_NORMAL * np.asarray(z, float))


def kinematic(p1: ArrayLike, t1: ArrayLike, molar_mass: ArrayLike, z: ArrayLike, viscosity: ArrayLike) -> np.ndarray:
    """Kinematic viscosity of the gas at the inlet.

    Parameters
    ----------
    p1 : array_like
        Pressure before the valve, absolute. [Pa]
    t1 : array_like
        Inlet temperature. [K]
    molar_mass : array_like
        Molar mass. [kg/mol]
    z : array_like
        Compressibility at the inlet. [-]
    viscosity : array_like
        Dynamic viscosity. [Pa s]
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        density = np.asarray(p1, float) * np.asarray(molar_mass, float) / (GAS_CONSTANT * np.asarray(t1, float) * np.asarray(z, float))
        return np.asarray(np.asarray(viscosity, float) / density)


def _slow_rows(flow: np.ndarray, kv: np.ndarray, *given: ArrayLike) -> np.ndarray:
    p1, _, t1, m, z, _, fl, mu, fd, bore = given
    re = valve_reynolds(flow * actual_share(p1, t1, z), kinematic(p1, t1, m, z, mu), kv, fl, fd, bore)
    return np.asarray(re < TURBULENT)


def viscous_kv(
    kv: np.ndarray, y: np.ndarray, fp: np.ndarray, flow: np.ndarray, *given: ArrayLike, trim: str = "full"
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Kv, Y and FP with the non-turbulent rows solved anew.

    Parameters
    ----------
    kv, y, fp : array_like
        The turbulent answer. [m3/h], [-], [-]
    flow : array_like
        Volume flow at 0 °C and 101.325 kPa. [m3/s]
    given : array_like
        p1, p2, t1, molar_mass, z, Fgamma xT, fl, viscosity, fd, valve_bore, in this order. [SI]
    trim : str
        "full" or "reduced".
    """
    slow = _slow_rows(flow, kv, *given)
    if not slow.any():
        return kv, y, fp
    kv, y, fp, slow = (np.array(a) for a in np.broadcast_arrays(kv, y, fp, slow))
    rows, q = _Slow(slow, trim, *given), np.asarray(np.broadcast_to(flow, slow.shape)[slow], float)
    least = q / rows.per_kv
    found = smallest_kv(lambda trial: q - rows.passes(q, trial), least, rows.bore)
    kv[slow], y[slow], fp[slow] = found, rows.factor(q, found), 1.0
    return kv, y, fp


def viscous_flow(flow: np.ndarray, kv: np.ndarray, *given: ArrayLike, trim: str = "full") -> np.ndarray:
    """The flow with the non-turbulent rows brought to their own Reynolds number.

    Parameters
    ----------
    flow : array_like
        The turbulent flow at 0 °C and 101.325 kPa. [m3/s]
    kv : array_like
        Flow coefficient at this opening. [m3/h]
    given : array_like
        p1, p2, t1, molar_mass, z, Fgamma xT, fl, viscosity, fd, valve_bore, in this order. [SI]
    trim : str
        "full" or "reduced".
    """
    slowed, slow = (np.array(a) for a in np.broadcast_arrays(flow, _slow_rows(flow, kv, *given)))
    if not slow.any():
        return slowed
    rows, c = _Slow(slow, trim, *given), np.asarray(np.broadcast_to(kv, slow.shape)[slow], float)
    found = _root(lambda q: rows.passes(q, c), rows.per_kv * c)
    slowed[slow] = found
    return slowed


def _root(passes: Callable[[np.ndarray], np.ndarray], most: np.ndarray) -> np.ndarray:
    """Largest Q with Q = passes(Q), looked for by halving in the logarithm."""
    low, high = np.full(most.shape, -80.0), np.zeros(most.shape)
    for _ in range(60):
        middle = 0.5 * (low + high)
        enough = passes(most * np.exp(middle)) >= most * np.exp(middle)
        low, high = np.where(enough, middle, low), np.where(enough, high, middle)
    return np.asarray(most * np.exp(low))
