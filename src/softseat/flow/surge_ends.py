"""Where the characteristics meet something else than the next reach: source, valve, far end."""

import math
from collections.abc import Callable
from operator import itemgetter
from typing import Any

import numpy as np

from softseat.flow.surge_line import Boundary, Line

Value = Any  # one number where the march has a single run, else one a run: the formulas are the same


def full(value: object, runs: int) -> np.ndarray:
    """One value a run, as an array of its own."""
    return np.broadcast_to(np.asarray(value, float), (runs,)).copy()


class Ends:
    """The ends of one march. A single run is computed in plain numbers: an array of one costs ten times as much."""

    def __init__(self, line: Line, source: Boundary, end: Boundary, known: np.ndarray, vapour: np.ndarray) -> None:
        self.inline, self.check, runs = line.inline, source.check, line.runs
        self.may_boil = bool(self.inline and np.isfinite(vapour).any())
        # a number that is divided by nought would raise where an array goes on
        self.single = bool(runs == 1 and not self.may_boil and (line.impedance > 0).all())
        self.end_head = full(end.head, runs)
        self.upstream = tuple(self.values(full(v, runs)) for v in (source.head, source.slope, source.curve))
        self.downstream = tuple(self.values(full(v, runs)) for v in (end.head, end.slope))
        self.vapour = vapour
        self.plain = not self.check and not np.any(self.upstream[1]) and not np.any(self.upstream[2])
        self.root: Callable[[Value], Value] = math.sqrt if self.single else np.sqrt
        self.larger: Callable[[Value, Value], Value] = max if self.single else np.maximum
        self.seen = self._seen(known, line.before)
        nodes = (0, line.before, line.before + 1, known.shape[2])
        self.first, self.at, self.behind, self.last = ((n, 0) if self.single else n for n in nodes)

    def values(self, array: np.ndarray) -> Value:
        """The last axis, the runs, as the formulas take them."""
        if not self.single:
            return array
        one = array[..., 0]
        return one.tolist() if one.ndim else float(one)

    def _seen(self, known: np.ndarray, valve: int) -> Callable[[], tuple[Value, ...]]:
        """Reads (C, B) that come back to the source, on to the valve, back to the valve, on to the end."""
        n = known.shape[2]
        places = [(1, 0), (0, valve - 1), *([(1, valve + 1), (0, n - 1)] if self.inline else [])]
        if self.single:
            memory, read = known.reshape(-1).data, itemgetter(*((2 * i + side) * n + k for side, k in places for i in (0, 1)))
            return lambda: tuple(read(memory))
        views = tuple(known[i, side, k] for side, k in places for i in (0, 1))
        return lambda: views

    def steady_head(self, flow: np.ndarray) -> np.ndarray:
        """Head at the source at this flow; what stands on its check valve where nothing flows. [m]"""
        head, slope, curve = (np.asarray(v) for v in self.upstream)
        running = head - slope * flow - curve * (flow * np.abs(flow))
        held = head if not self.check else np.fmax(head, self.end_head)
        return np.where(flow == 0, held, running)

    def meet(self, loss: Value, h: np.ndarray, q: np.ndarray) -> Value:
        """Heads and flows at the ends into ``h`` and ``q``, four times the loss of the valve given; gives the flow through it."""
        cm, bm, cp, bp, *rest = self.seen()
        h[self.first], q[self.first] = self._source(cm, bm)
        if not rest:
            head, slope = self.downstream
            q[self.at] = through = self._valve(loss, cp - head, bp + slope)
            h[self.at] = cp - bp * through
            return through
        return self._inline(loss, (cp, bp), rest, h, q)

    def _source(self, cm: Value, bm: Value) -> tuple[Value, Value]:
        head, slope, curve = self.upstream
        if self.plain:
            return head, (head - cm) / bm
        gap = head - cm
        if self.check:
            gap = self.larger(gap, 0.0)
        flow = self._valve(4 * curve, gap, bm + slope)
        return cm + bm * flow, flow

    def _valve(self, loss: Value, gap: Value, slope: Value) -> Value:
        """Flow of ``loss Q|Q|/4 + slope Q = gap``, either way, in the form without cancellation."""
        return 2 * gap / (slope + self.root(slope * slope + loss * abs(gap)))

    def _inline(self, loss: Value, before: tuple[Value, Value], rest: list[Value], h: np.ndarray, q: np.ndarray) -> Value:
        cp, bp = before
        cm, bm, out, rise = rest
        through = self._valve(loss, cp - cm, bp + bm)
        leaving, behind = through, cm + bm * through
        if self.may_boil and (boils := behind < self.vapour).any():
            # the cavity behind the disc keeps the vapour pressure: the upstream side goes on against it
            through = np.where(boils, self._valve(loss, cp - self.vapour, bp), through)
            behind = np.where(boils, self.vapour, behind)
            leaving = np.where(boils, (self.vapour - cm) / bm, leaving)
        h[self.at], q[self.at] = cp - bp * through, through
        h[self.behind], q[self.behind] = behind, leaving
        head, slope = self.downstream
        q[self.last] = flow = (out - head) / (rise + slope)
        h[self.last] = out - rise * flow
        return through
