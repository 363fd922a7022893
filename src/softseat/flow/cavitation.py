"""Cavitation: the index of a duty, the limits of a disc over its opening, how tested limits scale, and what regime results."""

import functools

import numpy as np
from numpy.typing import ArrayLike

from softseat.errors import InputError
from softseat.flow.choking import liquid_choking_drop
from softseat.flow.coefficient import CV, optional, positive
from softseat.register import calculation
from softseat.tables import number, read

N34 = 1.17  # IEC 60534-8-4, with C as Cv: the column in which the standard's annex is worked
P_TEST = 6e5  # [Pa] inlet pressure at which xFz is defined, IEC 60534-8-4
INCH = 0.0254
LEVELS = ("incipient", "constant", "damage", "choking")
REGIMES = ("none", *LEVELS, "flashing")


@calculation(
    "cavitation-index",
    source="ISA-RP75.23-1995",
    formula="sigma = (p1 - pv)/(p1 - p2), sigma2 = (p2 - pv)/(p1 - p2)",
    example={"p1": "10 bar", "p2": "8 bar", "pv": "2 bar"},
)
def cavitation_index(p1: ArrayLike, p2: ArrayLike, pv: ArrayLike) -> tuple[np.ndarray, np.ndarray]:
    """Cavitation index of a duty, in both forms; sigma2 is sigma less 1.

    Parameters
    ----------
    p1, p2 : array_like
        Pressure before and behind the valve, absolute. [Pa]
    pv : array_like
        Vapour pressure. [Pa]

    Returns
    -------
    sigma, sigma2 : ndarray
        Index on p1 and on p2; nan where p2 is not below p1. [-]

    References
    ----------
    ISA-RP75.23-1995.
    """
    p1, p2, pv = (np.asarray(v, float) for v in (p1, p2, pv))
    drop = positive(p1 - p2)
    return (p1 - pv) / drop, (p2 - pv) / drop


@calculation(
    "incipient-xfz",
    source="IEC 60534-8-4, equations 3a and 4",
    formula="xFz = 0.90/sqrt(1 + 3 Fd sqrt(C/(N34 FL))), xFzp1 = xFz (6e5/p1)^0.125",
    example={"kv": 246.5, "fd": 0.57, "fl": 0.63},
)
def incipient_xfz(
    kv: ArrayLike, fl: ArrayLike, fd: ArrayLike, p1: ArrayLike | None = None, xfz: ArrayLike | None = None
) -> tuple[np.ndarray, np.ndarray]:
    """Pressure ratio at which cavitation is first heard: estimated, or the tested one, and brought to the inlet pressure.

    An estimate: 0.1 of xFz moves the predicted noise by 14 dB.

    Parameters
    ----------
    kv : array_like
        Flow coefficient at this opening. [m3/h]
    fl : array_like
        Liquid pressure recovery factor at this opening. [-]
    fd : array_like
        Valve style modifier at this opening. [-]
    p1 : array_like
        Pressure before the valve, absolute; 6 bar where not known. [Pa]
    xfz : array_like
        Tested xFz at 6 bar; estimated where not known. [-]

    Returns
    -------
    xfz : ndarray
        xFz at 6 bar; nan where an input is missing. [-]
    xfzp1 : ndarray
        The same at ``p1``; nan where an input is missing. [-]

    References
    ----------
    IEC 60534-8-4:2015, clause 5.
    """
    tested, inlet = optional(xfz), optional(p1)
    cv = positive(kv) / CV
    estimate = 0.90 / np.sqrt(1 + 3 * np.asarray(fd, float) * np.sqrt(cv / (N34 * positive(fl))))
    at_test = np.where(np.isnan(tested), estimate, tested)
    return at_test, at_test * (P_TEST / np.where(np.isnan(inlet), P_TEST, positive(inlet))) ** 0.125


@functools.cache
def _scaling(level: str) -> tuple[float, float]:
    rows = {r["level"]: r for r in read("cavitation_scaling")}
    if level not in LEVELS:
        raise InputError(f"cavitation level {level!r} is not known; allowed are {', '.join(LEVELS)}")
    return number(rows[level]["share"]), number(rows[level]["a"])


