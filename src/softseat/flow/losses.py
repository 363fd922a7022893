"""What a disc in a pipe loses, by opening: printed series, closed forms and our own simulation, each under its name."""

import functools
from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike

from softseat.errors import InputError
from softseat.flow.coefficient import CV, loss_from_kv, optional
from softseat.flow.interpolation import monotone
from softseat.register import calculation
from softseat.tables import number, read

INCH = 0.0254
ROUGHNESS = 4.572e-5  # [m] 0.0018 in, clean commercial steel, on which fT of Crane TP-410 rests
POINTS = ("isa", "weisbach", "theory", "simulated")  # models that are a series of points


@functools.cache
def points(model: str) -> tuple[np.ndarray, np.ndarray]:
    """Opening and loss coefficient of the points of a model.

    Parameters
    ----------
    model : str
        One of ``POINTS``.
    """
    if model == "simulated":
        rows = [(number(r["opening_deg"]), number(r["k"])) for r in read("disc_curves_simulated") if r["disc"] == "lens"]
    else:
        mine = [r for r in read("disc_losses") if r["model"] == model]
        rows = [(number(r["opening_deg"]), number(r["k"]) if r["k"] != "-" else _loss_of_cv(r["cv_4in"])) for r in mine]
    opening, k = np.array([r for r in rows if not np.isnan(r[1])]).T
    return opening, k


def _loss_of_cv(cv: str) -> float:
    return float(loss_from_kv(CV * number(cv), 4 * INCH))


@functools.cache
def shape(what: str) -> tuple[np.ndarray, np.ndarray]:
    """``at`` and ``value`` of the rows of the table of disc shapes under this word.

    Parameters
    ----------
    what : str
        Word in the first column.
    """
    rows = [r for r in read("disc_shapes") if r["what"] == what]
    return np.array([number(r["at"]) for r in rows]), np.array([number(r["value"]) for r in rows])


