"""The method of characteristics over many runs at once: a line, its ends, and a valve that moves."""

from collections.abc import Callable

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


class _March:
    """Work arrays of one march: allocated once, filled in place at every step.

    ``known`` is what the characteristics bring to the ends of each reach: (C, B) x (from upstream, from downstream) x reaches x runs.
    """

    def __init__(self, line: Line, source: Boundary, end: Boundary, flow: np.ndarray, vapour_head: float | np.ndarray, steps: int) -> None:
        self.line, self.runs, self.v = line, line.runs, line.before
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
        self.fields[0, 1] = flow

    def run(self, conductance: Conductance, steps: int) -> Transient:
        with np.errstate(all="ignore"):
            self.fields[0, 0] = self._steady(conductance(np.zeros((1, self.runs)))[0])
            return self._collect(conductance, steps)

    def _steady(self, conductance: np.ndarray) -> np.ndarray:
        q = self.fields[0, 1, 0]
        drops = self.r * q * np.abs(q)
        if self.line.inline:
            drops[self.v] = np.square(q / conductance) * np.sign(q)
        start = self.ends.steady_head(q)
        return np.concatenate([start[None], start - np.cumsum(drops, axis=0)])

    def _collect(self, conductance: Conductance, steps: int) -> Transient:
        record = Record(self.line, self.fields[0], self.ends.end_head, self.vapour, steps)
        cells, nodes = self._cells(), list(zip(self.fields[1:, 0], self.fields[1:, 1], strict=True))
        for start in range(1, steps + 1, self.block):
            count = min(self.block, steps + 1 - start)
            passes = conductance(np.arange(start, start + count)[:, None] * self.line.time_step)
            loss = self.ends.values(4 * np.minimum(1 / np.square(passes), SHUT))
            through = record.flow[start : start + count]
            for k in range(count):
                self._step(*cells[k])
                through[k] = self.ends.meet(loss[k], *nodes[k])
            record.add(self.fields[1 : count + 1], start)
            self.fields[0] = self.fields[count]
        return record.result(self.fields[0, 0].copy())

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
