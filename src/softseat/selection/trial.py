"""Some items of a Sheet, each with a part put in on trial: only the columns that a rule really reads are copied."""

from collections.abc import Iterator, Mapping

import numpy as np

from softseat.sheet import DERIVED, Sheet

Columns = Mapping[str, np.ndarray]


class _Rows(Mapping[str, np.ndarray]):
    """Columns of some items, copied when they are first asked for; ``own`` are those that the trial brings."""

    __slots__ = ("base", "copied", "own", "rows")

    def __init__(self, base: Columns, rows: np.ndarray, own: Columns, copied: dict[str, np.ndarray]) -> None:
        self.base, self.rows, self.own, self.copied = base, rows, own, copied

    def __getitem__(self, name: str) -> np.ndarray:
        if name in self.own:
            return self.own[name]
        if name not in self.copied:
            self.copied[name] = self.base[name][..., self.rows]
        return self.copied[name]

    def __contains__(self, name: object) -> bool:
        return name in self.own or name in self.base

    def __iter__(self) -> Iterator[str]:
        yield from self.own
        yield from (name for name in self.base if name not in self.own)

    def __len__(self) -> int:
        return len(self.base) + sum(name not in self.base for name in self.own)

    def adding(self, columns: Columns) -> "_Rows":
        return _Rows(self.base, self.rows, {**self.own, **columns}, self.copied)


class Trial(Sheet):
    """A Sheet of rows of another one, of which some may stand more than once; it keeps no origins and no reasons."""

    __slots__ = ()

    def __len__(self) -> int:
        return int(self.rows.size)

    @property
    def rows(self) -> np.ndarray:
        """Place of each item in the Sheet that it was taken from."""
        return self.values.rows  # type: ignore[attr-defined]

    def changed(self, sheet: Sheet) -> set[str]:
        """Columns that may be otherwise than in that Sheet of all the items."""
        own, base, state = self.values.own, self.values.base, self.state.base  # type: ignore[attr-defined]
        return {n for n in sheet.values if n in own or (n in base and not (base[n] is sheet.values[n] and state[n] is sheet.state[n]))}

    def adding(self, state: int | np.ndarray = DERIVED, **columns: np.ndarray) -> "Trial":
        """As of any Sheet; only the new columns are held."""
        marks = {n: np.broadcast_to(np.asarray(state, np.uint8), c.shape[-1:]) for n, c in columns.items()}
        return Trial(self.values.adding(columns), self.state.adding(marks))  # type: ignore[attr-defined]


def trial(sheet: Sheet, rows: np.ndarray) -> Trial:
    """These items of a Sheet, to be tried."""
    return Trial(_Rows(sheet.values, rows, {}, {}), _Rows(sheet.state, rows, {}, {}))
