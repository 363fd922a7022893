"""Many valves, each at the end of its line: one march over items, strokes and the ends of their bands."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from softseat.flow.surge_line import GRAVITY, Boundary, Line, Pipe, line
from softseat.flow.surge_march import Transient, march
from softseat.flow.surge_stroke import OverTime, kv_conductance, stroke_opening, valve_over_time
from softseat.tables import index, number

OPENINGS = np.arange(0.0, 91.0)  # of the Kv curve [deg]
MEMBERS = np.array(
    [(1, 1, 1), (0, 1, 1), (2, 1, 1), (1, 0, 1), (1, 2, 1), (1, 1, 0), (1, 1, 2)]
)  # wave speed, friction, Kv: one end at a time
AFTER = 2.5  # wave returns followed after the stroke
SLOW = 40.0  # wave returns in a stroke beyond which the wave speed no longer matters: it is lowered to that
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


def friction_factor(reynolds: ArrayLike, roughness: ArrayLike) -> np.ndarray:
    """Darcy friction factor of a pipe, explicit.

    Parameters
    ----------
    reynolds : array_like
        Reynolds number. [-]
    roughness : array_like
        Sand roughness over bore. [-]

    Returns
    -------
    friction_factor : ndarray
        Laminar below 2300, else by Haaland (within 2 % of Colebrook); nan where the Reynolds number is not above zero. [-]

    References
    ----------
    S. E. Haaland, J. Fluids Eng. 105 (1983) 89.
    """
    re = np.asarray(reynolds, float)
    with np.errstate(divide="ignore", invalid="ignore"):
        re = np.where(re > 0, re, np.nan)
        turbulent = np.square(-1.8 * np.log10((np.asarray(roughness, float) / 3.7) ** 1.11 + 6.9 / re)) ** -1
        return np.asarray(np.where(re < 2300, 64 / re, turbulent))


def pipe_roughness(pipe_system: str) -> np.ndarray:
    """Sand roughness of a pipe by its material, new to old; the widest band where no pipe is named.

    Parameters
    ----------
    pipe_system : str
        As in `pipe_wave_speed`; "" where none is named.

    Returns
    -------
    roughness : ndarray, shape (3,)
        Low, usual, high. [m]
    """
    row = index("pipe_elasticity", "pipe_system")[pipe_system or "unknown"]
    return np.array([number(row[f"roughness{end}_mm"], "mm") for end in ("_low", "", "_high")])


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
    for runs, returns in _groups(case, stroke, item, members[member]):
        one = run(case, stroke, item[runs], members[member[runs]], reaches, boils[item[runs]], returns)
        v = one.highest.shape[0] - 1
        found[:, runs] = one.highest[v], one.highest_time[v], one.lowest[v], one.lowest_time[v], one.separation_time[0]
    return Closing(*(f.reshape(count, items) for f in found))


def _groups(case: Case, stroke: Stroke, item: np.ndarray, ends: np.ndarray) -> Iterator[tuple[np.ndarray, float]]:
    """Runs that take about as many steps, and the wave returns they are followed: a run's own time decides, never a neighbour's."""
    with np.errstate(divide="ignore", invalid="ignore"):
        followed = _returns(case, stroke, item, ends) + AFTER
        step = np.ceil(np.log(followed / AFTER) / np.log(COARSER))
    for k in np.unique(step[np.isfinite(step)]):
        alike = np.flatnonzero(step == k)
        yield from ((alike[i : i + TOGETHER], AFTER * COARSER**k) for i in range(0, len(alike), TOGETHER))


def _returns(case: Case, stroke: Stroke, item: np.ndarray, ends: np.ndarray) -> np.ndarray:
    with np.errstate(divide="ignore", invalid="ignore"):
        returns = stroke.time[item] * case.wave_speed[ends[:, 0], item] / (2 * case.length[item])
        good = (case.flow[item] > 0) & (case.bore[item] > 0) & np.isfinite(case.head[item]) & (case.start[item] > 0)
    return np.where(good & (returns >= 0), np.minimum(returns, SLOW), np.nan)


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
    pipe = _line(case, stroke, item, ends, reaches)
    flow, curve = case.flow[item], _conductance(case, item, ends)
    source = Boundary(case.head[item] + pipe.resistance.sum(axis=0) * np.square(flow))
    drop = np.square(flow / _at(curve, case.start[item]))
    spent = np.fmax(case.head[item] - drop - np.nan_to_num(case.head_behind[item], nan=0.0), 0.0)  # lost behind the valve
    behind = case.head[item] - drop - spent
    with np.errstate(divide="ignore"):
        curve = 1 / np.sqrt(1 / np.square(curve) + spent / np.square(flow))
    valve = valve_over_time(_opening(stroke, item, case.start[item]), OPENINGS, curve)
    if returns is None:
        returns = float(np.max(stroke.time[item] / pipe.return_time)) + AFTER
    return march(pipe, source, Boundary(behind), flow, valve, int(np.ceil(2 * reaches * returns)), np.asarray(vapour_head, float))


def _line(case: Case, stroke: Stroke, item: np.ndarray, ends: np.ndarray, reaches: int) -> Line:
    speed = case.wave_speed[ends[:, 0], item]
    length = case.length[item]
    with np.errstate(divide="ignore"):
        speed = np.minimum(speed, SLOW * 2 * length / stroke.time[item])
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


def safe_strokes(
    case: Case, room: np.ndarray, least: np.ndarray, longest: float, floor: ArrayLike = -np.inf, reaches: int = 4
) -> np.ndarray:
    """Shortest linear stroke of which neither it nor a slower one leaves the allowed heads by its bad end.

    Parameters
    ----------
    case : Case
        The items.
    room : ndarray, shape (items,)
        Highest head allowed. [m]
    least : ndarray, shape (items,)
        No stroke shorter than this is offered: the wave return. [s]
    longest : float
        No stroke longer than this is tried. [s]
    floor : array_like
        Lowest head allowed. [m]
    reaches : int
        Reaches of each line.

    Returns
    -------
    stroke_time : ndarray, shape (items,)
        nan where a value is missing or none is safe. [s]
    """
    low, high = least.copy(), np.full(len(case), longest)
    found = np.full(len(case), np.nan)
    for tried in (17, 17):
        grid = low * (high / low) ** (np.arange(tried)[:, None] / (tried - 1))
        safe = _safe(case, grid, room, np.asarray(floor, float), reaches)
        lasting = np.logical_and.accumulate(safe[::-1])[::-1]
        any_safe = lasting.any(axis=0)
        first = lasting.argmax(axis=0)
        here = np.take_along_axis(grid, first[None], axis=0)[0]
        before = np.take_along_axis(grid, np.maximum(first - 1, 0)[None], axis=0)[0]
        found = np.where(any_safe, here, np.nan)
        low, high = np.where(any_safe, before, least), np.where(any_safe, here, longest)
    return found


def _safe(case: Case, grid: np.ndarray, room: np.ndarray, floor: np.ndarray, reaches: int) -> np.ndarray:
    tried, items = grid.shape
    ends = closings(case.take(np.tile(np.arange(items), tried)), Stroke(grid.ravel()), reaches)
    peak, lowest = (band(v).reshape(3, tried, items) for v in (ends.peak, ends.lowest))
    return np.asarray((peak[2] <= room) & (lowest[0] >= floor))
