"""Gas flow through a valve: Kv for a flow, flow for a Kv, expansion, choking, reducers (IEC 60534-2-1)."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from softseat.errors import InputError
from softseat.flow.choking import GAMMA_AIR
from softseat.flow.coefficient import HOUR, optional
from softseat.flow.fittings import Fittings, fittings
from softseat.flow.gas_viscous import viscous_flow, viscous_kv
from softseat.register import calculation

N9 = 24.6  # IEC 60534-2-1:2011, table 1: Kv, m3/h at 0 °C and 101.325 kPa, kPa, K, kg/kmol
MOLAR_VOLUME = 22.413969e-3  # [m3/mol] at 0 °C and 101.325 kPa (CODATA)
NEWTON_STEPS = 8  # the cubic below is convex or concave: from the first guess the steps never overshoot


@dataclass(frozen=True, slots=True)
class _Duty:
    """The gas at the valve in the units of the equation: ``per_kv`` is Qs/(C FP Y sqrt(x)) in m3/s."""

    per_kv: np.ndarray
    x: np.ndarray
    fg: np.ndarray
    f: Fittings

    def square(self, qs: np.ndarray) -> np.ndarray:
        """Square of the flow over ``per_kv``."""
        return np.where(qs >= 0, np.square(qs / self.per_kv), np.nan)


def gas_needed(
    p1: ArrayLike,
    p2: ArrayLike,
    t1: ArrayLike,
    molar_mass: ArrayLike,
    gamma: ArrayLike,
    z: ArrayLike,
    flow: ArrayLike | None = None,
    mass_flow: ArrayLike | None = None,
    valve_bore: ArrayLike | None = None,
    pipe_in: ArrayLike | None = None,
    pipe_out: ArrayLike | None = None,
) -> Callable[[np.ndarray], np.ndarray]:
    """Kv needed in turbulent flow for an xT, as `gas_kv` has it; what does not depend on the opening is worked out once.

    Parameters
    ----------
    p1, p2, t1, molar_mass, gamma, z, flow, mass_flow, valve_bore, pipe_in, pipe_out : array_like
        As in `gas_kv`. [Pa, K, kg/mol, m3/s, kg/s, m]
    """
    qs = normal_flow(flow, mass_flow, molar_mass)
    duty = _duty(np.asarray(p1, float), p2, t1, molar_mass, gamma, z, fittings(valve_bore, pipe_in, pipe_out))
    solve = _line_size if duty.f.none else _through_fittings
    with np.errstate(invalid="ignore", divide="ignore"):
        g2 = duty.square(qs)
    return lambda xt: np.asarray(np.sqrt(solve(g2, duty, xt)[0]))


def _duty(p1: np.ndarray, p2: ArrayLike, t1: ArrayLike, molar_mass: ArrayLike, gamma: ArrayLike, z: ArrayLike, f: Fittings) -> _Duty:
    with np.errstate(invalid="ignore", divide="ignore"):
        heavy = 1e3 * np.asarray(molar_mass, float) * np.asarray(t1, float) * np.asarray(z, float)
        per_kv = N9 / HOUR * 1e-3 * p1 / np.sqrt(heavy)
        x = 1 - np.asarray(p2, float) / p1
        return _Duty(np.where((p1 > 0) & (x > 0) & (x <= 1), per_kv, np.nan), x, np.asarray(gamma, float) / GAMMA_AIR, f)


def normal_flow(flow: ArrayLike | None, mass_flow: ArrayLike | None, molar_mass: ArrayLike) -> np.ndarray:
    """The flow at 0 °C and 101.325 kPa, from whichever of the two is known in a row.

    Parameters
    ----------
    flow : array_like
        Volume flow at 0 °C and 101.325 kPa. [m3/s]
    mass_flow : array_like
        Mass flow. [kg/s]
    molar_mass : array_like
        Molar mass. [kg/mol]
    """
    if flow is None and mass_flow is None:
        raise InputError("gas-kv needs flow or mass_flow; one of the two must be given")
    by_mass = optional(mass_flow) / np.asarray(molar_mass, float) * MOLAR_VOLUME
    volume = optional(flow)
    return np.where(np.isnan(volume), by_mass, volume)


@calculation(
    "gas-kv",
    source="IEC 60534-2-1:2011, clauses 7-9 and annex A",
    formula="Kv = Qs/(24.6 FP p1 Y) sqrt(M T1 Z/x), Y = 1 - x/(3 Fgamma xTP), x at most Fgamma xTP",
    example={
        "flow": "3800 m3/h",
        "p1": "680 kPa",
        "p2": "450 kPa",
        "t1": "433 K",
        "molar_mass": 0.04401,
        "gamma": 1.3,
        "z": 0.991,
        "xt": 0.6,
    },
)
def gas_kv(
    *,
    flow: ArrayLike | None = None,
    mass_flow: ArrayLike | None = None,
    p1: ArrayLike,
    p2: ArrayLike,
    t1: ArrayLike,
    molar_mass: ArrayLike,
    gamma: ArrayLike,
    z: ArrayLike,
    xt: ArrayLike,
    fl: ArrayLike | None = None,
    viscosity: ArrayLike | None = None,
    fd: ArrayLike | None = None,
    valve_bore: ArrayLike | None = None,
    pipe_in: ArrayLike | None = None,
    pipe_out: ArrayLike | None = None,
    trim: str = "full",
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Flow coefficient that passes a gas flow, and whether the flow chokes. Either ``flow`` or ``mass_flow`` is given.

    Parameters
    ----------
    flow : array_like
        Volume flow at 0 °C and 101.325 kPa, Qs. [m3/s]
    mass_flow : array_like
        Mass flow, where the volume flow is not known. [kg/s]
    p1, p2 : array_like
        Pressure before and behind the valve, absolute. [Pa]
    t1 : array_like
        Inlet temperature. [K]
    molar_mass : array_like
        Molar mass. [kg/mol]
    gamma : array_like
        Ratio of specific heats; the standard's range is 1.08 to 1.65. [-]
    z : array_like
        Compressibility at the inlet. [-]
    xt : array_like
        Pressure differential ratio factor xT of the valve at this opening. [-]
    fl : array_like
        Liquid pressure recovery factor, for the Reynolds number only. [-]
    viscosity : array_like
        Dynamic viscosity; turbulent flow is assumed where it is not known. [Pa s]
    fd : array_like
        Valve style modifier Fd at this opening. [-]
    valve_bore : array_like
        Bore of the valve, d. [m]
    pipe_in, pipe_out : array_like
        Bore of the pipe before and behind; as the valve's where not known. [m]
    trim : str
        "full" for every full-bore butterfly valve, "reduced"; for the Reynolds number only.

    Returns
    -------
    kv : ndarray
        Flow coefficient needed; nan where p2 is not below p1, where an input is missing, or where no Kv can pass this flow through
        these reducers or at this viscosity. [m3/h]
    choked : ndarray of bool
        True where a lower p2 would pass no more. [-]
    y : ndarray
        Expansion factor, 2/3 in choked flow; nan where there is no Kv. [-]
    fp : ndarray
        Piping geometry factor, 1 without reducers; nan where there is no Kv with reducers. [-]

    References
    ----------
    IEC 60534-2-1:2011 (ANSI/ISA-75.01.01-2012), clauses 7 to 9 and annex A.
    """
    p1, xt = np.asarray(p1, float), np.asarray(xt, float)
    qs = normal_flow(flow, mass_flow, molar_mass)
    duty = _duty(p1, p2, t1, molar_mass, gamma, z, fittings(valve_bore, pipe_in, pipe_out))
    with np.errstate(invalid="ignore", divide="ignore"):
        kv2, choked, y = (_line_size if duty.f.none else _through_fittings)(duty.square(qs), duty, xt)
        kv, fp = np.sqrt(kv2), np.ones(()) if duty.f.none else 1 / np.sqrt(1 + duty.f.through * kv2)
    if viscosity is not None and fl is not None and fd is not None and valve_bore is not None:
        kv, y, fp = viscous_kv(kv, y, fp, qs, p1, p2, t1, molar_mass, z, duty.fg * xt, fl, viscosity, fd, valve_bore, trim=trim)
    kv, choked, y, fp = np.broadcast_arrays(kv, choked, y, fp)
    return kv, choked, y, fp


