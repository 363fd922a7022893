"""Which items a change has moved: the others need not be explained again."""

from collections import defaultdict
from collections.abc import Mapping
from typing import Any, Protocol

import numpy as np

from softseat.enquiry.reader import Enquiry
from softseat.selection.decide import Decision
from softseat.sheet import Sheet


class Stood(Protocol):
    """An enquiry as read and decided."""

    @property
    def read(self) -> Enquiry: ...

    @property
    def decision(self) -> Decision: ...


def grouped(decision: Decision) -> tuple[Mapping[int, dict[str, str]], Mapping[int, dict[str, Any]]]:
    """Reasons and cells of each item."""
    why: dict[int, dict[str, str]] = defaultdict(dict)
    cells: dict[int, dict[str, Any]] = defaultdict(dict)
    for (n, name), reason in decision.asked.why.items():
        why[n][name] = reason
    for (n, name), cell in decision.asked.origin.items():
        cells[n][name] = cell
    return why, cells


def unmoved(before: Stood, now: Stood) -> np.ndarray:
    """True for each item of which every value, state, reason and cell is what it was; never where an item came or went."""
    count = len(now.read.rows)
    if before.read.rows != now.read.rows:
        return np.zeros(count, bool)
    same = np.ones(count, bool)
    for one, other in ((before.decision.asked, now.decision.asked), (before.decision.offered, now.decision.offered)):
        same &= _alike(one, other)
    for old, new in zip(grouped(before.decision), grouped(now.decision), strict=True):
        same &= np.array([old.get(n) == new.get(n) for n in range(count)], bool)
    return same


def _alike(one: Sheet, other: Sheet) -> np.ndarray:
    if one.values.keys() != other.values.keys():
        return np.zeros(len(other), bool)
    same = np.ones(len(other), bool)
    for name, value in other.values.items():
        equal = _equal(one.values[name], value)
        same &= equal.all(axis=tuple(range(equal.ndim - 1))) if equal.ndim > 1 else equal
        same &= one.state[name] == other.state[name]
    return same


def _equal(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    if a.shape != b.shape:
        return np.zeros(b.shape, bool)
    if a.dtype.kind == "f" and b.dtype.kind == "f":
        return np.asarray((a == b) | (np.isnan(a) & np.isnan(b)))
    return np.asarray(a == b)
