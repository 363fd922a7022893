"""Which row of a substance holds for a strength; between two listed strengths both neighbours count."""

import functools
import math

from softseat import tables
from softseat.media.lexicon import Lexicon


@functools.cache
def _near() -> float:
    """How far beyond the printed limit a strength still counts as the row."""
    row = tables.index("resistance_reading")["strength_slack"]
    return 1 + tables.number(row["value"], row["unit"])


def _beyond(number: int, share: float, lex: Lexicon) -> bool:
    """Stronger than the row; what is weaker is taken as the row (a dose of 2 ppm is no other product)."""
    high = lex.ranges[number][1]
    return not math.isnan(high) and share > high * _near()


def by_strength(ids: tuple[int, ...], concentration: float, told: bool, lex: Lexicon) -> tuple[int, tuple[int, ...], str]:
    """Row, rows that count, and what is in doubt.

    Parameters
    ----------
    ids : tuple of int
        Rows that the words point to, the likeliest first.
    concentration : float
        Strength, mass share, nan where none was said [-]
    told : bool
        The words themselves say the strength (dilute, glacial, 32).
    lex : Lexicon
        The index of names.
    """
    first = ids[0]
    family = lex.family.get(first, ())
    if math.isnan(concentration):
        if family and not told:
            return first, tuple(dict.fromkeys((*ids, *family))), "what strength (per cent by mass)?"
        return first, ids, ""
    if not family:
        doubt = f"{concentration:.3g} by mass is stronger than listed: which product is it?" if _beyond(first, concentration, lex) else ""
        return first, ids, doubt
    return _in_family(family, concentration, lex)


def _in_family(family: tuple[int, ...], share: float, lex: Lexicon) -> tuple[int, tuple[int, ...], str]:
    """Rows that hold for a strength, the weaker first where it is the limit of two."""
    inside = [n for n in family if lex.ranges[n][0] <= share <= lex.ranges[n][1]]
    if inside:
        return inside[0], tuple(inside), ""
    below = [n for n in family if lex.ranges[n][1] < share]
    above = [n for n in family if lex.ranges[n][0] > share]
    if above:
        return above[0], (*below[-1:], above[0]), ""
    last = below[-1]
    near = share <= lex.ranges[last][1] * _near()
    return last, (last,), "" if near else "stronger than any listed: which product is it?"
