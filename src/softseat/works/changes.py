"""Whether one signal of a valve changed between its first strokes and its last, by how much, and since when."""

from dataclasses import dataclass

import numpy as np

from softseat.works.history import History, practice
from softseat.works.lines import spread_of, theil_sen

NORMAL_MEDIAN = 1.2533  # standard error of a median over that of a mean: sqrt(pi/2)


@dataclass(frozen=True, slots=True)
class Change:
    """One signal then and now."""

    signal: str
    score: float
    before: float
    now: float
    values: np.ndarray  # without outliers and the effect of temperature or supply
    silent: str = ""

    @property
    def seen(self) -> bool:
        """True where it moved by enough, surely enough."""
        least = practice("effect") * abs(self.before) if self.signal != "leak" else 0.0
        return bool(abs(self.score) >= practice("score") and abs(self.now - self.before) >= least)


def change(history: History, signal: str) -> Change:
    """One signal of the first strokes held against the last."""
    raw = history.signals[signal]
    first, last = int(practice("baseline")), int(practice("recent"))
    nothing = (signal, float("nan"), float("nan"), float("nan"), raw)
    if np.isfinite(raw).sum() < first + last:
        return Change(*nothing, f"{signal}: {int(np.isfinite(raw).sum())} strokes logged; {first + last} are needed")
    if np.mean(~np.isfinite(raw)) > practice("gap_share"):
        return Change(*nothing, f"{signal}: more gaps than strokes")
    values = _without_outliers(_adjusted(history, signal))
    there = values[np.isfinite(values)]
    then, now = there[:first], there[-last:]
    scatter = spread_of(then - _straight(then))
    floor = 1e-6 * abs(float(np.median(then))) or 1e-30
    error = NORMAL_MEDIAN * max(scatter, floor) * np.sqrt(1 / first + 1 / last)
    before, after = float(np.median(then)), float(np.median(now))
    return Change(signal, (after - before) / error, before, after, values)


def _straight(values: np.ndarray) -> np.ndarray:
    """The robust straight line through a short row."""
    at = np.arange(values.size, dtype=float)
    line = theil_sen(at, values, practice("coverage"))
    return np.asarray(line.intercept + line.slope * at)


def _adjusted(history: History, signal: str) -> np.ndarray:
    """Without what the temperature does to rubber, and the supply to the time of a cylinder."""
    raw = history.signals[signal]
    by = "supply" if signal == "stroke_time" else "temperature" if signal in ("seat", "torque", "run", "current") else ""
    beside = history.signals.get(by) if by else None
    if beside is None or np.isfinite(beside).sum() < practice("baseline"):
        return raw
    span = float(np.nanpercentile(beside, 95) - np.nanpercentile(beside, 5))
    if by == "temperature" and span < practice("temperature_span"):
        return raw
    kept = np.flatnonzero(np.isfinite(raw) & np.isfinite(beside))
    kept = kept[np.unique(np.linspace(0, kept.size - 1, int(practice("thin"))).round().astype(int))]
    x, t, y = beside[kept], kept.astype(float), raw[kept]
    effect, trend = 0.0, np.zeros(y.size)
    for _ in range(4):  # time and temperature in turn, each from what the other leaves; in time a step or a line
        effect = float(np.nan_to_num(theil_sen(x, y - trend, practice("coverage")).slope))
        trend = _in_time(t, y - effect * x)
    off = beside - np.nanmedian(beside[: int(practice("baseline"))])
    return np.where(np.isfinite(off), raw - effect * np.nan_to_num(off), raw)


def _in_time(at: np.ndarray, values: np.ndarray) -> np.ndarray:
    """What time does: two levels, or a straight line."""
    since, step = change_point(at, values)
    if not step:
        return theil_sen(at, values, practice("coverage")).slope * at
    return np.where(at < since, np.median(values[at < since]), np.median(values[at >= since]))


def _without_outliers(values: np.ndarray) -> np.ndarray:
    """A single wild stroke is set aside; a change that stays is kept."""
    there = np.flatnonzero(np.isfinite(values))
    row = values[there]
    if row.size < 7:
        return values
    near = np.median(np.lib.stride_tricks.sliding_window_view(np.pad(row, 3, mode="reflect"), 7), axis=1)
    off = row - near
    wild = np.abs(off) > practice("outlier") * max(spread_of(off), 1e-9 * float(np.abs(near).max()))
    cleaned = values.copy()
    cleaned[there[wild]] = np.nan
    return cleaned


def change_point(x: np.ndarray, y: np.ndarray) -> tuple[float, bool]:
    """Where a signal changed, and whether in one step.

    Parameters
    ----------
    x, y : ndarray
        Stroke number and signal; pairs with a nan are left out.

    Notes
    -----
    The place is where the rank sum of what comes before departs most from an even row (Pettitt, Applied Statistics 28 (1979) 126).
    It is a step where two levels leave less behind than a straight line does, by the sum of distances.
    """
    kept = np.isfinite(x) & np.isfinite(y)
    x, y = x[kept], y[kept]
    if y.size < 8:
        return float("nan"), False
    rank = np.argsort(np.argsort(y)) + 1.0
    count = np.arange(1, y.size + 1)
    place = int(np.argmax(np.abs(2 * np.cumsum(rank) - count * (y.size + 1))[:-1])) + 1
    levels = np.abs(y[:place] - np.median(y[:place])).sum() + np.abs(y[place:] - np.median(y[place:])).sum()
    line = theil_sen(thinned(x), thinned(y), 0.9)
    straight = np.abs(y - line.intercept - line.slope * x).sum()
    step = bool(levels < straight)
    return float(x[place] if step else x[_leaves(y)]), step


def _leaves(y: np.ndarray) -> int:
    """First stroke from which the running median stays outside the scatter of the first strokes."""
    first = y[: int(practice("baseline"))]
    width = 5
    if y.size <= width:
        return 0
    running = np.median(np.lib.stride_tricks.sliding_window_view(y, width), axis=1)
    inside = np.flatnonzero(np.abs(running - np.median(first)) <= 2 * spread_of(first))
    return int(min((inside[-1] + 1 + width // 2) if inside.size else 0, y.size - 1))


def thinned(row: np.ndarray) -> np.ndarray:
    """A long row by every k-th stroke, so that pairs stay countable."""
    return row[:: max(1, row.size // 300)]
