"""The method of characteristics over many runs at once: a line, its ends, and a valve that moves."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from softseat.errors import InputError
from softseat.flow.surge_line import Boundary, Line

BLOCK = 2_000_000  # numbers held at once: keeps the field of a block in the tens of megabytes
SHUT = 1e60  # [s2/m5] loss of a shut valve: passes less than any number shows, and keeps 0/0 and inf x 0 out
Conductance = Callable[[np.ndarray], np.ndarray]  # times (steps, runs) -> Q/sqrt(dH) of the valve (steps, runs) [m2.5/s]


@dataclass(frozen=True, slots=True)
class Transient:
    """What the closing does. From the first separation of the column on, its side of the valve has no numbers (nan)."""

    time_step: np.ndarray  # (runs,) [s]
    head: np.ndarray  # (steps + 1, runs) before the valve [m]
    behind: np.ndarray  # (steps + 1, runs) behind the valve [m]
    flow: np.ndarray  # (steps + 1, runs) through the valve [m3/s]
    inflow: np.ndarray  # (steps + 1, runs) from the source [m3/s]
    last: np.ndarray  # (nodes, runs) heads at the end of the run [m]
    highest: np.ndarray  # (nodes, runs) envelope [m]
    highest_time: np.ndarray  # (nodes, runs) [s]
    lowest: np.ndarray  # (nodes, runs) [m]
    lowest_time: np.ndarray  # (nodes, runs) [s]
    separation_time: np.ndarray  # (2, runs) before and behind the valve [s]; nan where the column holds

    def times(self) -> np.ndarray:
        """Times of the histories, shape (steps + 1, runs). [s]"""
        return np.asarray(np.arange(self.head.shape[0])[:, None] * self.time_step)


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
    return _March(line, source, end, np.asarray(flow, float), vapour_head).run(conductance, steps)


def _full(value: object, runs: int) -> np.ndarray:
    return np.broadcast_to(np.asarray(value, float), (runs,)).copy()


class _March:
    """Work arrays of one march: allocated once, filled in place at every step."""

    def __init__(self, line: Line, source: Boundary, end: Boundary, flow: np.ndarray, vapour_head: float | np.ndarray) -> None:
        self.line, self.source, self.runs, self.v = line, source, line.runs, line.before
        gap = [np.ones((1, self.runs))] if line.inline else []
        self.b = np.concatenate([line.impedance[: self.v], *gap, line.impedance[self.v :]])
        self.r = np.concatenate([line.resistance[: self.v], *[0 * g for g in gap], line.resistance[self.v :]])
        self.upstream = [_full(x, self.runs) for x in (source.head, source.slope, source.curve)]
        self.end_head, self.end_slope = _full(end.head, self.runs), _full(end.slope, self.runs)
        self.plain = not source.check and not np.any(self.upstream[1]) and not np.any(self.upstream[2])
        self.vapour = _full(vapour_head, self.runs)
        nodes = self.b.shape[0] + 1
        self.size = np.empty((nodes, self.runs))
        self.cp, self.cm, self.bp, self.bm = (np.empty((nodes - 1, self.runs)) for _ in range(4))
        self.sum = np.empty((max(nodes - 2, 0), self.runs))
        # views made once: at a few hundred nodes the making costs as much as the sums
        self.left, self.right, self.first = self.size[:-1], self.size[1:], (self.cm[0], self.bm[0])
        self.inner = self.cp[:-1], self.cm[1:], self.bp[:-1], self.bm[1:]
        self.before = self.cp[self.v - 1], self.bp[self.v - 1]
        self.behind = (self.cm[self.v + 1], self.bm[self.v + 1]) if line.inline else (self.end_head, self.end_slope)
        self.may_boil = bool(np.isfinite(self.vapour).any())
        self.q = np.broadcast_to(flow, (nodes, self.runs)).copy()

    def run(self, conductance: Conductance, steps: int) -> Transient:
        with np.errstate(all="ignore"):
            self.h = self._steady(conductance(np.zeros((1, self.runs)))[0])
            return self._collect(conductance, steps)

    def _steady(self, conductance: np.ndarray) -> np.ndarray:
        q = self.q[0]
        head, slope, curve = self.upstream
        drops = self.r * q * np.abs(q)
        if self.line.inline:
            drops[self.v] = np.square(q / conductance) * np.sign(q)
        first = np.where(q == 0, np.nan, head - slope * q - curve * np.square(q))
        start = np.where(q == 0, head if not self.source.check else np.fmax(head, self.end_head), first)
        return np.concatenate([start[None], start - np.cumsum(drops, axis=0)])

    def step(self, loss: np.ndarray, h: np.ndarray, q: np.ndarray) -> np.ndarray:
        """One time step into ``h`` and ``q``, four times the loss of the valve given; gives the flow through it."""
        b, r, cp, cm, bp, bm = self.b, self.r, self.cp, self.cm, self.bp, self.bm
        np.abs(self.q, out=self.size)
        np.multiply(r, self.left, out=bp)
        np.add(bp, b, out=bp)
        np.multiply(r, self.right, out=bm)
        np.add(bm, b, out=bm)
        np.multiply(b, self.q[:-1], out=cp)
        np.add(cp, self.h[:-1], out=cp)
        np.multiply(b, self.q[1:], out=cm)
        np.subtract(self.h[1:], cm, out=cm)
        inner_h, inner_q = h[1:-1], q[1:-1]
        ip, im, jp, jm = self.inner
        np.subtract(ip, im, out=inner_q)
        np.add(jp, jm, out=self.sum)
        np.divide(inner_q, self.sum, out=inner_q)
        np.multiply(jp, inner_q, out=inner_h)
        np.subtract(ip, inner_h, out=inner_h)
        self._source(h, q)
        through = self._inline(loss, h, q) if self.line.before < len(self.line.impedance) else self._outlet(loss, h, q)
        self.h, self.q = h, q
        return through

    def _source(self, h: np.ndarray, q: np.ndarray) -> None:
        head, slope, curve = self.upstream
        cm, bm = self.first
        if self.plain:
            np.divide(head - cm, bm, out=q[0])
            h[0] = head
            return
        gap, s = head - cm, bm + slope
        if self.source.check:
            gap = np.maximum(gap, 0.0)
        q[0] = 2 * gap / (s + np.sqrt(s * s + 4 * curve * gap))
        h[0] = cm + bm * q[0]

    def _outlet(self, loss: np.ndarray, h: np.ndarray, q: np.ndarray) -> np.ndarray:
        cp, bp = self.before
        q[-1] = through = _valve(loss, cp - self.end_head, bp + self.end_slope)
        np.subtract(cp, bp * through, out=h[-1])
        return through

    def _inline(self, loss: np.ndarray, h: np.ndarray, q: np.ndarray) -> np.ndarray:
        v = self.v
        (cp, bp), (cm, bm) = self.before, self.behind
        through = _valve(loss, cp - cm, bp + bm)
        leaving, behind = through, cm + bm * through
        if self.may_boil and (boils := behind < self.vapour).any():
            # the cavity behind the disc keeps the vapour pressure: the upstream side goes on against it
            through = np.where(boils, _valve(loss, cp - self.vapour, bp), through)
            behind = np.where(boils, self.vapour, behind)
            leaving = np.where(boils, (self.vapour - cm) / bm, leaving)
        h[v], q[v] = cp - bp * through, through
        h[v + 1], q[v + 1] = behind, leaving
        out, slope = self.cp[-1], self.bp[-1]
        q[-1] = last = (out - self.end_head) / (slope + self.end_slope)
        h[-1] = out - slope * last
        return through

    def _collect(self, conductance: Conductance, steps: int) -> Transient:
        record = _Record(self, steps)
        block = int(np.clip(BLOCK // self.size.size, 1, min(steps, 512)))
        fields = np.empty((2, block, *self.size.shape))
        for start in range(1, steps + 1, block):
            count = min(block, steps + 1 - start)
            passes = conductance(np.arange(start, start + count)[:, None] * self.line.time_step)
            loss = 4 * np.minimum(1 / np.square(passes), SHUT)
            for k in range(count):
                record.flow[start + k] = self.step(loss[k], fields[0, k], fields[1, k])
            record.inflow[start : start + count] = fields[1, :count, 0]
            record.add(fields[0, :count], start)
        return record.result(self.h.copy())


def _valve(loss: np.ndarray, gap: np.ndarray, slope: np.ndarray) -> np.ndarray:
    """Flow of ``loss Q|Q|/4 + slope Q = gap``, either way, in the form without cancellation."""
    return np.asarray(2 * gap / (slope + np.sqrt(slope * slope + loss * np.abs(gap))))


class _Record:
    """Histories at the valve and envelopes along the line, with what lies behind a separation left out."""

    def __init__(self, state: _March, steps: int) -> None:
        self.v, self.inline, self.vapour = state.v, state.line.inline, state.vapour
        self.step = state.line.time_step
        shape = (steps + 1, state.runs)
        self.head, self.behind, self.flow, self.inflow = (np.empty(shape) for _ in range(4))
        h = state.h
        self.fixed = state.end_head
        self.head[0], self.behind[0] = h[self.v], h[self.v + 1] if self.inline else self.fixed
        self.flow[0] = self.inflow[0] = state.q[0]
        self.highest, self.lowest = h.copy(), h.copy()
        self.highest_at, self.lowest_at = np.zeros(h.shape), np.zeros(h.shape)
        self.broken = np.full((2, state.runs), np.inf)  # step of the first separation

    def sides(self) -> tuple[slice, ...]:
        return (slice(0, self.v + 1), slice(self.v + 1, None)) if self.inline else (slice(0, self.v + 1),)

    def add(self, heads: np.ndarray, start: int) -> None:
        at = np.arange(start, start + len(heads))
        self.head[at] = heads[:, self.v]
        self.behind[at] = heads[:, self.v + 1] if self.inline else self.fixed
        for i, side in enumerate(self.sides()):
            part = heads[:, side]
            low = part.min(axis=1) <= self.vapour
            first = np.where(low.any(axis=0), start + low.argmax(axis=0), np.inf)
            self.broken[i] = np.minimum(self.broken[i], first)
            gone = at[:, None] >= self.broken[i]
            top, bottom = (part, part) if not gone.any() else (np.where(gone[:, None], x, part) for x in (-np.inf, np.inf))
            _keep(top, self.highest[side], self.highest_at[side], start, 1.0)
            _keep(bottom, self.lowest[side], self.lowest_at[side], start, -1.0)

    def result(self, last: np.ndarray) -> Transient:
        steps = np.arange(len(self.head))[:, None]
        head = np.where(steps >= self.broken[0], np.nan, self.head)
        behind = np.where(steps >= self.broken[1], np.nan, self.behind)
        flow = np.where(steps >= self.broken[0], np.nan, self.flow)
        return Transient(
            self.step,
            head,
            behind,
            flow,
            self.inflow,
            last,
            self.highest,
            self.highest_at * self.step,
            self.lowest,
            self.lowest_at * self.step,
            np.where(np.isinf(self.broken), np.nan, self.broken * self.step),
        )


def _keep(part: np.ndarray, best: np.ndarray, when: np.ndarray, start: int, sign: float) -> None:
    """The envelope and its times, brought up to date with one block."""
    at = (sign * part).argmax(axis=0) if sign < 0 else part.argmax(axis=0)
    value = np.take_along_axis(part, at[None], axis=0)[0]
    better = sign * value > sign * best
    np.copyto(best, value, where=better)
    np.copyto(when, at + start, where=better)
