"""Surge of a closing valve at the end of a line: the transient run as a calculation."""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from softseat.errors import InputError
from softseat.flow.surge_line import GRAVITY, Boundary, Pipe, line, steady_flow
from softseat.flow.surge_march import march
from softseat.flow.surge_record import Transient
from softseat.register import calculation

CUTS, LONGEST = (50, 25, 12, 8), 20_000  # reaches of the line: the finest that leaves the steps of a slow closing below LONGEST
MOST_STEPS, MOST_REACHES = 200_000, 10_000  # some seconds of one run
AFTER = 4.0  # wave returns that are followed after the closing: the first rise and fall lie within two
COLUMN = -10.0  # [m] head of water at which it boils, valve as the datum: said in the notes only


def relative_area(time: np.ndarray, closing_time: np.ndarray, law: Any) -> np.ndarray:
    """Effective area of the valve over time, as a share of the one at full opening.

    Parameters
    ----------
    time : ndarray
        Times. [s]
    closing_time : ndarray
        Closing time; 0 shuts at once. [s]
    law : str
        "linear", a number n for (1 - t/t_c)^n, or a list of pairs of time and value.

    Raises
    ------
    InputError
        Where the law cannot be read.
    """
    if isinstance(law, (list, tuple, np.ndarray)):
        at, value = _points(law)
        return np.asarray(np.interp(time, at, value))
    with np.errstate(divide="ignore", invalid="ignore"):
        left = np.clip(1 - time / closing_time, 0.0, 1.0)
    left = np.where(closing_time == 0, time <= 0, left)
    return np.asarray(np.where(left > 0, left ** _exponent(law), 0.0))


def _exponent(law: Any) -> float:
    if law == "linear":
        return 1.0
    try:
        n = float(law)
    except (TypeError, ValueError):
        n = np.nan
    if not n > 0:
        raise InputError(f'law = {law!r}; allowed are "linear", a number above zero, or a list of [time, value]')
    return n


def _points(law: Any) -> tuple[np.ndarray, np.ndarray]:
    try:
        points = np.asarray(law, float)
    except (TypeError, ValueError):
        points = np.empty(0)
    shaped = points.ndim == 2 and points.shape[1] == 2 and len(points) >= 2
    if not shaped or not (np.diff(points[:, 0]) > 0).all() or not (points[:, 1] >= 0).all():
        raise InputError(f"law = {law!r}: a list of at least two [time, value] is needed, times rising, values not below zero")
    return points[:, 0], points[:, 1]


