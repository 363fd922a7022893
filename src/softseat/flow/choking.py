"""Where a flow chokes: the drop and the pressure behind beyond which it no longer grows (IEC 60534-2-1, clause 7)."""

import numpy as np
from numpy.typing import ArrayLike

from softseat.flow.coefficient import optional, positive
from softseat.register import calculation


def critical_ratio(pv: ArrayLike, pc: ArrayLike) -> np.ndarray:
    """FF: pressure in the choked jet over the vapour pressure.

    Parameters
    ----------
    pv, pc : array_like
        Vapour pressure at inlet temperature and critical pressure. [Pa]
    """
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.asarray(0.96 - 0.28 * np.sqrt(np.asarray(pv, float) / np.asarray(pc, float)))


@calculation(
    "liquid-choking-drop",
    source="IEC 60534-2-1:2011, equations 3 and 4",
    formula="dp_choked = (FLP/FP)^2 (p1 - FF pv), FF = 0.96 - 0.28 sqrt(pv/pc)",
    example={"p1": "680 kPa", "pv": "70.1 kPa", "pc": "22120 kPa", "fl": 0.9},
)
def liquid_choking_drop(
    p1: ArrayLike, pv: ArrayLike, pc: ArrayLike, fl: ArrayLike, fp: ArrayLike | None = None, flp: ArrayLike | None = None
) -> tuple[np.ndarray, np.ndarray]:
    """Pressure drop at which a liquid flow chokes, and the critical pressure ratio factor.

    Parameters
    ----------
    p1 : array_like
        Pressure before the valve, absolute. [Pa]
    pv, pc : array_like
        Vapour pressure at inlet temperature and critical pressure. [Pa]
    fl : array_like
        Liquid pressure recovery factor at this opening. [-]
    fp : array_like
        Piping geometry factor, with ``flp``. [-]
    flp : array_like
        Recovery factor with fittings; ``fl`` where it is not given. [-]

    Returns
    -------
    choking_drop : ndarray
        Drop at which the flow chokes; nan where the liquid boils before the valve. [Pa]
    ff : ndarray
        Liquid critical pressure ratio factor FF. [-]

    References
    ----------
    IEC 60534-2-1:2011, clause 7.
    """
    p1, pv, ff = np.asarray(p1, float), np.asarray(pv, float), critical_ratio(pv, pc)
    fp, flp = optional(fp), optional(flp)
    recovery = np.where(np.isnan(flp) | np.isnan(fp), fl, flp / fp)
    return np.where(pv < p1, np.square(recovery) * (p1 - ff * pv), np.nan), ff


@calculation(
    "liquid-choking-pressure",
    source="IEC 60534-2-1:2011, equations 3 and 4",
    formula="p2 = p1 - FL^2 (p1 - FF pv)",
    example={"p1": "680 kPa", "pv": "69.683 kPa", "pc": "22048 kPa", "fl": 0.6},
)
def liquid_choking_pressure(p1: ArrayLike, pv: ArrayLike, pc: ArrayLike, fl: ArrayLike) -> np.ndarray:
    """Pressure behind the valve below which a liquid flow no longer grows.

    Parameters
    ----------
    p1 : array_like
        Pressure before the valve, absolute. [Pa]
    pv, pc : array_like
        Vapour pressure at inlet temperature and critical pressure. [Pa]
    fl : array_like
        Liquid pressure recovery factor at this opening. [-]

    Returns
    -------
    p2 : ndarray
        Pressure behind the valve, absolute; nan where the liquid boils before the valve. [Pa]

    References
    ----------
    IEC 60534-2-1:2011, clause 7.
    """
    return np.asarray(np.asarray(p1, float) - liquid_choking_drop(p1, pv, pc, fl)[0])


GAMMA_AIR = 1.4


@calculation(
    "gas-choking",
    source="IEC 60534-2-1:2011, equations 8-11",
    formula="x_choked = Fgamma xTP, Fgamma = gamma/1.4",
    example={"p1": "680 kPa", "p2": "250 kPa", "gamma": 1.3, "xt": 0.6},
)
def gas_choking(
    p1: ArrayLike, gamma: ArrayLike, xt: ArrayLike, p2: ArrayLike | None = None
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Pressure drop ratio at which a gas flow chokes, and the pressure behind at that ratio.

    Parameters
    ----------
    p1 : array_like
        Pressure before the valve, absolute. [Pa]
    gamma : array_like
        Ratio of specific heats; the standard's range is 1.08 to 1.65. [-]
    xt : array_like
        Pressure differential ratio factor, xTP with fittings. [-]
    p2 : array_like
        Pressure behind the valve, absolute. [Pa]

    Returns
    -------
    fgamma : ndarray
        Specific heat ratio factor; nan where ``gamma`` is missing. [-]
    x_choked : ndarray
        Ratio at which the flow chokes; nan where ``gamma`` or ``xt`` is missing. [-]
    choking_pressure : ndarray
        Pressure behind the valve at that ratio; nan where x_choked is not below 1, so that a vacuum does not choke it. [Pa]
    x : ndarray
        Ratio (p1 - p2)/p1; nan where ``p2`` is not given. [-]
    x_sizing : ndarray
        The smaller of both ratios; nan where ``p2`` is not given. [-]

    References
    ----------
    IEC 60534-2-1:2011, clause 7.
    """
    fg, inlet = np.asarray(gamma, float) / GAMMA_AIR, positive(p1)
    limit = fg * np.asarray(xt, float)
    x = 1 - optional(p2) / inlet
    return fg, limit, inlet * np.where(limit < 1, 1 - limit, np.nan), x, np.minimum(x, limit)
