"""How good the watch is: when it sees a known fault, and how often it cries for nothing."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from softseat.works.changes import change
from softseat.works.history import SIGNALS, History, practice

EVERY = 5  # strokes between two looks


@dataclass(frozen=True, slots=True)
class Seen:
    """One fault of one size, over several valves."""

    fault: str
    size: str
    found: float  # share of the valves on which it was seen, by the right signal
    strokes: float  # median from its begin until seen; nan where on less than half
    wrong: float  # share on which another signal was seen first
    valves: int


def scores(history: History, every: int = EVERY, least: bool = True) -> dict[str, np.ndarray]:
    """For each signal the score at every look, as the watch would have had it then; 0 while the change is too small to count.

    Parameters
    ----------
    history : History
        One valve.
    every : int
        Strokes between two looks.
    least : bool
        Leave out a change that is too small to matter, as the watch does.
    """
    start = int(practice("baseline") + practice("recent"))
    looks = range(start, len(history) + 1, every)
    names = [n for n in SIGNALS if n in history.signals]
    found = {n: np.zeros(len(looks)) for n in names}
    for k, count in enumerate(looks):
        now = history.upto(count)
        for name in names:
            moved = change(now, name)
            enough = not least or name == "leak" or abs(moved.now - moved.before) >= practice("effect") * abs(moved.before)
            found[name][k] = abs(moved.score) if enough and np.isfinite(moved.score) else 0.0
    return found


def first_seen(found: Mapping[str, np.ndarray], limit: float, every: int = EVERY) -> tuple[float, str]:
    """Stroke at which a score first reaches the limit, and its signal; nan where none does.

    Parameters
    ----------
    found : mapping
        From ``scores``.
    limit : float
        Score at which the watch speaks.
    every : int
        Strokes between two looks.
    """
    start = practice("baseline") + practice("recent")
    at = {n: int(np.argmax(s >= limit)) for n, s in found.items() if s.size and np.any(s >= limit)}
    if not at:
        return float("nan"), ""
    name = min(at, key=lambda n: (at[n], -float(found[n][at[n]])))
    return float(start + every * at[name]), name


def detection(
    healthy: Sequence[History],
    faulty: Mapping[tuple[str, str], Sequence[History]],
    signals: Mapping[str, Sequence[str]],
    begin: float,
    limit: float | None = None,
) -> tuple[list[Seen], float]:
    """Each fault and size: how often and how soon it is seen; and false alarms a year and valve of healthy ones.

    Parameters
    ----------
    healthy, faulty : History
        Several valves each; a year is counted by their days.
    signals : mapping
        fault -> signals that tell it rightly.
    begin : float
        Stroke at which the faults begin.
    limit : float
        Score at which the watch speaks; without it the practice table's.
    """
    at = practice("score") if limit is None else limit
    rows = []
    for (fault, size), valves in faulty.items():
        seen = [first_seen(scores(h), at) for h in valves]
        right = [s for s, name in seen if name in signals[fault] and s > begin]
        wrong = sum(bool(name) and not (name in signals[fault] and s > begin) for s, name in seen)
        middle = float(np.median(right)) - begin if len(right) * 2 > len(valves) else float("nan")
        rows.append(Seen(fault, size, len(right) / len(valves), middle, wrong / len(valves), len(valves)))
    return rows, false_alarms(healthy, at)


def false_alarms(healthy: Sequence[History], limit: float) -> float:
    """Alarms on healthy valves, a year and valve: each valve counts until its first. [1/year]"""
    alarms = years = 0.0
    for history in healthy:
        at, name = first_seen(scores(history), limit)
        last = int(at) - 1 if name else len(history) - 1
        years += float(history.days[last]) / 365.25
        alarms += bool(name)
    return alarms / years


def roc(healthy: Sequence[History], faulty: Sequence[History], limits: Sequence[float], begin: float) -> list[tuple[float, float, float]]:
    """Points (score limit, false alarms a year, share of faults seen after their begin): the price of speaking sooner, by the score alone.

    Parameters
    ----------
    healthy, faulty : History
        Several valves each.
    limits : sequence of float
        Scores at which the watch would speak.
    begin : float
        Stroke at which the fault begins.
    """
    good, bad = ([scores(h, least=False) for h in some] for some in (healthy, faulty))
    points = []
    for limit in limits:
        alarms = years = 0.0
        for history, found in zip(healthy, good, strict=True):
            at, name = first_seen(found, limit)
            years += float(history.days[int(at) - 1 if name else -1]) / 365.25
            alarms += bool(name)
        seen = [first_seen(found, limit) for found in bad]
        points.append((float(limit), alarms / years, sum(s > begin for s, _ in seen) / len(seen)))
    return points


def detection_table(rows: Sequence[Seen], alarms: float) -> str:
    """The table as text."""
    lines = [f"{'fault':12} {'size':8} {'seen':>5} {'strokes until seen':>19} {'wrong first':>12} {'valves':>7}"]
    for r in rows:
        strokes = f"{r.strokes:.0f}" if np.isfinite(r.strokes) else "-"
        lines.append(f"{r.fault:12} {r.size:8} {r.found:5.0%} {strokes:>19} {r.wrong:12.0%} {r.valves:7d}")
    return "\n".join([*lines, f"false alarms on healthy valves: {alarms:.2f} a year and valve"])
