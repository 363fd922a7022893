"""From what the cells say to the Sheet: every field a column, each value with its state, its cell and its reason."""

from collections.abc import Iterable, Mapping

import numpy as np

from softseat.enquiry.fieldtable import columns, empty
from softseat.enquiry.reading import Said
from softseat.sheet import ASSUMED, GIVEN, MISSING, UNREADABLE, Origin, Sheet
from softseat.units import LARGEST

_JOINED = ("remarks", "excursion", "accessories", "service", "liner_typed", "approvals")
_KINDS = ("", "gauge", "absolute", "unsaid")  # the least sure one speaks for the row
_MOST_LETTERS = 16_000_000  # of one text column: longer cells are cut in the Sheet, not in their origin


class Gathering:
    """Values of items, gathered cell by cell; what a cell says beside its own field waits until all have spoken."""

    def __init__(self, count: int) -> None:
        self.count = count
        self.said: dict[str, list[Said | None]] = {}
        self.origin: dict[tuple[int, str], Origin] = {}
        self.waiting: list[tuple[int, Said, Origin | None]] = []

    def take(self, n: int, said: Iterable[Said], own: frozenset[str], origin: Origin | None) -> None:
        """What one cell says of item ``n``; ``own`` are the fields of its column."""
        for one in said:
            if isinstance(one.value, float) and not abs(one.value) <= LARGEST:
                one = Said(one.name, "", UNREADABLE, "no number that can be used")  # noqa: PLW2901
            if one.name in own:
                self._put(n, one, origin)
            else:
                self.waiting.append((n, one, origin))

    def _put(self, n: int, one: Said, origin: Origin | None) -> None:
        column = self.said.get(one.name)
        if column is None:
            column = self.said[one.name] = [None] * self.count
        before = column[n]
        if before is not None:
            joined = _together(before, one)
            if joined is before:
                return
            one = joined
        column[n] = one
        if origin is not None:
            self.origin.setdefault((n, one.name), origin)

    def settle(self, mapped: frozenset[str]) -> None:
        """Lets speak what waited: first what is said, then what is assumed of fields that have no column."""
        assumed = []
        for n, one, origin in self.waiting:
            if one.inferred:
                assumed.append((n, one))
            else:
                self._put(n, one, origin)
        for n, one in assumed:
            if one.name not in mapped:
                self._put(n, one, None)
        self.waiting = []

    def fill(self, name: str, values: Mapping[int, Said]) -> None:
        for n, one in values.items():
            self._put(n, one, None)

    def sheet(self) -> Sheet:
        """All columns of the enquiry, also those of which nothing is known."""
        values: dict[str, np.ndarray] = {}
        state: dict[str, np.ndarray] = {}
        why: dict[tuple[int, str], str] = {}
        for name, kind in columns().items():
            said = self.said.get(name)
            if said is None:
                values[name] = empty(name, self.count)
                state[name] = np.full(self.count, GIVEN if kind == "flag" else MISSING, np.uint8)
                continue
            values[name] = _column(said, kind, self.count)
            nothing = GIVEN if kind == "flag" else MISSING
            state[name] = np.array([nothing if s is None else s.state for s in said], np.uint8)
            why.update({(n, name): s.why for n, s in enumerate(said) if s is not None and s.why})
        return Sheet(values, state, self.origin, why)


def _together(before: Said, one: Said) -> Said:
    """Two cells of one row that speak of the same name."""
    if one.name == "p_kind":
        return max(before, one, key=lambda s: _KINDS.index(str(s.value)))
    if one.name == "p_min" and not isinstance(before.value, str) and not isinstance(one.value, str):
        return min(before, one, key=lambda s: float(s.value))
    if one.name in _JOINED and str(one.value) not in str(before.value):
        return before._replace(value=f"{before.value}; {one.value}")
    if before.state == ASSUMED and one.state == GIVEN and one.name not in _JOINED:
        return one
    return before


def _column(said: list[Said | None], kind: str, count: int) -> np.ndarray:
    if kind == "number":
        return np.array([np.nan if s is None or isinstance(s.value, str) else float(s.value) for s in said])
    if kind == "flag":
        return np.array([s is not None and bool(s.value) for s in said], bool)
    most = max(40, _MOST_LETTERS // max(1, count))
    return np.array(["" if s is None else str(s.value)[:most] for s in said], np.str_)
