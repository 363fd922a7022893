"""The one type that travels: named arrays over items, what is known of each value, and where it came from."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from itertools import repeat
from typing import Any

import numpy as np

MISSING, GIVEN, ASSUMED, DERIVED, UNREADABLE = range(5)
STATES = ("missing", "given", "assumed", "derived", "unreadable")
ENDS = {"low": 0, "best": 1, "high": 2}


@dataclass(frozen=True, slots=True)
class Origin:
    """The cell that a value was read from, as the buyer typed it."""

    sheet: str
    row: int
    column: str
    text: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """Values in SI under the names of the vocabulary; a value with a band has a leading axis (low, best, high).

    Numbers are float arrays (nan where there is none), words are unicode arrays ("" where there is none), flags are bool.
    Every column has its ``state`` for each item; ``origin`` is sparse: (item, name) -> the cell.
    ``why`` is sparse too: (item, name) -> the reason of an assumption.
    """

    values: Mapping[str, np.ndarray]
    state: Mapping[str, np.ndarray]
    origin: Mapping[tuple[int, str], Origin] = field(default_factory=dict)
    why: Mapping[tuple[int, str], str] = field(default_factory=dict)

    def __len__(self) -> int:
        return next((v.shape[-1] for v in self.values.values()), 0)

    def __contains__(self, name: str) -> bool:
        return name in self.values

    def __getitem__(self, name: str) -> np.ndarray:
        return self.values[name]

    def end(self, name: str, worst: str = "best") -> np.ndarray:
        """The value itself, or that end of its band which the question at hand calls the bad one."""
        value = self.values[name]
        return value[ENDS[worst]] if value.ndim == 2 else value

    def known(self, *names: str) -> np.ndarray:
        """True for the items of which every one of these values is there."""
        there = np.ones(len(self), bool)
        for name in names:
            if name not in self.state:
                return np.zeros(len(self), bool)
            state = self.state[name]
            there &= (state != MISSING) & (state != UNREADABLE)
        return there

    def adding(self, state: int | np.ndarray = DERIVED, **columns: np.ndarray) -> "Sheet":
        """A new Sheet with these columns; what was asked is never changed in place."""
        marks = {n: np.broadcast_to(np.asarray(state, np.uint8), c.shape[-1:]).copy() for n, c in columns.items()}
        return replace(self, values={**self.values, **columns}, state={**self.state, **marks})

    def filling(self, name: str, where: np.ndarray, value: Any, state: int = ASSUMED, reason: str = "") -> "Sheet":
        """A new Sheet in which ``name`` has ``value`` at the items of ``where``, marked and with its reason."""
        old = self.values[name]
        new = np.asarray(value)
        kind = np.result_type(old, new) if old.dtype.kind == "U" else old.dtype
        column = np.where(where, new.astype(kind), old.astype(kind))
        mark = np.where(where, np.uint8(state), self.state[name]).astype(np.uint8)
        why = {**self.why, **dict.fromkeys(zip(np.flatnonzero(where).tolist(), repeat(name)), reason)} if reason else self.why
        return replace(self, values={**self.values, name: column}, state={**self.state, name: mark}, why=why)

    def take(self, rows: np.ndarray) -> "Sheet":
        """The Sheet of these items, in this order."""
        place = {int(r): i for i, r in enumerate(rows)}
        return Sheet(
            {k: v[..., rows] for k, v in self.values.items()},
            {k: s[rows] for k, s in self.state.items()},
            {(place[i], k): o for (i, k), o in self.origin.items() if i in place},
            {(place[i], k): w for (i, k), w in self.why.items() if i in place},
        )

    def take_many(self, rows: np.ndarray) -> "Sheet":
        """As ``take``, for rows of which some stand more than once."""
        places: dict[int, list[int]] = {}
        for place, row in enumerate(rows):
            places.setdefault(int(row), []).append(place)
        return Sheet(
            {k: v[..., rows] for k, v in self.values.items()},
            {k: s[rows] for k, s in self.state.items()},
            {(p, k): o for (i, k), o in self.origin.items() for p in places.get(i, ())},
            {(p, k): w for (i, k), w in self.why.items() for p in places.get(i, ())},
        )

    def item(self, n: int) -> "Sheet":
        """The Sheet of one item: what ``explain`` works on, through the very functions that decided."""
        return self.take(np.array([n]))
