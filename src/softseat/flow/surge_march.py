"""The method of characteristics over many runs at once: a line, its ends, and a valve that moves."""

from collections.abc import Callable
from dataclasses import fields, replace

import numpy as np

from softseat.errors import InputError
from softseat.flow.surge_ends import Ends, full
from softseat.flow.surge_line import Boundary, Line
from softseat.flow.surge_record import Record, Transient

BLOCK = 2_000_000  # numbers of the field held at once: 16 MB
SHUT = 1e60  # [s2/m5] loss of a shut valve: passes less than any number shows, and keeps 0/0 and inf x 0 out
Conductance = Callable[[np.ndarray], np.ndarray]  # times (steps, runs) -> Q/sqrt(dH) of the valve (steps, runs) [m2.5/s]


def march(
    line: Line,
    source: Boundary,
    end: Boundary,
    flow: np.ndarray,
    conductance: Conductance,
    steps: int,
    vapour_head: float | np.ndarray = -np.inf,
) -> Transient:
    """Heads and flows from the steady state on.

    Parameters
    ----------
    line : Line
        The line, its reaches and runs.
    source, end : Boundary
        Upstream end; downstream end (behind the valve, or behind the pipe that follows it).
    flow : ndarray, shape (runs,)
        Steady flow before the valve moves. [m3/s]
    conductance : callable
        Of the valve at these times, Q/sqrt(dH). [m2.5/s]
    steps : int
        Time steps.
    vapour_head : ndarray
        Head at which the liquid boils, on the datum of the heads; the column separates there. [m]

    References
    ----------
    Wylie and Streeter, Fluid Transients in Systems (1993), chapter 3, with the friction term Q_P |Q_A| (second order).
    """
    if steps < 1:
        raise InputError(f"steps = {steps}: one time step at least")
    return _March(line, source, end, np.asarray(flow, float), vapour_head, steps).run(conductance, steps)


NARROWER = 0.7  # share of the runs still followed below which the others are left out of the sums


def valve_peaks(
    line: Line, source: Boundary, end: Boundary, flow: np.ndarray, valve_of: Callable[[int], Conductance], steps: np.ndarray
) -> np.ndarray:
    """Highest and lowest head before the valve at the end of each line, and when: runs followed for different times, in one march.

    Parameters
    ----------
    line, source, end, flow : Line, Boundary, Boundary, ndarray
        As of ``march``; the liquid does not boil.
    valve_of : callable
        The conductance over time of the first so many runs.
    steps : ndarray, shape (runs,)
        Time steps that each run is followed, the longest first.

    Returns
    -------
    found : ndarray, shape (4, runs)
        Highest head, its step, lowest head, its step. [m]
    """
    going = _March(line, source, end, np.asarray(flow, float), -np.inf, int(steps[0]))
    conductance = valve_of(line.runs)
    with np.errstate(all="ignore"):
        going.begin(conductance)
        found = np.zeros((4, line.runs))
        found[::2] = going.fields[0, 0, going.v]
        done = 0
        for stop in np.unique(steps).tolist():
            left = int(np.count_nonzero(steps >= stop))
            if left < NARROWER * going.runs:
                going, conductance = going.narrowed(left), valve_of(left)
            while done < stop:
                count = min(going.block, stop - done)
                going.advance(conductance, done + 1, count)
                _keep_peaks(found[:, :left], going.fields[1 : count + 1, 0, going.v, :left], done + 1)
                done += count
    return found


def _keep_peaks(found: np.ndarray, heads: np.ndarray, start: int) -> None:
    """The peaks brought up to date with the heads of one block, (steps, runs)."""
    for place, value, better in ((0, heads.max(axis=0), np.greater), (2, heads.min(axis=0), np.less)):
        run = np.flatnonzero(better(value, found[place]))
        found[place, run] = value[run]
        found[place + 1, run] = start + (heads[:, run] == value[run]).argmax(axis=0)


