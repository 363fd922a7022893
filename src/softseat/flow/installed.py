"""The characteristic that the plant sees: the disc with the pipe and the pump around it."""

import numpy as np
from numpy.typing import ArrayLike

from softseat.flow.coefficient import BAR, HOUR, RHO_WATER, positive
from softseat.flow.curves import disc_loss
from softseat.register import calculation

TYPICAL_BORE = 0.2  # [m] where a shape needs the loss of the full-open disc of some size and none is given
STEP = 0.25  # [deg] half the interval over which the slope is taken


@calculation(
    "authority",
    source="definition: drop across the full-open valve over the drop of valve and pipe at that flow",
    example={"drop": "0.1 bar", "total_drop": "1.2 bar"},
)
def authority_of(drop: ArrayLike, total_drop: ArrayLike) -> np.ndarray:
    """Share of the full-open valve in the loss of the whole line.

    Parameters
    ----------
    drop : array_like
        Drop across the full-open valve at the largest flow. [Pa]
    total_drop : array_like
        Drop of valve and pipe at that flow. [Pa]

    Returns
    -------
    authority : ndarray
        Valve authority, 0 to 1; nan where the drop is not above zero or the total is smaller than it. [-]
    """
    share = positive(drop) / positive(total_drop)
    return np.where(share <= 1, share, np.nan)


@calculation(
    "installed-fraction",
    source="textbook algebra: constant head over line and valve",
    formula="q = 1/sqrt(1 - a + a/phi^2)",
    example={"phi": 0.3, "authority": 0.1},
)
def installed_fraction(phi: ArrayLike, authority: ArrayLike) -> tuple[np.ndarray, np.ndarray]:
    """Share of the largest flow, and of the head that falls at the valve, at a Kv fraction.

    Parameters
    ----------
    phi : array_like
        Kv over the Kv full open. [-]
    authority : array_like
        Valve authority a. [-]

    Returns
    -------
    flow_fraction : ndarray
        Flow over the flow full open, 0 closed; nan where ``authority`` is not above 0 and up to 1. [-]
    drop_fraction : ndarray
        Drop at the valve over the whole head, 1 closed; nan as above. [-]
    """
    given = np.asarray(authority, float)
    a, p2 = np.where((given > 0) & (given <= 1), given, np.nan), np.square(np.asarray(phi, float))
    total = p2 * (1 - a) + a
    return np.sqrt(p2 / total), a / total


@calculation(
    "installed-flow",
    source="textbook algebra: constant head over line and valve; shape by the named model",
    formula="q = 1/sqrt(1 - a + a/phi^2), gain = dq/d(opening/90)",
    example={"opening": 40, "authority": 0.1, "shape": "isa"},
)
def installed_flow(
    opening: ArrayLike, authority: ArrayLike, shape: str = "isa", bore: ArrayLike = TYPICAL_BORE
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Flow of a disc installed in a line with constant total head.

    Parameters
    ----------
    opening : array_like
        Opening, 0 closed, 90 open. [deg]
    authority : array_like
        Valve authority a. [-]
    shape : str
        Model of the curve: isa, polynomial, weisbach, simulated, idelchik.
    bore : array_like
        Bore of the valve, of weight for the weisbach shape only. [m]

    Returns
    -------
    flow_fraction : ndarray
        Flow over the flow full open; nan where ``opening`` is not within 0 to 90 or ``authority`` not above 0 and up to 1. [-]
    drop_fraction : ndarray
        Drop at the valve over the whole head; nan as above. [-]
    gain : ndarray
        Change of the flow fraction over the change of the opening fraction; nan as above. [-]
    """
    at = np.asarray(opening, float)
    inside = np.where((at >= 0) & (at <= 90), at, np.nan)
    q, drop = installed_fraction(opening_fraction(inside, shape, bore), authority)
    below, above = np.maximum(inside - STEP, 0.0), np.minimum(inside + STEP, 90.0)
    ends = [installed_fraction(opening_fraction(e, shape, bore), authority)[0] for e in (below, above)]
    return q, drop, (ends[1] - ends[0]) / (above - below) * 90


def opening_fraction(opening: ArrayLike, shape: str = "isa", bore: ArrayLike = TYPICAL_BORE) -> np.ndarray:
    """phi: Kv at this opening over the Kv full open.

    Parameters
    ----------
    opening : array_like
        Opening, 0 closed, 90 open. [deg]
    shape : str
        Model of the curve: isa, polynomial, weisbach, simulated, idelchik.
    bore : array_like
        Bore of the valve. [m]
    """
    with np.errstate(invalid="ignore"):
        return np.asarray(np.sqrt(disc_loss(bore, 90.0, shape) / disc_loss(bore, opening, shape)))


@calculation(
    "system-flow",
    source="textbook algebra: head of the system less its own losses falls at the valve",
    formula="Q = sqrt(available/(rho/rho0)/(1/Kv^2 + 1/Kv_line^2))",
    example={"kv": 300, "density": 998, "available": "3 bar", "kv_line": 420},
)
def system_flow(kv: ArrayLike, density: ArrayLike, available: ArrayLike, kv_line: ArrayLike) -> tuple[np.ndarray, np.ndarray]:
    """Flow that settles in a line with this valve, and the drop at the valve; turbulent and without choking.

    With a pump of the curve H0 - b Q^2, ``available`` is rho g (H0 - static head), and b adds to the losses of the line.

    Parameters
    ----------
    kv : array_like
        Flow coefficient of the valve at its opening. [m3/h]
    density : array_like
        Density. [kg/m3]
    available : array_like
        Pressure difference that drives the flow at no flow. [Pa]
    kv_line : array_like
        Flow coefficient of all that is in the line besides the valve. [m3/h]

    Returns
    -------
    flow : ndarray
        Volume flow; nan where ``available`` or ``kv_line`` is not above zero or an input is missing. [m3/s]
    drop : ndarray
        Drop at the valve; nan as for the flow. [Pa]
    """
    kv2, line2 = np.square(np.asarray(kv, float)), np.square(positive(kv_line))
    share = line2 / (kv2 + line2)  # of the head, that falls at the valve
    drop = positive(available) * share
    return np.asarray(np.sqrt(kv2 * drop * RHO_WATER / (np.asarray(density, float) * BAR)) / HOUR), drop


@calculation(
    "system-kv",
    source="textbook algebra, inverse of system-flow",
    formula="1/Kv^2 = available/((rho/rho0) Q^2) - 1/Kv_line^2",
    example={"flow": "300 m3/h", "density": 998, "available": "3 bar", "kv_line": 420},
)
def system_kv(flow: ArrayLike, density: ArrayLike, available: ArrayLike, kv_line: ArrayLike) -> tuple[np.ndarray, np.ndarray]:
    """Kv at which this flow settles in the line, and the drop that is left for the valve.

    Parameters
    ----------
    flow : array_like
        Volume flow wanted. [m3/s]
    density : array_like
        Density. [kg/m3]
    available : array_like
        Pressure difference that drives the flow at no flow. [Pa]
    kv_line : array_like
        Flow coefficient of all that is in the line besides the valve. [m3/h]

    Returns
    -------
    kv : ndarray
        Flow coefficient; nan where the line alone takes all of the pressure at this flow. [m3/h]
    drop : ndarray
        Drop left for the valve; nan where the line alone takes all of the pressure. [Pa]
    """
    q = HOUR * np.asarray(flow, float)
    weight = np.asarray(density, float) / RHO_WATER * BAR
    left = positive(np.asarray(available, float) - weight * np.square(q / positive(kv_line)))
    return np.asarray(q * np.sqrt(weight / left)), left
