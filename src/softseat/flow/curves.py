"""Kv, FL, xT and Fd of a concentric disc over its opening, as a band: what open sources and our own simulation agree on, and do not."""

import functools
from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from softseat.errors import InputError
from softseat.flow.coefficient import LOSS, kv_from_loss, positive
from softseat.flow.interpolation import monotone
from softseat.flow.losses import blockage, crane, idelchik, polynomial, shape
from softseat.flow.series import places_of, series_loss
from softseat.register import calculation
from softseat.tables import number, read

MODELS = ("isa", "polynomial", "weisbach", "simulated")  # of the band: two shapes of real valves, a thin plate with hub, a computed lens
FL_MODELS = ("isa", "theory", "simulated")


def disc_loss(bore: ArrayLike, opening: ArrayLike, model: str) -> np.ndarray:
    """Loss coefficient by one model over the whole stroke, full open with the hub in the bore.

    Parameters
    ----------
    bore : array_like
        Bore. [m]
    opening : array_like
        Opening, 0 closed, 90 open. [deg]
    model : str
        isa, polynomial, weisbach, simulated, idelchik.
    """
    d, at = np.asarray(bore, float), np.asarray(opening, float)
    inside = np.where((at >= 0) & (at <= 90), at, np.nan)
    with np.errstate(divide="ignore", invalid="ignore"):
        if model in ("isa", "simulated"):
            k = series_loss(model, places_of(inside)) + 0 * d
        elif model == "polynomial":
            k = crane(d) / np.square(polynomial(inside) / polynomial(90.0))
        elif model == "weisbach":
            k = series_loss(model, places_of(inside)) + blockage(d)
        elif model == "idelchik":
            k = idelchik(inside) + 0 * d
        else:
            raise InputError(f"curve model {model!r} is not known; allowed are {', '.join((*MODELS, 'idelchik'))}")
    return np.asarray(k)


def kv_curve(bore: ArrayLike, opening: ArrayLike, models: Sequence[str] = MODELS) -> np.ndarray:
    """Kv of a concentric disc at this opening: the spread of the models is the band, their geometric mean the best value.

    A small valve also has the low end of a hub that blocks more of the bore; from DN150 on this end lies inside the models.

    Parameters
    ----------
    bore : array_like
        Bore of the valve. [m]
    opening : array_like
        Opening, 0 closed, 90 open. [deg]
    models : sequence of str
        Names of the models, any of isa, polynomial, weisbach, simulated, idelchik.

    Returns
    -------
    kv : ndarray, shape (3, ...)
        Low, best, high; 0 at opening 0; nan where the opening is not within 0 to 90 or the bore is not above zero. [m3/h]
    """
    losses = np.stack(np.broadcast_arrays(*(disc_loss(bore, opening, m) for m in models)))
    hub = blockage(bore, "high") - blockage(bore)
    worst = np.max(losses, axis=0)
    if "weisbach" in models:
        worst = np.maximum(worst, losses[list(models).index("weisbach")] + hub)
    with np.errstate(divide="ignore", invalid="ignore"):
        best = np.exp(np.mean(np.log(losses), axis=0))
        kv = kv_from_loss(np.stack([worst, best, np.min(losses, axis=0)]), bore)
    return np.where(np.isinf(np.stack([worst, best, best])), 0.0, kv)


class KvEnds:
    """Kv of discs of these bores as `kv_curve` has it, each end of the band at openings of its own; the bore's part is worked out once."""

    def __init__(self, bore: ArrayLike) -> None:
        d = np.asarray(bore, float)
        self.full, self.blocked, self.none = crane(d), blockage(d), 0 * d
        self.hub = blockage(d, "high") - self.blocked
        self.most, self.square = polynomial(90.0), positive(d) ** 2

    def at(self, opening: np.ndarray) -> np.ndarray:
        """Low, best and high, each at its row of the openings.

        Parameters
        ----------
        opening : ndarray, shape (3, ...)
            Openings, 0 closed, 90 open. [deg]
        """
        places = places_of(opening)
        with np.errstate(divide="ignore", invalid="ignore"):
            isa, simulated = (series_loss(m, places) + self.none for m in ("isa", "simulated"))
            shape = self.full / np.square(polynomial(opening) / self.most)
            weisbach = series_loss("weisbach", places) + self.blocked
            worst = np.maximum(np.maximum(np.maximum(isa, shape), weisbach), simulated)
            low = np.maximum(worst[0], weisbach[0] + self.hub)
            best = np.exp((np.log(isa[1]) + np.log(shape[1]) + np.log(weisbach[1]) + np.log(simulated[1])) / 4)
            high = np.minimum(np.minimum(np.minimum(isa[2], shape[2]), weisbach[2]), simulated[2])
            kv = np.sqrt(LOSS / positive(np.stack([low, best, high]))) * self.square
        return np.where(np.isinf(np.stack([low, best, worst[2]])), 0.0, kv)


def kv_full(bore: ArrayLike, models: Sequence[str] = MODELS) -> np.ndarray:
    """Kv of the full-open disc.

    Parameters
    ----------
    bore : array_like
        Bore of the valve. [m]
    models : sequence of str
        As in `kv_curve`.

    Returns
    -------
    kv_full : ndarray, shape (3, ...)
        Low, best, high; nan where the bore is not above zero. [m3/h]
    """
    return kv_curve(bore, 90.0, models)


