"""One kind of disc with its curves: the models, or the maker's own test points where they are known."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from softseat.flow.curves import MODELS, KvEnds, fd_curve, fl_curve, fl_ends, kv_curve, tested_curve, xt_curve, xt_ends

Points = tuple[ArrayLike, ArrayLike]


@dataclass(frozen=True, slots=True)
class Disc:
    """Curves of a disc, each as a band (low, best, high) on a leading axis. A tested curve has three equal ends.

    ``bore`` [m] may be an array over items. ``tested_kv`` and ``tested_fl`` are (openings [deg], values) of one valve, all of this bore.
    """

    bore: ArrayLike
    tested_kv: Points | None = None
    tested_fl: Points | None = None

    @property
    def basis(self) -> str:
        return "calculated" if self.tested_kv is None else "tested"

    @property
    def source(self) -> str:
        """What the Kv curve rests on, as a paper says it."""
        return f"spread of the models {', '.join(MODELS)}" if self.tested_kv is None else "test points of the maker"

    def kv(self, opening: ArrayLike) -> np.ndarray:
        if self.tested_kv is None:
            return kv_curve(self.bore, opening)
        return _thrice(tested_curve(opening, *_from_closed(self.tested_kv)))

    def fl(self, opening: ArrayLike) -> np.ndarray:
        if self.tested_fl is None:
            return fl_curve(opening)
        at, fl = self.tested_fl
        return _thrice(np.interp(np.asarray(opening, float), np.asarray(at, float), np.asarray(fl, float)))

    def xt(self, opening: ArrayLike) -> np.ndarray:
        if self.tested_fl is None:
            return xt_curve(opening)
        best = fl_curve(opening)[1]
        return np.asarray(xt_curve(opening)[1] * np.square(self.fl(opening) / best))

    def fd(self, opening: ArrayLike) -> np.ndarray:
        return fd_curve(opening)

    def kv_ends(self) -> Callable[[np.ndarray], np.ndarray]:
        """Kv over openings (3, ...), each end of the band at its own: what a search for three openings at once asks again and again."""
        if self.tested_kv is None:
            return KvEnds(self.bore).at
        points = _from_closed(self.tested_kv)
        return lambda opening: tested_curve(opening, *points)

    def fl_ends(self, opening: np.ndarray) -> np.ndarray:
        """FL, each end of the band at openings of its own."""
        return fl_ends(opening) if self.tested_fl is None else self.fl(opening)[0]

    def xt_ends(self, opening: np.ndarray) -> np.ndarray:
        """xT, each end of the band at openings of its own."""
        return xt_ends(opening) if self.tested_fl is None else self.xt(opening)[0]


def _thrice(value: np.ndarray) -> np.ndarray:
    return np.stack([value] * 3)


def _from_closed(points: Points) -> tuple[np.ndarray, np.ndarray]:
    at, kv = (np.asarray(p, float) for p in points)
    return (at, kv) if at[0] == 0 else (np.concatenate([[0.0], at]), np.concatenate([[0.0], kv]))
