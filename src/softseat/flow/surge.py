"""Surge of a closing valve at the end of a line: the transient run as a calculation."""

from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from softseat.errors import InputError
from softseat.flow.surge_line import GRAVITY, Boundary, Line, Pipe, line, steady_flow
from softseat.flow.surge_march import Conductance, Transient, march
from softseat.register import calculation

REACHES, FEWEST, LONGEST = 50, 8, 20_000  # usual cut of the line; a slow closing is cut coarser, so that the steps stay below LONGEST
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
        Flow before the closing; nan where an input is missing or not above zero. [m3/s]
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
    rows = _Rows(length, bore, friction_factor, wave_speed, reservoir_head, closing_time, gravity, downstream_head, vapour_head)
    rows.valve(flow, valve_head, valve_cda, law)
    transient = rows.run(law, reaches)
    return _results(rows, transient)


class _Rows:
    """The arguments as one row a run."""

    def __init__(self, *values: ArrayLike | None) -> None:
        arrays = np.broadcast_arrays(*(np.asarray(np.nan if v is None else v, float) for v in values))
        self.shape = arrays[0].shape
        flat = [np.atleast_1d(a.ravel()) for a in arrays]
        self.length, self.bore, self.friction, self.speed, self.head, self.closing, self.gravity, self.end, self.vapour = flat

    def _column(self, value: ArrayLike) -> np.ndarray:
        column = np.asarray(value, float)
        if column.ndim and column.shape != self.shape:
            self._widen(np.broadcast_shapes(column.shape, self.shape))
        return np.broadcast_to(column, self.shape).ravel() if self.shape else np.atleast_1d(column)

    def _widen(self, shape: tuple[int, ...]) -> None:
        for name in ("length", "bore", "friction", "speed", "head", "closing", "gravity", "end", "vapour"):
            setattr(self, name, np.broadcast_to(getattr(self, name).reshape(self.shape), shape).ravel())
        self.shape = shape

    def valve(self, flow: ArrayLike | None, valve_head: ArrayLike | None, valve_cda: ArrayLike | None, law: Any) -> None:
        by_flow = flow is not None and valve_head is not None
        if by_flow == (valve_cda is not None) or (flow is None) != (valve_head is None):
            raise InputError("closure-surge takes either flow with valve_head or valve_cda, not both and not neither")
        for value in (flow, valve_head, valve_cda):
            if value is not None:
                self._column(value)
        start = relative_area(np.zeros(1), np.ones(1), law)
        with np.errstate(divide="ignore", invalid="ignore"):
            if valve_cda is not None:
                self.full = self._column(valve_cda) * np.sqrt(2 * self.gravity)
                return
            q, drop = self._column(flow), self._column(valve_head)  # type: ignore[arg-type]
            self.full = np.where((q > 0) & (drop > 0), q, np.nan) / np.sqrt(np.where(drop > 0, drop, np.nan)) / start
            area = np.pi / 4 * np.square(self.bore)
            self.end = self.head - drop - self.friction * self.length / self.bore * np.square(q / area) / (2 * self.gravity)

    def run(self, law: Any, reaches: ArrayLike | None) -> Transient:
        last = max(float(_points(law)[0][-1]), 0.0) if isinstance(law, (list, tuple, np.ndarray)) else 0.0
        with np.errstate(divide="ignore", invalid="ignore"):
            self.critical = np.where((self.length > 0) & (self.speed > 0), 2 * self.length / self.speed, np.nan)
            good = (self.closing >= 0) & (self.full > 0) & (self.gravity > 0)
            self.full = np.where(good, self.full, np.nan)
            duration = np.where(np.isnan(self.critical), np.nan, np.fmax(self.closing, last) + AFTER * self.critical)
            returns = np.nanmax(duration / self.critical, initial=AFTER)
        self.line = self._line(_reaches(reaches, float(returns)))
        self.steps = np.rint(np.nan_to_num(duration / self.line.time_step, nan=1.0)).astype(int)
        source, end = Boundary(self.head), Boundary(self.end)
        start = relative_area(np.zeros(1), np.ones(1), law)
        self.flow = steady_flow(self.line, source, end, self.full * start)
        boils = np.where(np.isnan(self.vapour), -np.inf, self.vapour)
        return march(self.line, source, end, self.flow, self._conductance(law), int(self.steps.max()), boils)

    def _line(self, reaches: int) -> Line:
        return line([Pipe(self.length, self.bore, self.friction, self.speed)], (), reaches, self.gravity)

    def _conductance(self, law: Any) -> Conductance:
        return lambda time: self.full * relative_area(time, self.closing, law)


def _reaches(reaches: ArrayLike | None, returns: float) -> int:
    if reaches is None:
        return int(np.clip(LONGEST / (2 * returns), FEWEST, REACHES))
    given = np.unique(np.asarray(reaches, float))
    if given.size != 1 or not given[0] >= 1 or given[0] != np.rint(given[0]):
        raise InputError(f"reaches = {reaches}: one whole number, 1 or more, for all rows")
    return int(given[0])


def _results(rows: _Rows, found: Transient) -> tuple[np.ndarray, ...]:
    time = found.times()
    inside = np.arange(len(time))[:, None] <= rows.steps
    head = np.where(inside, found.head, np.nan)
    broken = ~np.isnan(found.separation_time[0]) & (found.separation_time[0] <= rows.steps * found.time_step)
    empty = np.isnan(head).all(axis=0)
    filled = np.where(empty, 0.0, head)
    peak = np.where(empty, np.nan, np.nanmax(filled, axis=0))
    first = (filled >= peak - 1e-9 * np.abs(peak)).argmax(axis=0)
    columns = {
        "steady_flow": rows.flow,
        "steady_head": found.head[0],
        "peak_head": np.where(broken, np.nan, peak),
        "lowest_head": np.where(empty | broken, np.nan, np.nanmin(filled, axis=0)),
        "peak_time": np.where(empty | broken, np.nan, np.take_along_axis(time, first[None], axis=0)[0]),
        "critical_time": rows.critical,
        "joukowsky_head": rows.speed * rows.flow / rows.line.area / rows.gravity,
    }
    history = np.empty(len(rows.steps), object)
    for n, steps in enumerate(rows.steps):
        history[n] = np.stack([time[: steps + 1, n], found.head[: steps + 1, n]], axis=1)
    notes = np.array([_note(rows, columns["lowest_head"][n], found, n, float(peak[n]) if broken[n] else None) for n in range(len(history))])
    return (*(c.reshape(rows.shape) for c in columns.values()), history.reshape(rows.shape), notes.reshape(rows.shape))


def _note(rows: _Rows, lowest: float, found: Transient, n: int, until: float | None) -> str:
    told = []
    closing, critical = rows.closing[n], rows.critical[n]
    if closing < critical:
        told.append(f"closes in {closing:.4g} s, faster than 2L/a = {critical:.4g} s: the full rise comes, a rigid column misleads")
    if until is not None:
        at = found.separation_time[0, n]
        told.append(f"the column separates at {at:.4g} s: the highest head until then is {until:.5g} m, nothing after that is a number")
    elif np.isnan(rows.vapour[n]) and lowest < COLUMN:
        told.append(f"the lowest head {lowest:.4g} m is below {COLUMN:g} m: cold water at the level of the datum would separate there")
    return "; ".join(told)