@functools.cache
def _fl_points(model: str) -> tuple[np.ndarray, np.ndarray]:
    if model == "simulated":
        rows = [(number(r["opening_deg"]), number(r["fl"])) for r in read("disc_curves_simulated") if r["disc"] == "lens"]
    else:
        rows = [(number(r["opening_deg"]), number(r["fl"])) for r in read("disc_losses") if r["model"] == model]
    at, fl = np.array([r for r in rows if not np.isnan(r[1])]).T
    return at, fl


def fl_curve(opening: ArrayLike, models: Sequence[str] = FL_MODELS) -> np.ndarray:
    """Recovery factor FL over the opening; beyond the points of a model its last one holds.

    Parameters
    ----------
    opening : array_like
        Opening, 0 closed, 90 open. [deg]
    models : sequence of str
        Any of isa, theory, simulated.

    Returns
    -------
    fl : ndarray, shape (3, ...)
        Low, mean, high; nan where the opening is not known. [-]
    """
    at = np.asarray(opening, float)
    each = np.stack([np.interp(at, *_fl_points(m)) for m in models])
    return np.stack([each.min(axis=0), each.mean(axis=0), each.max(axis=0)])


def fl_ends(opening: np.ndarray) -> np.ndarray:
    """FL as `fl_curve` has it, each end at openings of its own.

    Parameters
    ----------
    opening : ndarray, shape (3, ...)
        Openings at which the low, mean and high end is wanted. [deg]
    """
    a, b, c = (np.interp(opening, *_fl_points(m)) for m in FL_MODELS)
    return np.stack([np.minimum(np.minimum(a[0], b[0]), c[0]), (a[1] + b[1] + c[1]) / 3, np.maximum(np.maximum(a[2], b[2]), c[2])])


@functools.cache
def _xt_share() -> np.ndarray:
    row = next(r for r in read("disc_shapes") if r["what"] == "xt_over_fl2")
    return np.array([number(row[c]) for c in ("low", "value", "high")])


def xt_curve(opening: ArrayLike, models: Sequence[str] = FL_MODELS) -> np.ndarray:
    """Pressure differential ratio factor xT over the opening, from FL.

    Parameters
    ----------
    opening : array_like
        Opening, 0 closed, 90 open. [deg]
    models : sequence of str
        As in `fl_curve`.

    Returns
    -------
    xt : ndarray, shape (3, ...)
        Low, best, high; nan where the opening is not known. [-]
    """
    return _by_fl(fl_curve(opening, models))


def xt_ends(opening: np.ndarray) -> np.ndarray:
    """The same, each end at openings of its own.

    Parameters
    ----------
    opening : ndarray, shape (3, ...)
        As in `fl_ends`. [deg]
    """
    return _by_fl(fl_ends(opening))


def _by_fl(fl: np.ndarray) -> np.ndarray:
    return np.asarray(_xt_share().reshape(3, *(1,) * (fl.ndim - 1)) * np.square(fl))


def fd_curve(opening: ArrayLike) -> np.ndarray:
    """Valve style modifier Fd over the opening; the value near closed is from memory.

    Parameters
    ----------
    opening : array_like
        Opening, 0 closed, 90 open. [deg]

    Returns
    -------
    fd : ndarray
        Style modifier; nan where the opening is not known. [-]
    """
    return np.asarray(np.interp(np.asarray(opening, float), *shape("fd")))


def tested_curve(opening: ArrayLike, tested_opening: ArrayLike, tested: ArrayLike) -> np.ndarray:
    """A value by the maker's own test points (Kv, FL, xT), which overrides the models; the disc passes nothing at 0.

    Parameters
    ----------
    opening : array_like
        Opening, 0 closed, 90 open. [deg]
    tested_opening, tested : array_like
        Opening of the test points and the value there, at least two. [deg]

    Returns
    -------
    value : ndarray
        Value of the monotone curve through the points; nan outside of the tested range. [-]
    """
    return monotone(opening, tested_opening, tested)


@calculation(
    "butterfly-kv",
    source="spread of ISA-75.01.01-2012 example 5, IBPSA polynomial on Crane TP-410, Weisbach with hub, own simulation",
    formula="Kv = 0.04 D^2/sqrt(K), band = spread of the models",
    example={"bore": "200 mm", "opening": 60},
)
def butterfly_kv(
    bore: ArrayLike, opening: ArrayLike
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray, np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Kv, FL, xT and Fd of a concentric disc without a test of its own, low, best and high.

    Parameters
    ----------
    bore : array_like
        Bore of the valve. [m]
    opening : array_like
        Opening, 0 closed, 90 open. [deg]

    Returns
    -------
    kv_low, kv, kv_high : ndarray
        Flow coefficient; nan where the opening is not within 0 to 90. [m3/h]
    fl_low, fl, fl_high : ndarray
        Liquid pressure recovery factor; nan where the opening is not known. [-]
    xt : ndarray
        Pressure differential ratio factor; nan where the opening is not known. [-]
    fd : ndarray
        Valve style modifier; nan where the opening is not known. [-]
    """
    kv, fl = kv_curve(bore, opening), fl_curve(opening)
    return kv[0], kv[1], kv[2], fl[0], fl[1], fl[2], xt_curve(opening)[1], fd_curve(opening)
