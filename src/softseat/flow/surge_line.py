"""A line cut into reaches for the method of characteristics, and what stands at its ends."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from softseat.errors import InputError

GRAVITY = 9.80665  # [m/s2] standard gravity, ISO 80000-3


@dataclass(frozen=True, slots=True)
class Pipe:
    """One pipe of even bore: length [m], bore [m], Darcy friction factor [-], wave speed [m/s]; each a number or one value a run."""

    length: ArrayLike
    bore: ArrayLike
    friction_factor: ArrayLike
    wave_speed: ArrayLike


@dataclass(frozen=True, slots=True)
class Line:
    """Reaches from the source to the far end, shape (reaches, runs); the valve stands behind ``before`` of them, or at the end."""

    impedance: np.ndarray  # a/(g A) [s/m2]
    resistance: np.ndarray  # f dx/(2 g D A2) [s2/m5]
    time_step: np.ndarray  # (runs,) [s]
    place: np.ndarray  # (nodes, runs), way from the source [m]; the valve has two nodes where a pipe goes on behind it
    before: int
    area: np.ndarray  # (runs,) of the pipe before the valve [m2]
    wave_speed: np.ndarray  # (runs,) of that pipe as computed [m/s]
    return_time: np.ndarray  # (runs,) wave to the source and back, the sum of 2L/a [s]
    speed_shift: np.ndarray  # (runs,) largest relative change of a wave speed that makes whole reaches [-]

    @property
    def inline(self) -> bool:
        return bool(self.impedance.shape[0] > self.before)

    @property
    def runs(self) -> int:
        return int(self.time_step.shape[0])


@dataclass(frozen=True, slots=True)
class Boundary:
    """Head at an end of the line, each a number or one value a run: ``H = head - slope Q - curve Q|Q|``.

    A reservoir has a head only. A pump has its shut-off head (level of the suction included), ``curve`` and a check valve.
    A branch from a long header has ``slope``: half the a/(gA) of the header, whose two sides share the wave.
    """

    head: ArrayLike  # [m]
    slope: ArrayLike = 0.0  # [s/m2]
    curve: ArrayLike = 0.0  # [s2/m5]
    check: bool = False  # lets nothing run back


def header(head: ArrayLike, flow: ArrayLike, bore: ArrayLike, wave_speed: ArrayLike, gravity: float = GRAVITY) -> Boundary:
    """A branch from a header that is long both ways, with this head at this flow into the branch.

    Parameters
    ----------
    head : array_like
        Head in the header at steady flow. [m]
    flow : array_like
        Steady flow into the branch. [m3/s]
    bore, wave_speed : array_like
        Of the header. [m]
    gravity : float
        [m/s2]
    """
    area = np.pi / 4 * np.square(np.asarray(bore, float))
    slope = np.asarray(wave_speed, float) / (gravity * area) / 2
    return Boundary(np.asarray(head, float) + slope * np.asarray(flow, float), slope)


def line(before: Sequence[Pipe], after: Sequence[Pipe] = (), reaches: int = 20, gravity: ArrayLike = GRAVITY) -> Line:
    """The line of these pipes in the order of flow, the valve between ``before`` and ``after``.

    The pipes get whole numbers of reaches of one wave time; where that does not go even, wave speeds are shifted a little.

    Parameters
    ----------
    before, after : sequence of Pipe
        Pipes up to the valve (one at least) and behind it.
    reaches : int
        Reaches of the pipes before the valve together.
    gravity : array_like
        Gravity. [m/s2]
    """
    g = np.asarray(gravity, float)
    if not before or reaches < 1:
        raise InputError(f"a line needs a pipe before its valve and one reach at least, not {len(before)} pipes and {reaches} reaches")
    columns = [np.broadcast_arrays(*(np.atleast_1d(np.asarray(v, float)) for v in (p.length, p.bore, p.friction_factor, p.wave_speed)))
               for p in (*before, *after)]  # fmt: skip
    runs = np.broadcast_shapes(*(c[0].shape for c in columns))[0]
    length, bore, friction, speed = (np.stack([np.broadcast_to(c[i], (runs,)) for c in columns]) for i in range(4))
    n = len(before)
    with np.errstate(invalid="ignore", divide="ignore"):
        length, bore, speed = (np.where(v > 0, v, np.nan) for v in (length, bore, speed))
        friction = np.where(friction >= 0, friction, np.nan)
        travel = length / speed
    counts = _counts(travel, n, reaches)
    step = travel[:n].sum(axis=0) / counts[:n].sum()
    whole = length / (counts[:, None] * step)
    area = np.pi / 4 * np.square(bore)
    dx = length / counts[:, None]
    return Line(
        impedance=np.repeat(whole / (g * area), counts, axis=0),
        resistance=np.repeat(friction * dx / (2 * g * bore * np.square(area)), counts, axis=0),
        time_step=step,
        place=_places(dx, counts, int(counts[:n].sum())),
        before=int(counts[:n].sum()),
        area=area[n - 1],
        wave_speed=whole[n - 1],
        return_time=2 * travel[:n].sum(axis=0),
        speed_shift=np.max(np.abs(whole / speed - 1), axis=0),
    )


def _counts(travel: np.ndarray, n: int, reaches: int) -> np.ndarray:
    """Reaches of each pipe by its share of the wave time, the same for every run; at least one."""
    known = np.isfinite(travel).all(axis=0)
    usual = np.median(travel[:, known], axis=1) if known.any() else np.ones(len(travel))
    return np.asarray(np.maximum(1, np.rint(reaches * usual / usual[:n].sum())), int)


def _places(dx: np.ndarray, counts: np.ndarray, before: int) -> np.ndarray:
    steps = np.repeat(dx, counts, axis=0)
    way = np.concatenate([np.zeros((1, dx.shape[1])), np.cumsum(steps, axis=0)])
    return way if steps.shape[0] == before else np.concatenate([way[: before + 1], way[before:]])


def steady_flow(line: Line, source: Boundary, end: Boundary, conductance: ArrayLike) -> np.ndarray:
    """Flow with the valve held: closed form of the head balance between the ends.

    Parameters
    ----------
    line : Line
        The line.
    source, end : Boundary
        Its ends.
    conductance : array_like
        Of the valve, Q/sqrt(dH). [m2.5/s]

    Returns
    -------
    flow : ndarray, shape (runs,)
        nan where a value is missing; 0 where a check valve holds it back. [m3/s]
    """
    c = np.asarray(conductance, float)
    with np.errstate(divide="ignore", invalid="ignore"):
        loss = np.asarray(source.curve, float) + line.resistance.sum(axis=0) + 1 / np.square(c)
        slope = np.asarray(source.slope, float) + np.asarray(end.slope, float)
        gap = np.asarray(source.head, float) - np.asarray(end.head, float)
        if source.check:
            gap = np.fmax(gap, 0.0)
        flow = 2 * gap / (slope + np.sqrt(np.square(slope) + 4 * loss * np.abs(gap)))
    return np.asarray(np.where(gap == 0, 0.0, flow) + 0 * line.time_step)
