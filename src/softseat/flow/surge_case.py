"""Many valves, each at the end of its line: one march over items, strokes and the ends of their bands."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from softseat.flow.surge_line import GRAVITY, Boundary, Line, Pipe, line
from softseat.flow.surge_march import march, valve_peaks
from softseat.flow.surge_record import Transient
from softseat.flow.surge_stroke import OverTime, kv_conductance, stroke_opening, valve_over_time

OPENINGS = np.arange(0.0, 91.0)  # of the Kv curve [deg]
MEMBERS = np.array(
    [(1, 1, 1), (0, 1, 1), (2, 1, 1), (1, 0, 1), (1, 2, 1), (1, 1, 0), (1, 1, 2)]
)  # wave speed, friction, Kv: one end at a time
AFTER = 2.5  # wave returns followed after the stroke
SLOW = 40.0  # wave returns in a stroke beyond which the wave speed no longer matters: it is lowered to that
SLOWEST = 400.0  # the same before a pump, at most: a line of low wave speed is soft and stores what the pump goes on giving
STORED = 0.02  # share of the stroke in which a pump may fill the softened line
COARSER = 1.2  # steps of the time that runs of one march are followed
TOGETHER = 4000  # runs of one march: their field stays in the cache


@dataclass(frozen=True, slots=True)
class Case:
    """What closes on what: one value an item; what has a band leads with (low, best, high). Heads: above the atmosphere, at the valve."""

    length: np.ndarray  # of the line before the valve [m]
    bore: np.ndarray  # [m]
    flow: np.ndarray  # [m3/s]
    head: np.ndarray  # before the valve at that flow [m]
    head_behind: np.ndarray  # that stays behind the valve without flow; nan: the atmosphere's [m]
    wave_speed: np.ndarray  # (3, items) [m/s]
    friction_factor: np.ndarray  # (3, items) Darcy [-]
    kv: np.ndarray  # (3, 91, items) over OPENINGS [m3/h]
    start: np.ndarray  # opening before the closing [deg]
    pump_rise: np.ndarray  # what a pump at the source gains from this flow to none; 0 for a constant head [m]

    def __len__(self) -> int:
        return int(self.length.shape[0])

    def take(self, items: np.ndarray) -> "Case":
        """The case of these items."""
        return Case(*(getattr(self, name)[..., items] for name in self.__slots__))


@dataclass(frozen=True, slots=True)
class Stroke:
    """A setting of the operator: one value an item."""

    time: np.ndarray  # [s]
    law: str = "linear"
    break_opening: ArrayLike = 20.0  # [deg]
    break_time: ArrayLike | None = None  # [s]


@dataclass(frozen=True, slots=True)
class Closing:
    """Heads before the valve of each member of the band, shape (members, items)."""

    peak: np.ndarray  # [m]
    peak_time: np.ndarray  # [s]
    lowest: np.ndarray  # [m]
    lowest_time: np.ndarray  # [s]
    separates: np.ndarray  # [s]; nan where the column holds


def band(values: np.ndarray) -> np.ndarray:
    """Low, best and high of members that stand for one uncertain value each: their deviations are independent and add as squares.

    Parameters
    ----------
    values : ndarray, shape (7, ...)
        A result of each member. [-]
    """
    off = (values[1:] - values[0]).reshape(3, 2, *values.shape[1:])
    up, down = np.maximum(off.max(axis=1), 0), np.minimum(off.min(axis=1), 0)
    return np.stack([values[0] - np.sqrt(np.square(down).sum(axis=0)), values[0], values[0] + np.sqrt(np.square(up).sum(axis=0))])


def closings(case: Case, stroke: Stroke, reaches: int = 4, vapour_head: ArrayLike = -np.inf, members: np.ndarray = MEMBERS) -> Closing:
    """Highest and lowest head before each valve, for every member of its band.

    Parameters
    ----------
    case : Case
        The items.
    stroke : Stroke
        Their strokes.
    reaches : int
        Reaches of each line.
    vapour_head : array_like
        Head at which the liquid boils; the lowest until then is given. [m]
    members : ndarray, shape (members, 3)
        Which end of wave speed, friction and Kv each member takes. [-]
    """
    count, items = len(members), len(case)
    found = np.full((5, count * items), np.nan)
    item, member = np.tile(np.arange(items), count), np.repeat(np.arange(count), items)
    boils = np.broadcast_to(np.asarray(vapour_head, float), (items,))
    if not np.isfinite(boils).any():
        for runs, steps in _together(case, stroke, item, members[member], reaches):
            found[:4, runs] = _peaks(case, stroke, item[runs], members[member[runs]], reaches, steps)
        return Closing(*(f.reshape(count, items) for f in found))
    for runs, returns in _groups(case, stroke, item, members[member]):
        one = run(case, stroke, item[runs], members[member[runs]], reaches, boils[item[runs]], returns)
        v = one.highest.shape[0] - 1
        # in the end the head of the source without flow stands before the valve, be the stroke ever so slow
        peak = np.fmax(one.highest[v], shut_head(case, item[runs], members[member[runs]]))
        found[:, runs] = peak, one.highest_time[v], one.lowest[v], one.lowest_time[v], one.separation_time[0]
    return Closing(*(f.reshape(count, items) for f in found))


def _together(case: Case, stroke: Stroke, item: np.ndarray, ends: np.ndarray, reaches: int) -> Iterator[tuple[np.ndarray, np.ndarray]]:
    """The same runs with the steps that each is followed, some thousand at once, the longest first."""
    groups = list(_groups(case, stroke, item, ends))
    for pumped in (False, True):
        some = [(runs, steps) for runs, returns in groups if bool(case.pump_rise[item[runs[0]]] > 0) == pumped
                for steps in [np.full(runs.size, _steps(reaches, returns))]][::-1]  # fmt: skip
        if some:
            runs, steps = (np.concatenate(c) for c in zip(*some, strict=True))
            yield from ((runs[i : i + TOGETHER], steps[i : i + TOGETHER]) for i in range(0, runs.size, TOGETHER))


def _steps(reaches: int, returns: float) -> int:
    return int(np.ceil(2 * reaches * returns))


def _peaks(case: Case, stroke: Stroke, item: np.ndarray, ends: np.ndarray, reaches: int, steps: np.ndarray) -> np.ndarray:
    """Highest head and when, lowest head and when, of runs whose liquid does not boil. Shape (4, runs)."""
    pipe, source, end, curve = _set(case, stroke, item, ends, reaches)

    def valve_of(count: int) -> OverTime:
        return valve_over_time(_opening(stroke, item[:count], case.start[item[:count]]), OPENINGS, curve[:, :count])

    highest, up, lowest, down = valve_peaks(pipe, source, end, case.flow[item], valve_of, steps)
    return np.stack([np.fmax(highest, source.head), up * pipe.time_step, lowest, down * pipe.time_step])


def _groups(case: Case, stroke: Stroke, item: np.ndarray, ends: np.ndarray) -> Iterator[tuple[np.ndarray, float]]:
    """Runs that take about as many steps, and the wave returns they are followed: a run's own time decides, never a neighbour's."""
    with np.errstate(divide="ignore", invalid="ignore"):
        followed = _returns(case, stroke, item, ends) + AFTER
        step = np.ceil(np.log(followed / AFTER) / np.log(COARSER))
        pumped = case.pump_rise[item] > 0
    for k in np.unique(step[np.isfinite(step)]):
        for alike in (np.flatnonzero((step == k) & (pumped == p)) for p in (False, True)):
            yield from ((alike[i : i + TOGETHER], AFTER * COARSER**k) for i in range(0, len(alike), TOGETHER))


def _returns(case: Case, stroke: Stroke, item: np.ndarray, ends: np.ndarray) -> np.ndarray:
    with np.errstate(divide="ignore", invalid="ignore"):
        returns = stroke.time[item] * case.wave_speed[ends[:, 0], item] / (2 * case.length[item])
        good = (case.flow[item] > 0) & (case.bore[item] > 0) & np.isfinite(case.head[item]) & (case.start[item] > 0)
    return np.where(good & (returns >= 0), np.minimum(returns, _counted(case, stroke, item)), np.nan)


def _counted(case: Case, stroke: Stroke, item: np.ndarray) -> np.ndarray:
    """Wave returns in a stroke from which on the wave speed is lowered."""
    length, total, rise = case.length[item], stroke.time[item], case.pump_rise[item]
    with np.errstate(divide="ignore", invalid="ignore"):
        velocity = case.flow[item] / (np.pi / 4 * np.square(case.bore[item]))
        stiff = np.sqrt(GRAVITY * length * rise / (velocity * STORED * total))  # wave speed at which the line fills in that share
        needed = total * stiff / (2 * length)
    return np.clip(np.nan_to_num(needed, nan=SLOW), SLOW, SLOWEST)


def shut_head(case: Case, item: np.ndarray, ends: np.ndarray) -> np.ndarray:
    """Head of the source without flow, which stands before the shut valve in the end.

    Parameters
    ----------
    case : Case
        The items.
    item, ends : ndarray
        As in `run`. [-]
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        velocity_head = np.square(case.flow[item] / (np.pi / 4 * np.square(case.bore[item]))) / (2 * GRAVITY)
        lost = case.friction_factor[ends[:, 1], item] * case.length[item] / case.bore[item] * velocity_head
    return np.asarray(case.head[item] + lost + case.pump_rise[item])