@calculation(
    "closure-surge",
    source="Wylie and Streeter, Fluid Transients in Systems (1993), chapter 3: method of characteristics",
    formula="H_P = H_A + B Q_A - (B + R |Q_A|) Q_P, B = a/(g A); valve Q = tau CdA sqrt(2 g dH)",
    example={
        "length": "600 m",
        "bore": "500 mm",
        "friction_factor": 0.018,
        "wave_speed": 1200,
        "reservoir_head": 150,
        "closing_time": 2.1,
        "valve_cda": 0.009,
        "law": 1.5,
        "reaches": 10,
    },
)
def closure_surge(
    length: ArrayLike,
    bore: ArrayLike,
    friction_factor: ArrayLike,
    wave_speed: ArrayLike,
    reservoir_head: ArrayLike,
    closing_time: ArrayLike,
    flow: ArrayLike | None = None,
    valve_head: ArrayLike | None = None,
    valve_cda: ArrayLike | None = None,
    law: Any = "linear",
    reaches: ArrayLike | None = None,
    gravity: ArrayLike = GRAVITY,
    downstream_head: ArrayLike = 0.0,
    vapour_head: ArrayLike | None = None,
) -> tuple[np.ndarray, ...]:
    """Heads at a valve that closes at the end of a pipe from a reservoir.

    Parameters
    ----------
    length, bore : array_like
        Length and bore of the pipe. [m]
    friction_factor : array_like
        Darcy friction factor; 0 for a smooth pipe without loss. [-]
    wave_speed : array_like
        Wave speed. [m/s]
    reservoir_head : array_like
        Head of the reservoir over the datum. [m]
    closing_time : array_like
        Closing time; 0 closes at once. [s]
    flow : array_like
        Steady flow, together with ``valve_head``. [m3/s]
    valve_head : array_like
        Head lost in the valve at that flow; what the reservoir has beyond it and the friction stands behind the valve. [m]
    valve_cda : array_like
        Discharge coefficient times area of the valve before it moves, in place of flow and valve_head. [m2]
    law : str
        Relative effective area over time: "linear", a number n for (1 - t/t_c)^n, or a list of pairs of time and value.
    reaches : array_like
        Reaches of the pipe; 50 where none is given, fewer where the closing is very slow. [-]
    gravity : array_like
        Gravity. [m/s2]
    downstream_head : array_like
        Head behind the valve, with ``valve_cda``; 0 discharges at the datum. [m]
    vapour_head : array_like
        Head at which the liquid boils, on the same datum; without it no separation is looked for. [m]

    Returns
    -------
    steady_flow : ndarray
        Flow before the closing; nan where an input is missing or not above zero, or the closing takes too many steps. [m3/s]
    steady_head : ndarray
        Head before the valve at that flow; nan where there is no steady flow. [m]
    peak_head : ndarray
        Highest head before the valve; nan where there is no steady flow or the column separates. [m]
    lowest_head : ndarray
        Lowest head before the valve; nan where there is no steady flow or the column separates. [m]
    peak_time : ndarray
        When the highest head is first reached; nan where there is no highest head. [s]
    critical_time : ndarray
        Wave return time 2L/a; nan where length or wave speed is not above zero. [s]
    joukowsky_head : ndarray
        Rise of a sudden stop of the steady flow, a v/g; nan where there is no steady flow. [m]
    history : ndarray
        For each row the list of time and head before the valve; nan where the column has separated. [s, m]
    notes : str
        What a reader must know: sudden closing, separation of the column.

    Notes
    -----
    Friction is that of steady flow: later peaks fade too little. Followed until four wave returns after the closing.

    References
    ----------
    Wylie and Streeter, Fluid Transients in Systems (1993), 3-1 to 3-5.
    """
    given = (length, bore, friction_factor, wave_speed, reservoir_head, closing_time, gravity, downstream_head, vapour_head)
    rows, shape = _rows(given, _valve_inputs(flow, valve_head, valve_cda), law)
    cuts = _cuts(reaches, rows)
    rows = _followed(rows, cuts)
    parts = {int(n): np.flatnonzero(cuts == n) for n in np.unique(cuts)}
    results = [_marched(rows.take(where), n, law) for n, where in parts.items()]
    back = np.argsort(np.concatenate(list(parts.values())), kind="stable")
    return tuple(np.concatenate(column)[back].reshape(shape) for column in zip(*results, strict=True))


@dataclass(frozen=True, slots=True)
class _Rows:
    """The arguments, one row a run."""

    length: np.ndarray
    bore: np.ndarray
    friction: np.ndarray
    speed: np.ndarray
    head: np.ndarray
    closing: np.ndarray
    gravity: np.ndarray
    end: np.ndarray
    vapour: np.ndarray
    full: np.ndarray  # conductance of the valve before the law [m2.5/s]
    critical: np.ndarray
    duration: np.ndarray

    def take(self, where: np.ndarray) -> "_Rows":
        return _Rows(*(getattr(self, name)[where] for name in self.__slots__))


def _valve_inputs(
    flow: ArrayLike | None, valve_head: ArrayLike | None, valve_cda: ArrayLike | None
) -> tuple[ArrayLike, ArrayLike, ArrayLike]:
    by_flow = flow is not None and valve_head is not None
    if by_flow == (valve_cda is not None) or (flow is None) != (valve_head is None):
        raise InputError("closure-surge takes either flow with valve_head or valve_cda, not both and not neither")
    return tuple(np.nan if v is None else v for v in (flow, valve_head, valve_cda))  # type: ignore[return-value]


def _rows(given: tuple[ArrayLike | None, ...], valve: tuple[ArrayLike, ...], law: Any) -> tuple[_Rows, tuple[int, ...]]:
    """Every argument as one row a run, and the shape they came in; a row that cannot be run has no valve."""
    arrays = np.broadcast_arrays(*(np.asarray(np.nan if v is None else v, float) for v in (*given, *valve)))
    flat = [np.atleast_1d(a.ravel()) for a in arrays]
    length, bore, friction, speed, head, closing, gravity, end, vapour, flow, drop, cda = flat
    with np.errstate(divide="ignore", invalid="ignore"):
        start = relative_area(np.zeros(1), np.ones(1), law)
        by_flow = np.where((flow > 0) & (drop > 0), flow, np.nan) / np.sqrt(np.where(drop > 0, drop, np.nan)) / start
        full = np.where(np.isnan(cda), by_flow, cda * np.sqrt(2 * gravity))
        lost = friction * length / bore * np.square(flow / (np.pi / 4 * np.square(bore))) / (2 * gravity)
        end = np.where(np.isnan(flow), end, head - drop - lost)
        critical = np.where((length > 0) & (speed > 0), 2 * length / speed, np.nan)
        full = np.where((closing >= 0) & (full > 0) & (gravity > 0), full, np.nan)
        duration = np.fmax(closing, _end_of(law)) + AFTER * critical
    return _Rows(length, bore, friction, speed, head, closing, gravity, end, vapour, full, critical, duration), arrays[0].shape


