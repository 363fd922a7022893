"""Liquid flow through a valve: Kv for a flow, flow for a Kv, choking, reducers, viscosity (IEC 60534-2-1)."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from softseat.flow.choking import critical_ratio
from softseat.flow.coefficient import BAR, HOUR, RHO_WATER
from softseat.flow.fittings import Fittings, fittings
from softseat.flow.reynolds import TURBULENT, reynolds_factor, smallest_kv, valve_reynolds
from softseat.register import calculation


@dataclass(frozen=True, slots=True)
class LiquidDuty:
    """A flow at the valve: what of the Kv needed does not depend on the valve's opening. Squares of Kv."""

    bare: np.ndarray  # without reducers, without choking; nan where no Kv passes the flow
    limit: np.ndarray  # choked, times FL^2, without reducers
    f: Fittings

    def kv(self, fl: np.ndarray) -> np.ndarray:
        """Kv needed in turbulent flow with this FL, as `liquid_kv` has it. [m3/h]

        Parameters
        ----------
        fl : ndarray
            Recovery factor. [-]
        """
        return np.asarray(np.sqrt(np.maximum(*self.squares(self.limit / np.square(fl)))))

    def squares(self, bare_choked: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Kv^2 without and with choking, closed (docs/theory/flow.md); nan where no Kv passes the flow."""
        if self.f.none:
            return self.bare, bare_choked
        room, room_choked = 1 - self.f.through * self.bare, 1 - self.f.before * self.limit
        plain, choked_at = self.bare / room, bare_choked / room_choked
        passes = (room > 0) & (room_choked > 0) & (self.f.through * np.maximum(plain, choked_at) > -1)
        return np.where(passes, plain, np.nan), choked_at


def liquid_duty(
    flow: ArrayLike,
    p1: ArrayLike,
    p2: ArrayLike,
    density: ArrayLike,
    pv: ArrayLike,
    pc: ArrayLike,
    valve_bore: ArrayLike | None = None,
    pipe_in: ArrayLike | None = None,
    pipe_out: ArrayLike | None = None,
) -> LiquidDuty:
    """What of the Kv needed stays the same while the opening is looked for.

    Parameters
    ----------
    flow, p1, p2, density, pv, pc, valve_bore, pipe_in, pipe_out : array_like
        As in `liquid_kv`. [m3/s, Pa, kg/m3, m]
    """
    q, p1, p2 = (np.asarray(v, float) for v in (flow, p1, p2))
    weight = np.asarray(density, float) * (BAR / RHO_WATER * HOUR**2) * np.square(q)
    known = (p2 < p1) & (np.asarray(pv) < p1) & (q >= 0)
    with np.errstate(invalid="ignore", divide="ignore"):
        bare = np.where(known, weight / (p1 - p2), np.nan)
        return LiquidDuty(bare, weight / (p1 - critical_ratio(pv, pc) * pv), fittings(valve_bore, pipe_in, pipe_out))


@calculation(
    "liquid-kv",
    source="IEC 60534-2-1:2011, clauses 7-9 and annex A",
    formula="Kv = Q/(FP FR) sqrt((rho/rho0)/dp), dp at most (FLP/FP)^2 (p1 - FF pv)",
    example={"flow": "360 m3/h", "p1": "680 kPa", "p2": "220 kPa", "density": 965.4, "pv": "70.1 kPa", "pc": "22120 kPa", "fl": 0.9},
)
def liquid_kv(
    flow: ArrayLike,
    p1: ArrayLike,
    p2: ArrayLike,
    density: ArrayLike,
    pv: ArrayLike,
    pc: ArrayLike,
    fl: ArrayLike,
    viscosity: ArrayLike | None = None,
    fd: ArrayLike | None = None,
    valve_bore: ArrayLike | None = None,
    pipe_in: ArrayLike | None = None,
    pipe_out: ArrayLike | None = None,
    trim: str = "full",
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Flow coefficient that passes a liquid flow, and whether the flow chokes.

    With reducers the answer is closed, without iteration. Viscosity counts where ``viscosity``, ``fd`` and ``valve_bore`` are known.
    In non-turbulent flow the drop is limited by choking too, which annex A does not ask: the larger Kv, and no jump at a Reynolds
    number of 10 000.

    Parameters
    ----------
    flow : array_like
        Volume flow at inlet conditions, Q. [m3/s]
    p1, p2 : array_like
        Pressure before and behind the valve, absolute. [Pa]
    density : array_like
        Density at inlet temperature, rho. [kg/m3]
    pv, pc : array_like
        Vapour pressure at inlet temperature and critical pressure. [Pa]
    fl : array_like
        Liquid pressure recovery factor FL of the valve at this opening, 0 to 1. [-]
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
        Flow coefficient needed; nan where p2 is not below p1, where the liquid boils before the valve, where an input is missing, or
        where no Kv can pass this flow through these reducers or at this viscosity. [m3/h]
    choked : ndarray of bool
        True where a lower p2 would pass no more. [-]
    fp : ndarray
        Piping geometry factor, 1 without reducers and in viscous flow; nan where there is no Kv with reducers. [-]
    fr : ndarray
        Reynolds number factor, 1 in turbulent flow; nan where no Kv passes the viscous flow. [-]

    References
    ----------
    IEC 60534-2-1:2011 (ANSI/ISA-75.01.01-2012), clauses 7 to 9 and annex A.
    """
    q, fl = np.asarray(flow, float), np.asarray(fl, float)
    duty = liquid_duty(q, p1, p2, density, pv, pc, valve_bore, pipe_in, pipe_out)
    with np.errstate(invalid="ignore", divide="ignore"):
        bare_choked = duty.limit / np.square(fl)
        plain, choked_at = duty.squares(bare_choked)
        kv2 = np.maximum(plain, choked_at)
        choked = choked_at >= plain
        kv, fp = np.sqrt(kv2), np.ones(()) if duty.f.none else 1 / np.sqrt(1 + duty.f.through * kv2)
        fr = np.ones(())
        if viscosity is not None and fd is not None and valve_bore is not None:
            nu = np.asarray(viscosity, float) / density
            kv, fp, fr = _with_viscosity(kv, fp, duty.bare, bare_choked, q, fl, nu, fd, valve_bore, trim)
    kv, choked, fp, fr = np.broadcast_arrays(kv, choked, fp, fr)
    return kv, choked, fp, fr


def _with_viscosity(
    kv: np.ndarray,
    fp: np.ndarray,
    bare: np.ndarray,
    bare_choked: np.ndarray,
    flow: np.ndarray,
    fl: np.ndarray,
    nu: np.ndarray,
    fd: ArrayLike,
    valve_bore: ArrayLike,
    trim: str,
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Kv, FP and FR with the non-turbulent rows solved anew, each by its own search (few rows, so few arrays)."""
    slow = valve_reynolds(flow, nu, kv, fl, fd, valve_bore) < TURBULENT
    if not slow.any():
        return kv, fp, np.ones(slow.shape)
    kv, fp, slow = (np.array(a) for a in np.broadcast_arrays(kv, fp, slow))
    fr = np.ones(kv.shape)
    line_size = np.sqrt(np.maximum(bare, bare_choked))
    least, q, recovery, nu_, style, bore = (
        np.asarray(np.broadcast_to(v, kv.shape)[slow], float) for v in (line_size, flow, fl, nu, fd, valve_bore)
    )

    def factor(trial: np.ndarray) -> np.ndarray:
        return reynolds_factor(valve_reynolds(q, nu_, trial, recovery, style, bore), trial, recovery, bore, trim)

    found = smallest_kv(lambda trial: least - trial * factor(trial), least, bore)
    kv[slow], fp[slow], fr[slow] = found, 1.0, factor(found)
    return kv, fp, fr


@calculation(
    "liquid-flow",
    source="IEC 60534-2-1:2011, clauses 7-9 and annex A",
    formula="Q = Kv FP FR sqrt(dp/(rho/rho0)), dp at most (FLP/FP)^2 (p1 - FF pv)",
    example={"kv": 165, "p1": "680 kPa", "p2": "220 kPa", "density": 965.4, "pv": "70.1 kPa", "pc": "22120 kPa", "fl": 0.9},
)
def liquid_flow(
    kv: ArrayLike,
    p1: ArrayLike,
    p2: ArrayLike,
    density: ArrayLike,
    pv: ArrayLike,
    pc: ArrayLike,
    fl: ArrayLike,
    viscosity: ArrayLike | None = None,
    fd: ArrayLike | None = None,
    valve_bore: ArrayLike | None = None,
    pipe_in: ArrayLike | None = None,
    pipe_out: ArrayLike | None = None,
    trim: str = "full",
) -> tuple[np.ndarray, np.ndarray]:
    """Liquid flow that a valve passes between two pressures, and whether it chokes.

    Parameters
    ----------
    kv : array_like
        Flow coefficient at this opening. [m3/h]
    p1, p2 : array_like
        Pressure before and behind the valve, absolute. [Pa]
    density : array_like
        Density at inlet temperature, rho. [kg/m3]
    pv, pc : array_like
        Vapour pressure at inlet temperature and critical pressure. [Pa]
    fl : array_like
        Liquid pressure recovery factor FL of the valve at this opening, 0 to 1. [-]
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
        Volume flow at inlet conditions; nan where p2 is not below p1, where the liquid boils before the valve or an input is
        missing. [m3/s]
    choked : ndarray of bool
        True where a lower p2 would pass no more. [-]

    References
    ----------
    IEC 60534-2-1:2011, clauses 7 to 9 and annex A.
    """
    kv, p1, p2, fl = (np.asarray(v, float) for v in (kv, p1, p2, fl))
    f, c2 = fittings(valve_bore, pipe_in, pipe_out), np.square(kv)
    per_flow = HOUR * np.sqrt(np.asarray(density, float) * (BAR / RHO_WATER))
    known = (p2 < p1) & (np.asarray(pv) < p1)
    with np.errstate(invalid="ignore", divide="ignore"):
        limit = p1 - critical_ratio(pv, pc) * pv
        plain = (p1 - p2) / (1 + f.through * c2)
        choked_at = np.square(fl) * limit / (1 + np.square(fl) * f.before * c2)
        flow = np.where(known, kv / per_flow * np.sqrt(np.minimum(plain, choked_at)), np.nan)
        if viscosity is not None and fd is not None and valve_bore is not None:
            line_size = kv / per_flow * np.sqrt(np.minimum(p1 - p2, np.square(fl) * limit))
            flow = _slowed(flow, line_size, kv, fl, np.asarray(viscosity, float) / density, fd, valve_bore, trim)
    flow, choked = np.broadcast_arrays(flow, choked_at <= plain)
    return flow, choked


def _slowed(
    flow: np.ndarray, line_size: np.ndarray, kv: np.ndarray, fl: np.ndarray, nu: ArrayLike, fd: ArrayLike, valve_bore: ArrayLike, trim: str
) -> np.ndarray:
    """The flow with the non-turbulent rows halved down to where Q = FR(Q) Q_turbulent; Q/FR grows with Q, so there is one root."""
    reynolds = valve_reynolds(flow, nu, kv, fl, fd, valve_bore)
    slowed, slow = (np.array(a) for a in np.broadcast_arrays(flow, reynolds < TURBULENT))
    if not slow.any():
        return slowed
    most, c, recovery, nu_, style, bore = (
        np.asarray(np.broadcast_to(v, slow.shape)[slow], float) for v in (line_size, kv, fl, nu, fd, valve_bore)
    )
    low, high = np.full(most.shape, -80.0), np.zeros(most.shape)  # logarithm of the share that passes
    for _ in range(60):
        middle = 0.5 * (low + high)
        q = most * np.exp(middle)
        passes = most * reynolds_factor(valve_reynolds(q, nu_, c, recovery, style, bore), c, recovery, bore, trim) >= q
        low, high = np.where(passes, middle, low), np.where(passes, high, middle)
    slowed[slow] = most * np.exp(low)
    return slowed