def mirrored(case: Case, length: np.ndarray, head: np.ndarray) -> Case:
    """The line behind the valve as a line before it: way and head turned round, so that the highest head is the lowest, negative.

    The equations stay the same: a valve that shuts off its outlet pulls as one that shuts off its inlet pushes.

    Parameters
    ----------
    case : Case
        The items.
    length : ndarray
        Of the line behind the valve, of the same pipe. [m]
    head : ndarray
        Behind the valve at the flow; nan where the line ends in the open. [m]
    """
    velocity_head = np.square(case.flow / (np.pi / 4 * np.square(case.bore))) / (2 * GRAVITY)
    behind = np.where(np.isnan(head), case.friction_factor[1] * length / case.bore * velocity_head, head)
    return replace(case, length=length, head=-behind, head_behind=-case.head, pump_rise=np.zeros(len(case)))


def run(
    case: Case,
    stroke: Stroke,
    item: np.ndarray,
    ends: np.ndarray,
    reaches: int,
    vapour_head: ArrayLike = -np.inf,
    returns: float | None = None,
) -> Transient:
    """The transient runs of these items at these ends of their bands.

    Parameters
    ----------
    case : Case
        The items.
    stroke : Stroke
        Their strokes.
    item : ndarray, shape (runs,)
        Item of each run. [-]
    ends : ndarray, shape (runs, 3)
        End of wave speed, friction and Kv: 0 low, 1 best, 2 high. [-]
    reaches : int
        Reaches of each line.
    vapour_head : array_like
        As in `closings`. [m]
    returns : float
        Wave returns that are followed; the longest stroke of these runs and a little more where none is given. [-]
    """
    pipe, source, end, curve = _set(case, stroke, item, ends, reaches)
    valve = valve_over_time(_opening(stroke, item, case.start[item]), OPENINGS, curve)
    if returns is None:
        returns = float(np.max(stroke.time[item] / pipe.return_time)) + AFTER
    return march(pipe, source, end, case.flow[item], valve, _steps(reaches, returns), np.asarray(vapour_head, float))


