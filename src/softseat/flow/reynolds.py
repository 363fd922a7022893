"""Viscous flow: the valve Reynolds number and the factor FR (IEC 60534-2-1, clause 9 and annex A)."""

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike

from softseat.errors import InputError
from softseat.flow.coefficient import HOUR, N18
from softseat.flow.fittings import MM, N2
from softseat.register import calculation

N4, N32 = 7.07e-2, 140.0  # IEC 60534-2-1:2011, table 1, Kv with m3/h, mm, m2/s
TURBULENT = 1e4  # valve Reynolds number from which the flow is turbulent, clause 9
LARGEST = 0.075  # Kv/(N18 d2) at which annex C stops the search for a Kv
TRIMS = ("full", "reduced")


@calculation(
    "valve-reynolds",
    source="IEC 60534-2-1:2011, equation 23",
    formula="Rev = N4 Fd Q/(nu sqrt(C FL)) [FL^2 C^2/(N2 d^4) + 1]^(1/4)",
    example={"flow": "360 m3/h", "kinematic_viscosity": 3.26e-7, "kv": 165, "fl": 0.9, "fd": 0.46, "valve_bore": "150 mm"},
)
def valve_reynolds(
    flow: ArrayLike, kinematic_viscosity: ArrayLike, kv: ArrayLike, fl: ArrayLike, fd: ArrayLike, valve_bore: ArrayLike
) -> np.ndarray:
    """Reynolds number of the jets in the valve.

    Parameters
    ----------
    flow : array_like
        Actual volume flow at the inlet, also for a gas, Q. [m3/s]
    kinematic_viscosity : array_like
        Kinematic viscosity, nu. [m2/s]
    kv : array_like
        Flow coefficient at this opening, C. [m3/h]
    fl : array_like
        Liquid pressure recovery factor, FL. [-]
    fd : array_like
        Valve style modifier, Fd. [-]
    valve_bore : array_like
        Bore of the valve, d. [m]

    Returns
    -------
    reynolds : ndarray
        Valve Reynolds number; nan where an input is missing or Kv is zero. [-]

    References
    ----------
    IEC 60534-2-1:2011, clause 9.
    """
    cfl = np.asarray(kv, float) * np.asarray(fl, float)
    d2 = np.square(MM * np.asarray(valve_bore, float))
    q = HOUR * np.asarray(flow, float)
    with np.errstate(divide="ignore", invalid="ignore"):
        approach = np.sqrt(np.sqrt(np.square(cfl / d2) / N2 + 1))
        return np.asarray(N4 * np.asarray(fd, float) * q / (kinematic_viscosity * np.sqrt(cfl)) * approach)


@calculation(
    "reynolds-factor",
    source="IEC 60534-2-1:2011, annex A, equations A.6-A.8",
    formula="FR = min(1 + 0.33 sqrt(FL)/n^0.25 log10(Rev/10000), 0.026/FL sqrt(n Rev), 1)",
    example={"reynolds": 1202, "kv": 0.015483, "fl": 0.98, "valve_bore": "15 mm", "trim": "reduced"},
)
def reynolds_factor(reynolds: ArrayLike, kv: ArrayLike, fl: ArrayLike, valve_bore: ArrayLike, trim: str = "full") -> np.ndarray:
    """Share of the turbulent flow that a viscous liquid or gas still passes.

    Parameters
    ----------
    reynolds : array_like
        Valve Reynolds number, Rev. [-]
    kv : array_like
        Flow coefficient at this opening, C. [m3/h]
    fl : array_like
        Liquid pressure recovery factor, FL. [-]
    valve_bore : array_like
        Bore of the valve, d. [m]
    trim : str
        "full" for every full-bore butterfly valve (rated Kv/(N18 d2) from 0.016 on), "reduced" below.

    Returns
    -------
    fr : ndarray
        Reynolds number factor, 1 from a Reynolds number of 10 000 on; nan where an input is missing. [-]

    References
    ----------
    IEC 60534-2-1:2011, annex A.
    """
    if trim not in TRIMS:
        raise InputError(f"trim {trim!r} is not known; allowed are {', '.join(TRIMS)}")
    fl, re = np.asarray(fl, float), np.asarray(reynolds, float)
    ratio = np.asarray(kv, float) / np.square(MM * np.asarray(valve_bore, float))
    with np.errstate(divide="ignore", invalid="ignore"):
        n = N2 / np.square(ratio) if trim == "full" else 1 + N32 * np.cbrt(np.square(ratio))
        laminar = 0.026 / fl * np.sqrt(n * re)
        transitional = np.where(re < 10, np.inf, 1 + 0.33 * np.sqrt(fl) / np.sqrt(np.sqrt(n)) * np.log10(re / TURBULENT))
        viscous = np.minimum(np.minimum(laminar, transitional), 1.0)
    return np.where(re >= TURBULENT, 1.0, viscous)


def smallest_kv(shortfall: Callable[[np.ndarray], np.ndarray], least: np.ndarray, valve_bore: np.ndarray, steps: int = 48) -> np.ndarray:
    """Smallest Kv between ``least`` and the largest of annex C at which the shortfall is no more than zero; nan where none.

    With full trim the viscous flow is not monotone in Kv, so the first crossing is looked for before it is halved.

    Parameters
    ----------
    shortfall : callable
        Flow that is still missing at this Kv; at or below zero where the Kv passes the flow.
    least : array_like
        Kv without any viscosity, from which the search starts. [m3/h]
    valve_bore : array_like
        Bore of the valve. [m]
    steps : int
        Number of Kv tried, and of halvings. [-]
    """
    top = LARGEST * N18 * np.square(MM * valve_bore)
    low = least.astype(float)
    high = np.full_like(low, np.nan)
    with np.errstate(divide="ignore", invalid="ignore"):
        growth = np.where(top > least, (top / least) ** (1 / steps), 1.0)
        for step in range(steps + 1):
            trial = least * growth**step
            passes = shortfall(trial) <= 0
            high = np.where(np.isnan(high) & passes, trial, high)
            low = np.where(np.isnan(high), trial, low)
    for _ in range(steps):
        middle = 0.5 * (low + high)
        passes = shortfall(middle) <= 0
        low, high = np.where(passes, low, middle), np.where(passes, middle, high)
    return high