def rough_friction(bore: ArrayLike) -> np.ndarray:
    """Friction factor fT of clean steel pipe in fully turbulent flow.

    Parameters
    ----------
    bore : array_like
        Bore of the pipe. [m]

    References
    ----------
    Crane TP-410 (2009), equation 2-8: fT = 0.25/log10(e/(3.7 D))^2.
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(0.25 / np.square(np.log10(ROUGHNESS / (3.7 * np.asarray(bore, float)))))


def crane(bore: ArrayLike, friction_factor: ArrayLike | None = None, style: str = "centric") -> np.ndarray:
    """Loss of the full-open valve, K = N fT.

    Parameters
    ----------
    bore : array_like
        Bore. [m]
    friction_factor : array_like
        Friction factor of the pipe in fully turbulent flow; of clean steel where not given. [-]
    style : str
        centric, double or triple.
    """
    rows = [r for r in read("full_open_losses") if r["style"] == style]
    if not rows:
        allowed = ", ".join(dict.fromkeys(r["style"] for r in read("full_open_losses")))
        raise InputError(f"disc style {style!r} is not known; allowed are {allowed}")
    ends, factors = np.array([number(r["bore_to_mm"], "mm") for r in rows[:-1]]), np.array([number(r["n"]) for r in rows])
    d, ft = np.asarray(bore, float), optional(friction_factor)
    return np.asarray(factors[np.searchsorted(ends, d)] * np.where(np.isnan(ft), rough_friction(d), ft))


def idelchik(opening: ArrayLike, disc_ratio: ArrayLike = 1.0, reynolds: ArrayLike | None = None) -> np.ndarray:
    """Closed form of the handbook for a flat disc, from memory; it meets Weisbach's series within 5 % from 25 to 50 deg.

    Parameters
    ----------
    opening : array_like
        Opening, 0 closed, 90 open. [deg]
    disc_ratio : array_like
        Disc diameter over bore. [-]
    reynolds : array_like
        Reynolds number of the pipe; fully turbulent where not known. [-]

    References
    ----------
    Idelchik, Handbook of Hydraulic Resistance, 3rd edition, diagram 9-17.
    """
    sine = np.cos(np.radians(np.asarray(opening, float)))  # of the angle turned from open
    ratio, re = np.asarray(disc_ratio, float), optional(reynolds)
    with np.errstate(divide="ignore", invalid="ignore"):
        free = 1 - np.square(ratio) * sine
        rough = np.square(1.56 / free - 1)
        viscous = 120 / re * (1 + 0.5 * ratio * (1 + sine)) / np.square(free) + (1 - 50 / re) * rough
        return np.asarray(np.where(np.isnan(re), rough, viscous))


def miller(opening: ArrayLike) -> np.ndarray:
    """Exponential fit to the handbook's curve, poor below 30 deg.

    Parameters
    ----------
    opening : array_like
        Opening, 0 closed, 90 open. [deg]
    """
    scale, rate = shape("miller")[1]
    y = np.asarray(opening, float) / 90
    return np.where((y >= 0.2) & (y <= 1), scale * np.exp(-rate * y), np.nan)


@calculation(
    "polynomial-fraction",
    source="open Modelica Buildings/IBPSA library, two-way butterfly valve, 2020",
    formula="phi = sum c_i (opening/90)^i",
    example={"opening": 45},
)
def polynomial(opening: ArrayLike) -> np.ndarray:
    """Kv over the Kv full open by the open polynomial.

    Parameters
    ----------
    opening : array_like
        Opening, 0 closed, 90 open. [deg]

    Returns
    -------
    phi : ndarray
        Kv fraction, 1.002 full open by the rounding of the fit; nan where the opening is not known. [-]
    """
    return np.asarray(np.polynomial.polynomial.polyval(np.asarray(opening, float) / 90, shape("polynomial")[1]))


def blockage(bore: ArrayLike, end: str = "value") -> np.ndarray:
    """Loss of the full-open disc from the share of the bore that disc and hub block.

    Parameters
    ----------
    bore : array_like
        Bore. [m]
    end : str
        value, low or high: column of the table.
    """
    rows = [r for r in read("disc_shapes") if r["what"] == "blocked"]
    starts, shares = np.array([number(r["at"], "mm") for r in rows]), np.array([number(r[end]) for r in rows])
    factor = next(number(r[end]) for r in read("disc_shapes") if r["what"] == "blockage_factor")
    blocked = shares[np.searchsorted(starts, np.asarray(bore, float), side="right") - 1]
    return np.asarray(factor * (np.square(1 / (1 - blocked)) - 1))


def _series(model: str) -> Callable[[ArrayLike], np.ndarray]:
    def loss(opening: ArrayLike) -> np.ndarray:
        at, k = points(model)
        return np.asarray(np.exp(monotone(opening, at, np.log(k))))

    return loss


_BY_OPENING: dict[str, Callable[[ArrayLike], np.ndarray]] = {"miller": miller, **{m: _series(m) for m in POINTS}}
LOSS_MODELS = (*POINTS, "miller", "idelchik", "crane", "polynomial", "blockage")


@calculation(
    "butterfly-loss",
    source="by model: Weisbach 1855; Idelchik diagram 9-17; Miller 1978 (fit); Crane TP-410; ISA-75.01.01-2012 example 5; own simulation",
    formula="idelchik: K = (1.56/(1 - sin(90 - opening)) - 1)^2; crane: K = N fT",
    example={"opening": 60, "model": "weisbach"},
)
def butterfly_loss(
    opening: ArrayLike,
    model: str,
    bore: ArrayLike | None = None,
    friction_factor: ArrayLike | None = None,
    style: str = "centric",
    disc_ratio: ArrayLike = 1.0,
    reynolds: ArrayLike | None = None,
) -> np.ndarray:
    """Loss coefficient of a disc in a pipe of its own bore, on the velocity head in the pipe.

    Parameters
    ----------
    opening : array_like
        Opening, 0 closed, 90 open. [deg]
    model : str
        isa, weisbach, theory, simulated, miller, idelchik, crane (full open), polynomial (full open by crane), blockage (full open).
    bore : array_like
        Bore, for crane, polynomial and blockage. [m]
    friction_factor : array_like
        Friction factor in fully turbulent flow, for crane; of clean steel where not given. [-]
    style : str
        Disc style for crane: centric, double, triple.
    disc_ratio : array_like
        Disc diameter over bore, for idelchik. [-]
    reynolds : array_like
        Reynolds number of the pipe, for idelchik. [-]

    Returns
    -------
    k : ndarray
        Loss coefficient; nan where the opening is outside of the model's range (weisbach 20 to 85, isa 10 to 90, simulated 40 to 90,
        theory 20 to 85, miller 18 to 90, crane and blockage 90 only) or where a bore is needed and not given. [-]

    References
    ----------
    Named in the model's own function and in the table of disc losses.
    """
    at = np.asarray(opening, float)
    if model in _BY_OPENING:
        return _BY_OPENING[model](at)
    if model == "idelchik":
        return np.where((at > 0) & (at <= 90), idelchik(at, disc_ratio, reynolds), np.nan)
    if model not in LOSS_MODELS:
        raise InputError(f"model {model!r} is not known; allowed are {', '.join(LOSS_MODELS)}")
    d = optional(bore)
    full = blockage(d) if model == "blockage" else crane(d, friction_factor, style)
    if model == "polynomial":
        with np.errstate(divide="ignore", invalid="ignore"):
            return np.where((at > 0) & (at <= 90) & (d > 0), full / np.square(polynomial(at)), np.nan)
    return np.where((at == 90) & (d > 0), full, np.nan)


@calculation(
    "trim-coefficients",
    source="IEC 60534-2-1:2011, table D.2",
    example={"trim": "swing-through 70"},
    each=True,
)
def trim_coefficients(trim: str) -> tuple[float, float, float]:
    """Typical FL, xT and Fd of a butterfly trim at rated travel.

    Parameters
    ----------
    trim : str
        swing-through 70, swing-through 60, fluted vane 70, offset seat 70.

    Returns
    -------
    fl : float
        Liquid pressure recovery factor; never nan. [-]
    xt : float
        Pressure differential ratio factor; never nan. [-]
    fd : float
        Valve style modifier; never nan. [-]

    References
    ----------
    IEC 60534-2-1:2011, table D.2.
    """
    rows = {r["trim"]: r for r in read("trim_coefficients")}
    if trim not in rows:
        raise InputError(f"trim {trim!r} is not known; allowed are {', '.join(rows)}")
    return number(rows[trim]["fl"]), number(rows[trim]["xt"]), number(rows[trim]["fd"])
