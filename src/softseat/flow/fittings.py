"""Reducers at the valve: their losses, FP, FLP and xTP (IEC 60534-2-1, clause 8)."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from softseat.flow.coefficient import optional
from softseat.register import calculation

N2, N5 = 1.60e-3, 1.80e-3  # IEC 60534-2-1:2011, table 1, Kv with d in mm
MM = 1e3


@dataclass(frozen=True, slots=True)
class Fittings:
    """Losses of the fittings over N2 d^4, as the closed solutions use them. All zero for a line-size valve."""

    through: np.ndarray  # zeta1 + zeta2 + zetaB1 - zetaB2, over N2 d4: of FP
    before: np.ndarray  # zeta1 + zetaB1, over N2 d4: of FLP
    before_gas: np.ndarray  # zeta1 + zetaB1, over N5 d4: of xTP

    @property
    def none(self) -> bool:
        """Line size throughout: no need to carry zeros through the formulas."""
        return self.through.ndim == 0 and not self.through and not self.before


def fitting_losses(valve_bore: ArrayLike | None, pipe_in: ArrayLike | None, pipe_out: ArrayLike | None) -> tuple[np.ndarray, np.ndarray]:
    """Sum of all losses and sum of those before the valve, for concentric reducers. A bore not known counts as the valve's.

    Parameters
    ----------
    valve_bore : array_like
        Bore of the valve, d. [m]
    pipe_in, pipe_out : array_like
        Bore of the pipe before and behind, D1 and D2. [m]
    """
    d = optional(valve_bore)
    d1, d2 = (np.where(np.isnan(p), d, p) for p in (optional(pipe_in), optional(pipe_out)))
    with np.errstate(divide="ignore", invalid="ignore"):
        r1, r2 = np.square(d / d1), np.square(d / d2)
    zeta1, zeta2 = 0.5 * (1 - r1) ** 2, (1 - r2) ** 2
    before = zeta1 + 1 - r1**2
    total = before + zeta2 - (1 - r2**2)
    return np.where(np.isnan(total), 0.0, total), np.where(np.isnan(before), 0.0, before)


def fittings(valve_bore: ArrayLike | None, pipe_in: ArrayLike | None, pipe_out: ArrayLike | None) -> Fittings:
    """Losses of the fittings, ready for the closed solutions; zero where the valve's bore is not known.

    Parameters
    ----------
    valve_bore : array_like
        Bore of the valve, d. [m]
    pipe_in, pipe_out : array_like
        Bore of the pipe before and behind, D1 and D2. [m]
    """
    if valve_bore is None or (pipe_in is None and pipe_out is None):
        return Fittings(*(np.zeros(()),) * 3)
    total, before = fitting_losses(valve_bore, pipe_in, pipe_out)
    d4 = np.square(np.square(optional(valve_bore) * MM))
    d4 = np.where(d4 > 0, d4, np.inf)
    return Fittings(total / (N2 * d4), before / (N2 * d4), before / (N5 * d4))


@calculation(
    "fitting-losses",
    source="IEC 60534-2-1:2011, clause 8.1, equations 16-20",
    formula="zeta1 = 0.5(1-(d/D1)^2)^2, zeta2 = (1-(d/D2)^2)^2, zetaB = 1-(d/D)^4",
    example={"valve_bore": "50 mm", "pipe_in": "80 mm", "pipe_out": "100 mm"},
)
def fitting_loss_terms(
    valve_bore: ArrayLike, pipe_in: ArrayLike, pipe_out: ArrayLike
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Loss and Bernoulli coefficients of the reducers at the valve, on the velocity head in the valve.

    Parameters
    ----------
    valve_bore : array_like
        Bore of the valve, d. [m]
    pipe_in, pipe_out : array_like
        Bore of the pipe before and behind, D1 and D2. [m]

    Returns
    -------
    zeta1, zeta2 : ndarray
        Loss of the reducer before and of the expander behind; nan where a bore is missing. [-]
    zeta_b1, zeta_b2 : ndarray
        Bernoulli coefficient before and behind; nan where a bore is missing. [-]
    sum_zeta : ndarray
        Their sum zeta1 + zeta2 + zetaB1 - zetaB2; nan where a bore is missing. [-]

    References
    ----------
    IEC 60534-2-1:2011, clause 8.1.
    """
    d = np.asarray(valve_bore, float)
    r1, r2 = np.square(d / np.asarray(pipe_in, float)), np.square(d / np.asarray(pipe_out, float))
    zeta1, zeta2, b1, b2 = 0.5 * (1 - r1) ** 2, (1 - r2) ** 2, 1 - r1**2, 1 - r2**2
    return zeta1, zeta2, b1, b2, zeta1 + zeta2 + b1 - b2


@calculation(
    "piping-factors",
    source="IEC 60534-2-1:2011, clause 8, equations 15, 21 and 22",
    formula="FP = [1 + sum/N2 (C/d2)^2]^-1/2, FLP = FL [1 + FL^2 sum1/N2 (C/d2)^2]^-1/2",
    example={"kv": 240, "fl": 0.6, "valve_bore": "95 mm", "pipe_in": "100 mm", "pipe_out": "100 mm", "xt": 0.35},
)
def piping_factors(
    kv: ArrayLike,
    fl: ArrayLike,
    valve_bore: ArrayLike | None = None,
    pipe_in: ArrayLike | None = None,
    pipe_out: ArrayLike | None = None,
    xt: ArrayLike | None = None,
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Piping geometry factor and the recovery and drop ratio factors of the valve with its reducers.

    Clause 8.1 warns that FP is doubtful for butterfly valves, whose jet recovers in the pipe behind.

    Parameters
    ----------
    kv : array_like
        Flow coefficient at this opening, C. [m3/h]
    fl : array_like
        Liquid pressure recovery factor at this opening, FL. [-]
    valve_bore : array_like
        Bore of the valve, d. [m]
    pipe_in, pipe_out : array_like
        Bore of the pipe before and behind, D1 and D2. [m]
    xt : array_like
        Pressure differential ratio factor at this opening, xT. [-]

    Returns
    -------
    fp : ndarray
        Piping geometry factor; nan where the expansion would win back more than the valve loses. [-]
    flp : ndarray
        Recovery factor with fittings; nan where an input is missing. [-]
    xtp : ndarray
        Pressure differential ratio factor with fittings; nan where ``xt`` is not given. [-]

    References
    ----------
    IEC 60534-2-1:2011, clause 8.
    """
    c2, fl, xt = np.square(np.asarray(kv, float)), np.asarray(fl, float), optional(xt)
    f = fittings(valve_bore, pipe_in, pipe_out)
    with np.errstate(invalid="ignore", divide="ignore"):
        fp = 1 / np.sqrt(1 + f.through * c2)
        flp = fl / np.sqrt(1 + np.square(fl) * f.before * c2)
        xtp = xt / np.square(fp) / (1 + xt * f.before_gas * c2)
    return fp, flp, xtp