def _end_of(law: Any) -> float:
    return float(_points(law)[0][-1]) if isinstance(law, (list, tuple, np.ndarray)) else 0.0


def _cuts(reaches: ArrayLike | None, rows: _Rows) -> np.ndarray:
    """Reaches of each row: as asked, else by its own time alone, so that no row depends on its neighbours."""
    if reaches is None:
        with np.errstate(divide="ignore", invalid="ignore"):
            room = LONGEST / (2 * rows.duration / rows.critical)
        return np.select([room >= c for c in CUTS], CUTS, CUTS[-1])
    given = np.unique(np.asarray(reaches, float))
    if given.size != 1 or not 1 <= given[0] <= MOST_REACHES or given[0] != np.rint(given[0]):
        raise InputError(f"reaches = {reaches}: one whole number, 1 to {MOST_REACHES}, for all rows")
    return np.full(rows.length.shape, int(given[0]))


def _followed(rows: _Rows, cuts: np.ndarray) -> _Rows:
    """The rows, those without a run that would take more steps than anybody waits for."""
    with np.errstate(divide="ignore", invalid="ignore"):
        good = 2 * cuts * rows.duration / rows.critical <= MOST_STEPS
    return replace(rows, full=np.where(good, rows.full, np.nan), duration=np.where(good, rows.duration, np.nan))


def _marched(rows: _Rows, reaches: int, law: Any) -> tuple[np.ndarray, ...]:
    """Results of rows that are cut alike."""
    pipe = line([Pipe(rows.length, rows.bore, rows.friction, rows.speed)], (), reaches, rows.gravity)
    source, end = Boundary(rows.head), Boundary(rows.end)
    flow = steady_flow(pipe, source, end, rows.full * relative_area(np.zeros(1), np.ones(1), law))
    steps = np.rint(np.nan_to_num(rows.duration / pipe.time_step, nan=1.0)).astype(int)
    boils = np.where(np.isnan(rows.vapour), -np.inf, rows.vapour)
    found = march(pipe, source, end, flow, lambda t: rows.full * relative_area(t, rows.closing, law), int(steps.max()), boils)
    return _results(rows, found, steps, rows.speed * flow / pipe.area / rows.gravity)


def _results(rows: _Rows, found: Transient, steps: np.ndarray, sudden: np.ndarray) -> tuple[np.ndarray, ...]:
    """Columns in the order of the docstring; each row up to its own last step."""
    time = found.times()
    head = np.where(np.arange(len(time))[:, None] <= steps, found.head, np.nan)
    broken = found.separation_time[0] <= steps * found.time_step
    empty = np.isnan(head).all(axis=0)
    filled = np.where(empty, 0.0, head)
    peak, lowest = np.where(empty, np.nan, np.nanmax(filled, axis=0)), np.where(empty | broken, np.nan, np.nanmin(filled, axis=0))
    first = (filled >= peak - 1e-9 * np.abs(peak)).argmax(axis=0)
    when = np.take_along_axis(time, first[None], axis=0)[0]
    history, notes = np.empty(len(steps), object), np.empty(len(steps), object)
    for n, last in enumerate(steps):
        history[n] = np.stack([time[: last + 1, n], found.head[: last + 1, n]], axis=1)
        notes[n] = _note(rows, float(lowest[n]), found, n, float(peak[n]) if broken[n] else None)
    until = np.where(broken, np.nan, peak)
    return found.flow[0], found.head[0], until, lowest, np.where(empty | broken, np.nan, when), rows.critical, sudden, history, notes


def _note(rows: _Rows, lowest: float, found: Transient, n: int, until: float | None) -> str:
    told = []
    closing, critical = rows.closing[n], rows.critical[n]
    if np.isnan(rows.duration[n]) and closing > critical:
        told.append(f"closes in {closing / critical:.3g} times 2L/a: too slow to be followed wave by wave; slow-closing has its head")
    if closing < critical:
        told.append(f"closes in {closing:.4g} s, faster than 2L/a = {critical:.4g} s: the full rise comes, a rigid column misleads")
    if until is not None:
        at = found.separation_time[0, n]
        told.append(f"the column separates at {at:.4g} s: the highest head until then is {until:.5g} m, nothing after that is a number")
    elif np.isnan(rows.vapour[n]) and lowest < COLUMN:
        told.append(f"the lowest head {lowest:.4g} m is below {COLUMN:g} m: cold water at the level of the datum would separate there")
    return "; ".join(told)