class _March:
    """Work arrays of one march: allocated once, filled in place at every step.

    ``known`` is what the characteristics bring to the ends of each reach: (C, B) x (from upstream, from downstream) x reaches x runs.
    """

    def __init__(self, line: Line, source: Boundary, end: Boundary, flow: np.ndarray, vapour_head: float | np.ndarray, steps: int) -> None:
        self.line, self.runs, self.v, self.boundaries, self.steps = line, line.runs, line.before, (source, end), steps
        gap = [np.ones((1, self.runs))] if line.inline else []
        self.b = np.concatenate([line.impedance[: self.v], *gap, line.impedance[self.v :]])
        self.r = np.concatenate([line.resistance[: self.v], *[0 * g for g in gap], line.resistance[self.v :]])
        self.both = np.stack([self.b, -self.b])
        self.vapour = full(vapour_head, self.runs)
        reaches = self.b.shape[0]
        self.block = int(np.clip(BLOCK // (2 * (reaches + 1) * self.runs), 1, min(steps, 512)))
        self.fields = np.empty((self.block + 1, 2, reaches + 1, self.runs))  # step, head or flow, node, run; the first is the step before
        self.known = np.empty((2, 2, reaches, self.runs))
        self.c, self.slopes = self.known
        self.inner = self.known[0, 0, :-1], self.known[0, 1, 1:], self.known[1, 0, :-1], self.known[1, 1, 1:]
        self.size, self.sum = np.empty((reaches + 1, self.runs)), np.empty((reaches - 1, self.runs))
        node, run = self.size.strides
        self.sizes = np.lib.stride_tricks.as_strided(self.size, (2, *self.b.shape), (node, node, run), writeable=False)  # of both ends
        self.ends = Ends(line, source, end, self.known, self.vapour)
        self.fields[0, 1], self.last = flow, 0  # the step in which the march stands

    def run(self, conductance: Conductance, steps: int) -> Transient:
        with np.errstate(all="ignore"):
            self.begin(conductance)
            return self._collect(conductance, steps)

    def begin(self, conductance: Conductance) -> None:
        """The heads of the steady state."""
        self.fields[0, 0] = self._steady(conductance(np.zeros((1, self.runs)))[0])
        self.cells, self.nodes = self._cells(), list(zip(self.fields[1:, 0], self.fields[1:, 1], strict=True))

    def narrowed(self, runs: int) -> "_March":
        """The first so many runs, going on from where they are."""
        arrays = {f.name: getattr(self.line, f.name)[..., :runs] for f in fields(Line) if f.name != "before"}
        source, end = (
            Boundary(full(b.head, self.runs)[:runs], full(b.slope, self.runs)[:runs], full(b.curve, self.runs)[:runs], check=b.check)
            for b in self.boundaries
        )
        some = _March(replace(self.line, **arrays), source, end, np.zeros(runs), self.vapour[:runs], self.steps)
        some.fields[0] = self.fields[self.last, ..., :runs]
        some.cells, some.nodes = some._cells(), list(zip(some.fields[1:, 0], some.fields[1:, 1], strict=True))
        return some

    def advance(self, conductance: Conductance, start: int, count: int) -> np.ndarray:
        """So many time steps, into the fields; gives the flow through the valve at each."""
        if self.last:
            self.fields[0] = self.fields[self.last]
        passes = conductance(np.arange(start, start + count)[:, None] * self.line.time_step)
        loss = self.ends.values(4 * np.minimum(1 / np.square(passes), SHUT))
        through = np.empty((count, self.runs))
        for k in range(count):
            self._step(*self.cells[k])
            through[k] = self.ends.meet(loss[k], *self.nodes[k])
        self.last = count
        return through

    def _steady(self, conductance: np.ndarray) -> np.ndarray:
        q = self.fields[0, 1, 0]
        drops = self.r * q * np.abs(q)
        if self.line.inline:
            drops[self.v] = np.square(q / conductance) * np.sign(q)
        start = self.ends.steady_head(q)
        return np.concatenate([start[None], start - np.cumsum(drops, axis=0)])

    def _collect(self, conductance: Conductance, steps: int) -> Transient:
        record = Record(self.line, self.fields[0], self.ends.end_head, self.vapour, steps)
        for start in range(1, steps + 1, self.block):
            count = min(self.block, steps + 1 - start)
            record.flow[start : start + count] = self.advance(conductance, start, count)
            record.add(self.fields[1 : count + 1], start)
        return record.result(self.fields[self.last, 0].copy())

    def _cells(self) -> list[tuple[np.ndarray, ...]]:
        """For each step heads and flows at both ends of the reaches and flows at the nodes of the step before, inner heads and flows of it.

        Views, made once: at a few hundred nodes the making costs as much as the sums.
        """
        step, kind, node, run = self.fields.strides
        shape = (self.block + 1, 2, 2, *self.b.shape)
        pairs = np.lib.stride_tricks.as_strided(self.fields, shape, (step, kind, node, node, run), writeable=False)[:-1]
        now = self.fields[1:, :, 1:-1]
        return list(zip(pairs[:, 0], pairs[:, 1], self.fields[:-1, 1], now[:, 0], now[:, 1], strict=True))

    def _step(self, heads: np.ndarray, flows: np.ndarray, before: np.ndarray, h: np.ndarray, q: np.ndarray) -> None:
        """The characteristics of one time step, and what they give between the ends."""
        c, b = self.c, self.slopes
        np.abs(before, out=self.size)
        np.multiply(self.r, self.sizes, out=b)
        np.add(b, self.b, out=b)
        np.multiply(self.both, flows, out=c)
        np.add(c, heads, out=c)
        cp, cm, bp, bm = self.inner
        np.subtract(cp, cm, out=q)
        np.add(bp, bm, out=self.sum)
        np.divide(q, self.sum, out=q)
        np.multiply(bp, q, out=h)
        np.subtract(cp, h, out=h)
