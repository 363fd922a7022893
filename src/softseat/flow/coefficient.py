"""The flow coefficient Kv: what it means, and the loss coefficient that says the same of a pipe."""

import numpy as np
from numpy.typing import ArrayLike

from softseat.register import calculation

RHO_WATER = 999.103  # [kg/m3] water at 15 °C and 101.325 kPa (IAPWS-95): Kv refers to it
BAR, HOUR = 1e5, 3600.0  # [Pa], [s]: Kv is the flow in m3/h at 1 bar
CV = 0.865  # Kv of one Cv (gallon a minute at 1 psi), IEC 60534-1
N18 = 0.865  # IEC 60534-2-1, table 1: makes Kv/d2 of the metric column the Cv/d2 of the other, d in mm
LIMIT_SHARE = 0.047  # IEC 60534-2-1, clause 1: above it the equations are no longer within 5 %
LOSS = 2 * BAR / RHO_WATER * (HOUR * np.pi / 4) ** 2  # K Kv^2 / D^4 by the definitions of both [m3/h, m]


def optional(value: ArrayLike | None) -> np.ndarray:
    """An input that may be absent, as an array in which nan means: not known."""
    return np.asarray(np.nan if value is None else value, float)


def positive(value: ArrayLike) -> np.ndarray:
    """The value where it is above zero, nan elsewhere."""
    given = np.asarray(value, float)
    return np.where(given > 0, given, np.nan)


@calculation(
    "loss-from-kv",
    source="definitions of Kv (IEC 60534-1) and of the loss coefficient",
    formula="K = 0.0016 D^4/Kv^2 (D in mm)",
    example={"kv": 1200, "bore": "200 mm"},
)
def loss_from_kv(kv: ArrayLike, bore: ArrayLike) -> np.ndarray:
    """Loss coefficient of a valve with this Kv, on the velocity head in a pipe of this bore.

    Parameters
    ----------
    kv : array_like
        Flow coefficient. [m3/h]
    bore : array_like
        Bore that the velocity head refers to. [m]

    Returns
    -------
    k : ndarray
        Loss coefficient; nan where ``kv`` or ``bore`` is not above zero. [-]

    References
    ----------
    IEC 60534-1:2005, definition of Kv; velocity head of the pipe.
    """
    return np.asarray(LOSS * positive(bore) ** 4 / positive(kv) ** 2)


@calculation(
    "kv-from-loss",
    source="definitions of Kv (IEC 60534-1) and of the loss coefficient",
    formula="Kv = 0.04 D^2/sqrt(K) (D in mm)",
    example={"k": 0.63, "bore": "200 mm"},
)
def kv_from_loss(k: ArrayLike, bore: ArrayLike) -> np.ndarray:
    """Flow coefficient of a valve with this loss coefficient.

    Parameters
    ----------
    k : array_like
        Loss coefficient on the velocity head in ``bore``. [-]
    bore : array_like
        Bore that the velocity head refers to. [m]

    Returns
    -------
    kv : ndarray
        Flow coefficient; nan where ``k`` or ``bore`` is not above zero. [m3/h]

    References
    ----------
    IEC 60534-1:2005, definition of Kv; velocity head of the pipe.
    """
    return np.asarray(np.sqrt(LOSS / positive(k)) * positive(bore) ** 2)


@calculation(
    "equivalent-length",
    source="definition: straight pipe with the same loss (Darcy-Weisbach)",
    formula="L = K D/f",
    example={"k": 0.63, "friction_factor": 0.014, "bore": "200 mm"},
)
def equivalent_length(k: ArrayLike, friction_factor: ArrayLike, bore: ArrayLike) -> tuple[np.ndarray, np.ndarray]:
    """Length of straight pipe that loses as much as the valve.

    Parameters
    ----------
    k : array_like
        Loss coefficient. [-]
    friction_factor : array_like
        Darcy friction factor of the pipe. [-]
    bore : array_like
        Bore of the pipe. [m]

    Returns
    -------
    length : ndarray
        Equivalent length; nan where ``friction_factor`` or ``bore`` is not above zero. [m]
    length_over_bore : ndarray
        The same in bores; nan where ``friction_factor`` is not above zero. [-]

    References
    ----------
    Crane TP-410 (2009), chapter 2: equivalent length L/D = K/f.
    """
    ratio = np.asarray(k, float) / positive(friction_factor)
    return ratio * positive(bore), ratio


@calculation(
    "kv-size-share",
    source="IEC 60534-2-1:2011, clause 1",
    formula="Kv/(N18 d^2) < 0.047",
    example={"kv": 450, "valve_bore": "100 mm"},
)
def kv_size_share(kv: ArrayLike, valve_bore: ArrayLike) -> tuple[np.ndarray, np.ndarray]:
    """Kv over the valve's size, and whether it is above what the sizing equations are good for.

    Parameters
    ----------
    kv : array_like
        Flow coefficient at this opening. [m3/h]
    valve_bore : array_like
        Bore of the valve. [m]

    Returns
    -------
    size_share : ndarray
        Kv/(N18 d2) with d in mm; nan where ``valve_bore`` is not above zero. [-]
    beyond_standard : ndarray of bool
        True from 0.047 on: the result is then no longer within 5 %, as with most full-open discs. [-]

    References
    ----------
    IEC 60534-2-1:2011, clause 1.
    """
    share = np.asarray(kv, float) / (N18 * (1e3 * positive(valve_bore)) ** 2)
    return share, share >= LIMIT_SHARE
