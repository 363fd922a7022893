"""What is kept of a march: histories at the valve, envelopes along the line, and where the column has parted."""

from dataclasses import dataclass

import numpy as np

from softseat.flow.surge_line import Line


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


class Record:
    """Histories at the valve and envelopes along the line, with what lies behind a separation left out."""

    def __init__(self, line: Line, first: np.ndarray, end_head: np.ndarray, vapour: np.ndarray, steps: int) -> None:
        self.v, self.inline, self.fixed, self.vapour, self.step = line.before, line.inline, end_head, vapour, line.time_step
        self.may_boil = bool(np.isfinite(vapour).any())
        self.head, self.behind, self.flow, self.inflow = (np.empty((steps + 1, line.runs)) for _ in range(4))
        h, q = first
        self.head[0], self.behind[0] = h[self.v], h[self.v + 1] if self.inline else self.fixed
        self.flow[0] = self.inflow[0] = q[0]
        self.highest, self.lowest = h.copy(), h.copy()
        self.highest_at, self.lowest_at = np.zeros(h.shape), np.zeros(h.shape)
        self.broken = np.full((2, line.runs), np.inf)  # step of the first separation

    def add(self, fields: np.ndarray, start: int) -> None:
        """The steps from ``start`` on: heads and flows, (steps, 2, nodes, runs)."""
        heads, at = fields[:, 0], slice(start, start + len(fields))
        self.inflow[at] = fields[:, 1, 0]
        self.head[at] = heads[:, self.v]
        self.behind[at] = heads[:, self.v + 1] if self.inline else self.fixed
        if not self.may_boil:
            self._keep(heads, heads, slice(None), start)
            return
        for i, side in enumerate((slice(0, self.v + 1), slice(self.v + 1, None)) if self.inline else (slice(None),)):
            part = heads[:, side]
            low = part.min(axis=1) <= self.vapour
            first = np.where(low.any(axis=0), start + low.argmax(axis=0), np.inf)
            self.broken[i] = np.minimum(self.broken[i], first)
            gone = np.arange(start, start + len(part))[:, None] >= self.broken[i]
            top, bottom = (part, part) if not gone.any() else (np.where(gone[:, None], x, part) for x in (-np.inf, np.inf))
            self._keep(top, bottom, side, start)

    def _keep(self, top: np.ndarray, bottom: np.ndarray, side: slice, start: int) -> None:
        """The envelopes and their times, brought up to date with one block."""
        for part, value, best, when, better in (
            (top, top.max(axis=0), self.highest[side], self.highest_at[side], np.greater),
            (bottom, bottom.min(axis=0), self.lowest[side], self.lowest_at[side], np.less),
        ):
            node, run = np.nonzero(better(value, best))
            if len(node):
                best[node, run] = found = value[node, run]
                # the search for the step costs more than all the rest: only where there is something new
                when[node, run] = start + (part[:, node, run] == found).argmax(axis=0)

    def result(self, last: np.ndarray) -> Transient:
        """All that was kept, and the heads of the last step."""
        steps = np.arange(len(self.head))[:, None]
        before, behind = (steps >= b for b in self.broken)
        return Transient(
            self.step,
            np.where(before, np.nan, self.head),
            np.where(behind, np.nan, self.behind),
            np.where(before, np.nan, self.flow),
            self.inflow,
            last,
            self.highest,
            self.highest_at * self.step,
            self.lowest,
            self.lowest_at * self.step,
            np.where(np.isinf(self.broken), np.nan, self.broken * self.step),
        )