@calculation(
    "cavitation-limits",
    source="IEC 60534-2-1 (choking), IEC 60534-8-4 (incipient, estimated); the two between by house shares",
    formula="sigma_ch = (p1 - pv)/(FL^2 (p1 - FF pv)), sigma_i = 1/xFzp1",
    example={"kv": 246.5, "fl": 0.63, "fd": 0.57, "p1": "6 bar", "pv": "0.02 bar", "pc": "220.6 bar"},
)
def cavitation_limits(
    kv: ArrayLike,
    fl: ArrayLike,
    fd: ArrayLike,
    p1: ArrayLike | None = None,
    pv: ArrayLike | None = None,
    pc: ArrayLike | None = None,
    xfz: ArrayLike | None = None,
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Cavitation index at which this disc at this opening begins to cavitate, does so steadily, is hurt, and chokes. Without a test.

    Parameters
    ----------
    kv : array_like
        Flow coefficient at this opening. [m3/h]
    fl : array_like
        Liquid pressure recovery factor at this opening. [-]
    fd : array_like
        Valve style modifier at this opening. [-]
    p1 : array_like
        Pressure before the valve, absolute. [Pa]
    pv, pc : array_like
        Vapour pressure and critical pressure; taken as small where not known. [Pa]
    xfz : array_like
        Tested xFz at 6 bar; estimated where not known. [-]

    Returns
    -------
    sigma_incipient, sigma_constant, sigma_damage, sigma_choking : ndarray
        Index below which each begins, falling; nan where an input is missing. [-]

    References
    ----------
    IEC 60534-2-1:2011, clause 7; IEC 60534-8-4:2015, clause 5; order of the levels as in ISA-RP75.23-1995.
    """
    inlet, vapour, critical = optional(p1), optional(pv), optional(pc)
    drop = liquid_choking_drop(inlet, vapour, critical, fl)[0]
    thin = 1 / np.square(positive(fl))
    unknown = np.isnan(inlet) | np.isnan(vapour) | np.isnan(critical)
    choking = np.where(unknown, thin, (inlet - vapour) / positive(drop))
    incipient = np.maximum(1 / incipient_xfz(kv, fl, fd, p1, xfz)[1], choking)
    first, second, third, last = (choking + _scaling(level)[0] * (incipient - choking) for level in LEVELS)
    return first, second, third, last


@calculation(
    "scaled-sigma",
    source="form of ISA-RP75.23-1995, coefficients from memory",
    formula="sigma = (sigma_ref SSE - 1) PSE + 1, SSE = (d/d_ref)^b, b = 0.068 (Cv/d^2)^0.25, PSE = ((p1 - pv)/ref)^a",
    example={
        "sigma": 2.5,
        "level": "damage",
        "p1": "10 bar",
        "pv": "0.02 bar",
        "reference_difference": "5 bar",
        "kv": 700,
        "valve_bore": "200 mm",
        "reference_bore": "100 mm",
    },
)
def scaled_sigma(
    sigma: ArrayLike,
    level: str,
    p1: ArrayLike,
    pv: ArrayLike,
    reference_difference: ArrayLike,
    kv: ArrayLike,
    valve_bore: ArrayLike,
    reference_bore: ArrayLike,
) -> np.ndarray:
    """A tested limit brought to another pressure and another size of the same valve.

    Parameters
    ----------
    sigma : array_like
        Limit as tested. [-]
    level : str
        incipient, constant, damage, choking: choosing the exponent of the pressure.
    p1, pv : array_like
        Pressure before the valve, absolute, and vapour pressure. [Pa]
    reference_difference : array_like
        p1 - pv of the test. [Pa]
    kv : array_like
        Flow coefficient at this opening. [m3/h]
    valve_bore, reference_bore : array_like
        Bore of the valve and of the tested one. [m]

    Returns
    -------
    sigma_scaled : ndarray
        Limit at this pressure and size; nan where an input is missing or not above zero. [-]

    References
    ----------
    ISA-RP75.23-1995, from memory.
    """
    row = next(r for r in read("cavitation_scaling") if r["level"] == "size")
    d = positive(valve_bore)
    b = number(row["size_factor"]) * (positive(kv) / CV / np.square(d / INCH)) ** number(row["size_power"])
    size = (d / positive(reference_bore)) ** b
    pressure = (positive(np.asarray(p1, float) - pv) / positive(reference_difference)) ** _scaling(level)[1]
    return np.asarray((np.asarray(sigma, float) * size - 1) * pressure + 1)


@calculation(
    "cavitation-regime",
    source="order of the limits; flashing where the liquid leaves below its vapour pressure",
    formula="margin = sigma/sigma_choking",
    example={"p1": "6 bar", "p2": "4 bar", "pv": "0.02 bar", "kv": 246.5, "fl": 0.63, "fd": 0.57},
)
def cavitation_regime(
    p1: ArrayLike, p2: ArrayLike, pv: ArrayLike, kv: ArrayLike, fl: ArrayLike, fd: ArrayLike, pc: ArrayLike | None = None
) -> tuple[np.ndarray, np.ndarray]:
    """What the liquid does in a disc without a test of its own, and the margin over choking.

    Parameters
    ----------
    p1, p2 : array_like
        Pressure before and behind the valve, absolute. [Pa]
    pv : array_like
        Vapour pressure. [Pa]
    kv : array_like
        Flow coefficient at this opening. [m3/h]
    fl, fd : array_like
        Recovery factor and style modifier at this opening. [-]
    pc : array_like
        Critical pressure. [Pa]

    Returns
    -------
    regime : ndarray of str
        none, incipient, constant, damage, choking, flashing; empty where it cannot be said.
    margin : ndarray
        Index over the choking index; nan where p2 is not below p1 or an input is missing. [-]

    References
    ----------
    As `cavitation_limits`.
    """
    sigma = cavitation_index(p1, p2, pv)[0]
    limits = cavitation_limits(kv, fl, fd, p1, pv, pc)
    reached = sum((sigma <= limit).astype(int) for limit in limits)
    flashing = np.asarray(p2, float) < np.asarray(pv, float)
    words = np.asarray(REGIMES)[np.where(flashing, 5, reached)]
    known = ~np.isnan(sigma) & ~np.isnan(limits[0])
    return np.where(known, words, ""), sigma / limits[3]
