"""Which of the maker's parts: each candidate is put into the Sheet and judged by the very rules that give the verdict."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from softseat.register import CANNOT_SAY, HOLDS
from softseat.selection.judge import judge, severity
from softseat.selection.trial import trial
from softseat.sheet import DERIVED, MISSING, Sheet

STOP, UNSURE, CONDITION, ASKED = 1e6, 1e4, 100.0, 150.0
TOGETHER = 16384  # trials that are judged at once: enough to be quick, few enough to stay in the cache
Complete = Callable[[Sheet], Sheet]
First = tuple[Sequence[str], Complete]  # rules that need little, and what brings it


@dataclass(frozen=True, slots=True)
class Candidate:
    """One part that could be put in: the columns it sets, where it can be had, and its rank in cost (1 low)."""

    name: str
    columns: Mapping[str, str | float | np.ndarray]  # one value, or one for each item
    available: np.ndarray  # bool (items,)
    rank: float | np.ndarray


@dataclass(frozen=True, slots=True)
class Choice:
    """What was put in, and for each candidate why (or why not): cost and the first rule that stopped it."""

    sheet: Sheet
    chosen: np.ndarray  # index of the candidate, -1 where none can be had
    cost: np.ndarray  # (candidates, items)
    stopped_by: np.ndarray  # (candidates, items) rule that stops or cannot be ruled out, "" where none
    names: tuple[str, ...]


def choose(
    sheet: Sheet,
    candidates: Sequence[Candidate],
    asked: np.ndarray,
    rules: Sequence[str],
    complete: Complete,
    keep: float = ASKED,
    thorough: bool = True,
    first: First | None = None,
    last: Complete | None = None,
) -> Choice:
    """The Sheet with the cheapest candidate that no rule stops; the asked one is kept unless a rule speaks against it.

    ``asked`` holds the name that was asked for, "" where none; ``complete`` adds what a part brings before the rules look.
    Not ``thorough``, a candidate that cannot be the cheapest any more is not weighed: the same choice, without its cost; those of
    ``rules`` that stand in ``first`` tell beforehand what a candidate costs at least. ``last`` completes the choice in another way.
    """
    size = len(sheet)
    cost = np.full((len(candidates), size), np.inf)
    stopped = np.full((len(candidates), size), "", dtype="U4")
    names = np.array([c.name for c in candidates], dtype=np.str_)
    wanted = (names[:, None] == asked) & (asked != "")
    ranks = np.array([np.broadcast_to(np.asarray(c.rank, float), (size,)) for c in candidates]).reshape(cost.shape)
    ranks = np.where(wanted, np.fmin(ranks, 0.0), ranks)  # what is asked for is not dear
    bonus = keep * wanted
    least = np.where([c.available for c in candidates], ranks - bonus, np.inf)
    if first is not None and not thorough:
        for at in _batches(*np.nonzero(np.isfinite(least))):
            least[at] = _weigh(sheet, candidates, *at, ranks[at], *first)[0] - bonus[at]
    for which, rows in _rounds(least, cost, thorough):
        for at in _batches(which, rows):
            added, stopped[at] = _weigh(sheet, candidates, *at, ranks[at], rules, complete)
            cost[at] = added - bonus[at]
    chosen = np.where(np.isfinite(cost.min(axis=0)), cost.argmin(axis=0), -1)
    for column in candidates[0].columns if candidates else ():
        option = _put_in(candidates, column, chosen, np.arange(size), size)
        blank = "" if option.dtype.kind == "U" else np.nan
        mark = np.where(chosen >= 0, DERIVED, MISSING).astype(np.uint8)
        sheet = sheet.adding(mark, **{column: np.where(chosen >= 0, option, blank)})
    return Choice((last or complete)(sheet), chosen, cost, stopped, tuple(c.name for c in candidates))


def _batches(which: np.ndarray, rows: np.ndarray) -> Iterator[tuple[np.ndarray, np.ndarray]]:
    for start in range(0, which.size, TOGETHER):
        yield which[start : start + TOGETHER], rows[start : start + TOGETHER]


def _rounds(least: np.ndarray, cost: np.ndarray, thorough: bool) -> Iterator[tuple[np.ndarray, np.ndarray]]:
    """Candidates and items to be weighed next: all at once, or the most promising first for as long as one could still win."""
    if thorough:
        which, rows = np.nonzero(np.isfinite(least))
        yield which, rows
        return
    left = np.where(np.isfinite(least), least, np.inf)
    order = np.arange(len(least))[:, None]
    while left.size:
        best, at = cost.min(axis=0), cost.argmin(axis=0)
        left = np.where((left < best) | ((left == best) & (order < at)), left, np.inf)
        rows = np.flatnonzero(np.isfinite(left).any(axis=0))
        if not rows.size:
            return
        which = left[:, rows].argmin(axis=0)
        left[which, rows] = np.inf
        yield which, rows


def _put_in(candidates: Sequence[Candidate], column: str, which: np.ndarray, rows: np.ndarray, size: int) -> np.ndarray:
    """What each trial has in this column."""
    values = [np.asarray(c.columns[column]) for c in candidates]
    if all(v.ndim == 0 for v in values):
        return np.array(values)[which]
    return np.stack([np.broadcast_to(v, (size,)) for v in values])[which, rows]


def _weigh(
    sheet: Sheet,
    candidates: Sequence[Candidate],
    which: np.ndarray,
    rows: np.ndarray,
    cost: np.ndarray,
    rules: Sequence[str],
    complete: Complete,
) -> tuple[np.ndarray, np.ndarray]:
    """Cost of each trial without the bonus of what was asked, and the first rule that stops it or cannot be ruled out."""
    columns = {name: _put_in(candidates, name, which, rows, len(sheet)) for name in candidates[0].columns}
    judged = judge(complete(trial(sheet, rows).adding(DERIVED, **columns)), rules)
    stopped = np.full(rows.size, "", dtype="U4")
    weights = severity()
    for rule, said in judged.items():
        holds, unsure = said == HOLDS, said == CANNOT_SAY
        if weights[rule] == "stop":
            cost = cost + (STOP * holds + UNSURE * unsure)
            stopped = np.where((stopped == "") & (holds | unsure), rule, stopped)
        elif weights[rule] == "query":
            cost = cost + UNSURE * holds
        else:
            cost = cost + CONDITION * holds
    return cost, stopped
