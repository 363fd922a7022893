"""Which of the maker's parts: each candidate is put into the Sheet and judged by the very rules that give the verdict."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from softseat.register import CANNOT_SAY, HOLDS
from softseat.selection.judge import judge, severity
from softseat.sheet import DERIVED, MISSING, Sheet

STOP, UNSURE, CONDITION, ASKED = 1e6, 1e4, 100.0, 150.0


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
    complete: Callable[[Sheet], Sheet],
    keep: float = ASKED,
) -> Choice:
    """The Sheet with the cheapest candidate that no rule stops; the asked one is kept unless a rule speaks against it.

    ``asked`` holds the name that was asked for, "" where none; ``complete`` adds what a part brings before the rules look.
    """
    size = len(sheet)
    cost = np.full((len(candidates), size), np.inf)
    stopped = np.full((len(candidates), size), "", dtype="U4")
    for k, candidate in enumerate(candidates):
        cost[k], stopped[k] = _weigh(sheet, candidate, asked, rules, complete, keep)
    chosen = np.where(np.isfinite(cost.min(axis=0)), cost.argmin(axis=0), -1)
    for column in candidates[0].columns if candidates else ():
        options = np.stack([np.broadcast_to(np.asarray(c.columns[column]), (size,)) for c in candidates])
        blank = "" if options.dtype.kind == "U" else np.nan
        mark = np.where(chosen >= 0, DERIVED, MISSING).astype(np.uint8)
        sheet = sheet.adding(mark, **{column: np.where(chosen >= 0, options[chosen, np.arange(size)], blank)})
    return Choice(complete(sheet), chosen, cost, stopped, tuple(c.name for c in candidates))


def _weigh(
    sheet: Sheet, candidate: Candidate, asked: np.ndarray, rules: Sequence[str], complete: Callable[[Sheet], Sheet], keep: float
) -> tuple[np.ndarray, np.ndarray]:
    size = len(sheet)
    trial = sheet.adding(DERIVED, **{n: np.broadcast_to(np.asarray(v), (size,)) for n, v in candidate.columns.items()})
    judged = judge(complete(trial), rules)
    cost = np.broadcast_to(np.asarray(candidate.rank, float), (size,)).copy()
    stopped = np.full(size, "", dtype="U4")
    weights = severity()
    for rule, said in judged.items():
        holds, unsure = said == HOLDS, said == CANNOT_SAY
        if weights[rule] == "stop":
            cost += STOP * holds + UNSURE * unsure
            stopped = np.where((stopped == "") & (holds | unsure), rule, stopped)
        elif weights[rule] == "query":
            cost += UNSURE * holds
        else:
            cost += CONDITION * holds
    cost -= keep * ((asked == candidate.name) & (asked != ""))
    return np.where(candidate.available, cost, np.inf), stopped
