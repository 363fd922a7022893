"""The top flange: where the operator sits, and the torque that it may carry (ISO 5211)."""

import functools

import numpy as np
import numpy.typing as npt

from softseat.errors import UnknownName
from softseat.register import calculation
from softseat.tables import column, read


@functools.cache
def ladder() -> tuple[str, ...]:
    """Names of the flanges, smallest first."""
    return tuple(row["flange"] for row in read("iso5211_flanges"))


def flange_limit(flange: str) -> float:
    """Greatest torque of a flange. [N m]

    Parameters
    ----------
    flange : str
        Its name, F03 to F60.
    """
    return float(column("iso5211_flanges", "T_max_Nm")[flange_rung(flange)])


def flange_rung(flange: str) -> int:
    """Place of a flange on the ladder, from 0.

    Parameters
    ----------
    flange : str
        Its name, F03 to F60.
    """
    if flange not in ladder():
        raise UnknownName(f"top flange {flange!r} is not known; known are {', '.join(ladder())}")
    return ladder().index(flange)


def smallest_rung(torque: npt.ArrayLike) -> np.ndarray:
    """Place on the ladder of the smallest flange that carries a torque.

    Parameters
    ----------
    torque : array_like
        Torque. [N m]

    Returns
    -------
    rung : ndarray of int
        -1 where no flange carries it or the torque is missing. [-]
    """
    t = np.abs(np.asarray(torque, float))
    limits = column("iso5211_flanges", "T_max_Nm")
    found = np.searchsorted(limits, t, side="left")
    return np.where(np.isnan(t) | (found >= limits.size), -1, found)


@calculation(
    "top-flange",
    source="ISO 5211:2017, table of flange torques (from memory)",
    formula="smallest flange with T_max >= T",
    example={"torque": "480 N m"},
    each=True,
)
def top_flange(torque: float) -> tuple[str | None, float]:
    """Smallest top flange that carries a torque.

    Parameters
    ----------
    torque : array_like
        Greatest torque of valve or operator. [N m]

    Returns
    -------
    flange : str
        Its name; nan where no flange of the ladder carries that torque.
    limit : float
        Greatest torque of that flange; nan where no flange of the ladder carries that torque. [N m]
    """
    rung = int(smallest_rung(torque))
    if rung < 0:
        return None, float("nan")
    return ladder()[rung], float(column("iso5211_flanges", "T_max_Nm")[rung])


def drives(flange: str) -> tuple[tuple[str, float, float], ...]:
    """Shaft ends that ISO 5211 prefers on a flange: kind, size [m], torque [N m], largest first.

    Parameters
    ----------
    flange : str
        Its name, F03 to F60.
    """
    flange_rung(flange)
    found = []
    for row, size, torque in zip(
        read("iso5211_drives"), column("iso5211_drives", "s_or_d_mm", "mm"), column("iso5211_drives", "T_Nm"), strict=True
    ):
        names = row["flanges_preferred"].split()
        if flange in names or f"{flange}(alt)" in names:
            found.append((row["drive"], float(size), float(torque)))
    return tuple(sorted(found, key=lambda d: -d[1]))


def masks(flanges: npt.ArrayLike) -> np.ndarray:
    """Operators' top flanges as bits of the ladder; "F05/F07" is drilled for both.

    Parameters
    ----------
    flanges : array_like of str
        One word an operator; "" fits all. [-]

    Returns
    -------
    mask : ndarray of int
        Bit n is set where flange n of the ladder fits. [-]
    """
    words = np.asarray(flanges, str)
    every = (1 << len(ladder())) - 1
    found = [sum(1 << flange_rung(f.strip()) for f in word.replace("+", "/").split("/")) if word else every for word in words.ravel()]
    return np.array(found, np.int64).reshape(words.shape)
