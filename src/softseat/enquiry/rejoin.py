"""Rows of a text table that an unquoted delimiter has broken: the cells are put together again where they fit best."""

import re
from collections.abc import Sequence

_KINDS = (("empty", re.compile(r"\s*$")), ("figure", re.compile(r"\s*[-+<>~]?\s*\d")), ("word", re.compile(r"")))


def profile(rows: Sequence[list[str]], width: int) -> list[dict[str, float]]:
    """For each column how often its cells are empty, begin with a figure, or are words; from rows of the right width."""
    whole = [r for r in rows if len(r) == width][:500]
    return [{kind: sum(_kind(r[i]) == kind for r in whole) / max(1, len(whole)) for kind, _ in _KINDS} for i in range(width)]


def _kind(cell: str) -> str:
    return next(kind for kind, form in _KINDS if form.match(cell))


def rejoined(row: list[str], width: int, delimiter: str, expected: list[dict[str, float]], texts: Sequence[int]) -> tuple[list[str], int]:
    """The row in the right width, and the column that was put together.

    Every column is tried; a tie goes to the last column of free text, as that is where people type delimiters.
    """
    extra = len(row) - width
    tries = []
    for place in range(width):
        joined = [*row[:place], delimiter.join(row[place : place + extra + 1]), *row[place + extra + 1 :]]
        fit = sum(expected[i][_kind(c)] for i, c in enumerate(joined))
        digits_parted = delimiter == "," and re.fullmatch(r"\s*-?\d{1,3}(,\d+)+\b.*", joined[place]) is not None
        tries.append((round(fit, 6) + 0.25 * digits_parted + 0.2 * (place in texts), place, joined))
    _, place, joined = max(tries, key=lambda t: (t[0], t[1]))
    return joined, place
