"""Which row of a substance holds for a strength; between two listed strengths both neighbours count."""

import math

from softseat.media.lexicon import Lexicon

_NEAR = 1.05  # a strength this much beyond the printed limit still counts as the row


def _holds(number: int, share: float, lex: Lexicon) -> bool:
    low, high = lex.ranges[number]
    return low <= share <= high * _NEAR if not math.isnan(low) else True


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
    for number in ids:
        if not math.isnan(lex.ranges[number][0]) and _holds(number, concentration, lex):
            return number, (number,), ""
    if not family:
        doubt = (
            "" if _holds(first, concentration, lex) else f"{concentration:.3g} by mass is outside the listed strength: which product is it?"
        )
        return first, ids, doubt
    return _in_family(family, concentration, lex)


def _in_family(family: tuple[int, ...], share: float, lex: Lexicon) -> tuple[int, tuple[int, ...], str]:
    for number in family:
        low, high = lex.ranges[number]
        if low <= share <= high:
            return number, (number,), ""
    below = [n for n in family if lex.ranges[n][1] < share]
    above = [n for n in family if lex.ranges[n][0] > share]
    if not above:
        return (
            below[-1],
            (below[-1],),
            "" if share <= lex.ranges[below[-1]][1] * _NEAR else "stronger than any listed: which product is it?",
        )
    if not below:
        return above[0], (above[0],), ""
    return above[0], (below[-1], above[0]), ""