def _line_size(g2: np.ndarray, duty: _Duty, xt: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Kv^2, choked and Y of a valve without reducers."""
    limit = duty.fg * xt
    x = np.minimum(duty.x, limit)
    y = 1 - x / (3 * limit)
    kv2 = g2 / (x * np.square(y))
    return kv2, (duty.x >= limit) & ~np.isnan(kv2), y


def _through_fittings(g2: np.ndarray, duty: _Duty, xt: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Kv^2, choked and Y. Choked the answer is closed; else s = C FP solves (1-r) s - r (c-a) s^3 = g, docs/theory/flow.md."""
    a, c, x, fg = duty.f.through, xt * duty.f.before_gas, duty.x, duty.fg
    k2 = 2.25 * g2 / (fg * xt)
    room = np.where(1 - c * k2 > 0, 1 - c * k2, np.nan)
    choked2 = k2 / room
    choked = x >= fg * xt * (1 + a * choked2) / (1 + c * choked2)
    r, g = x / (3 * fg * xt), np.sqrt(g2 / x)
    s = _root(1 - r, r * (c - a), g)
    w = np.square(s)
    plain = np.where((a * w < 1) & (s >= 0) & (room > 0), w / (1 - a * w), np.nan)
    kv2 = np.where(choked, choked2, plain)
    kv2 = np.where(a * kv2 > -1, kv2, np.nan)
    return kv2, choked & ~np.isnan(kv2), np.where(choked, 2 / 3, 1 - r * (1 + (c - a) * w))


def _root(straight: np.ndarray, bend: np.ndarray, g: np.ndarray) -> np.ndarray:
    """Smallest s with straight s - bend s^3 = g, nan where there is none."""
    s = g / straight
    for _ in range(NEWTON_STEPS):
        s2 = np.square(s)
        s = s - ((straight - bend * s2) * s - g) / (straight - 3 * bend * s2)
    return np.where(np.abs((straight - bend * np.square(s)) * s - g) <= 1e-9 * g, s, np.nan)


@calculation(
    "gas-flow",
    source="IEC 60534-2-1:2011, clauses 7-9 and annex A",
    formula="Qs = 24.6 Kv FP p1 Y sqrt(x/(M T1 Z)), x at most Fgamma xTP",
    example={"kv": 67.3, "p1": "680 kPa", "p2": "450 kPa", "t1": "433 K", "molar_mass": 0.04401, "gamma": 1.3, "z": 0.991, "xt": 0.6},
)
def gas_flow(
    kv: ArrayLike,
    p1: ArrayLike,
    p2: ArrayLike,
    t1: ArrayLike,
    molar_mass: ArrayLike,
    gamma: ArrayLike,
    z: ArrayLike,
    xt: ArrayLike,
    fl: ArrayLike | None = None,
    viscosity: ArrayLike | None = None,
    fd: ArrayLike | None = None,
    valve_bore: ArrayLike | None = None,
    pipe_in: ArrayLike | None = None,
    pipe_out: ArrayLike | None = None,
    trim: str = "full",
) -> tuple[np.ndarray, np.ndarray]:
    """Gas flow that a valve passes between two pressures, and whether it chokes.

    Parameters
    ----------
    kv : array_like
        Flow coefficient at this opening. [m3/h]
    p1, p2 : array_like
        Pressure before and behind the valve, absolute. [Pa]
    t1 : array_like
        Inlet temperature. [K]
    molar_mass : array_like
        Molar mass. [kg/mol]
    gamma, z : array_like
        Ratio of specific heats and compressibility at the inlet. [-]
    xt : array_like
        Pressure differential ratio factor xT of the valve at this opening. [-]
    fl : array_like
        Liquid pressure recovery factor, for the Reynolds number only. [-]
    viscosity : array_like
        Dynamic viscosity; turbulent flow is assumed where it is not known. [Pa s]
    fd : array_like
        Valve style modifier Fd at this opening. [-]
    valve_bore : array_like
        Bore of the valve, d. [m]
    pipe_in, pipe_out : array_like
        Bore of the pipe before and behind; as the valve's where not known. [m]
    trim : str
        "full" for every full-bore butterfly valve, "reduced"; for the Reynolds number only.

    Returns
    -------
    flow : ndarray
        Volume flow at 0 °C and 101.325 kPa; nan where p2 is not below p1 or an input is missing. [m3/s]
    choked : ndarray of bool
        True where a lower p2 would pass no more. [-]

    References
    ----------
    IEC 60534-2-1:2011, clauses 7 to 9 and annex A.
    """
    kv, p1, xt = (np.asarray(v, float) for v in (kv, p1, xt))
    duty = _duty(p1, p2, t1, molar_mass, gamma, z, fittings(valve_bore, pipe_in, pipe_out))
    c2 = np.square(kv)
    with np.errstate(invalid="ignore", divide="ignore"):
        limit = duty.fg * xt * (1 + duty.f.through * c2) / (1 + xt * duty.f.before_gas * c2)
        x = np.minimum(duty.x, limit)
        flow = duty.per_kv * kv / np.sqrt(1 + duty.f.through * c2) * (1 - x / (3 * limit)) * np.sqrt(x)
    if viscosity is not None and fl is not None and fd is not None and valve_bore is not None:
        flow = viscous_flow(flow, kv, p1, p2, t1, molar_mass, z, duty.fg * xt, fl, viscosity, fd, valve_bore, trim=trim)
    flow, choked = np.broadcast_arrays(flow, duty.x >= limit)
    return flow, choked