def _set(case: Case, stroke: Stroke, item: np.ndarray, ends: np.ndarray, reaches: int) -> tuple[Line, Boundary, Boundary, np.ndarray]:
    """The line of each run, its source, what stands behind the valve, and what the valve passes over its openings."""
    pipe = _line(case, stroke, item, ends, reaches)
    flow, curve = case.flow[item], _conductance(case, item, ends)
    rise = case.pump_rise[item]
    source = Boundary(shut_head(case, item, ends), curve=rise / np.square(flow), check=bool((rise > 0).any()))
    drop = np.square(flow / _at(curve, case.start[item]))
    spent = np.fmax(case.head[item] - drop - np.nan_to_num(case.head_behind[item], nan=0.0), 0.0)  # lost behind the valve
    behind = case.head[item] - drop - spent
    with np.errstate(divide="ignore"):
        curve = 1 / np.sqrt(1 / np.square(curve) + spent / np.square(flow))
    return pipe, source, Boundary(behind), curve


def _line(case: Case, stroke: Stroke, item: np.ndarray, ends: np.ndarray, reaches: int) -> Line:
    speed = case.wave_speed[ends[:, 0], item]
    length = case.length[item]
    with np.errstate(divide="ignore"):
        speed = np.minimum(speed, _counted(case, stroke, item) * 2 * length / stroke.time[item])
    return line([Pipe(length, case.bore[item], case.friction_factor[ends[:, 1], item], speed)], (), reaches)


def _conductance(case: Case, item: np.ndarray, ends: np.ndarray) -> np.ndarray:
    """Q/sqrt(dH) over the openings, (91, runs)."""
    return kv_conductance(case.kv[ends[:, 2], :, item].T, GRAVITY)


def _at(curve: np.ndarray, opening: np.ndarray) -> np.ndarray:
    k = np.minimum(opening.astype(int), len(OPENINGS) - 2)
    runs = np.arange(curve.shape[1])
    return np.asarray(curve[k, runs] + (opening - k) * (curve[k + 1, runs] - curve[k, runs]))


def _opening(stroke: Stroke, item: np.ndarray, start: np.ndarray) -> OverTime:
    """Opening of each run over time."""

    def own(value: ArrayLike) -> np.ndarray:
        column = np.asarray(value, float)
        return column[item] if column.ndim else column

    total, middle = stroke.time[item], own(stroke.break_opening)
    at = None if stroke.break_time is None else own(stroke.break_time)
    return lambda time: stroke_opening(time, total, stroke.law, start, middle, at)
