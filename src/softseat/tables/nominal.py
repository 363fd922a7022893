"""Nominal sizes and the words of the trade, as typed and as the tables have them."""

import functools
import re
from collections.abc import Callable, Iterable
from typing import TypeVar

import numpy as np
import numpy.typing as npt

from softseat.errors import InputError, UnknownName
from softseat.tables import read

R = TypeVar("R")
_FRACTION = re.compile(r"(?:(\d+)[ -]+)?(\d+)/([1-9]\d*)|(\d+(?:[.,]\d+)?)")


@functools.cache
def _dn_of_nps() -> dict[float, float]:
    return {_inches(row["nps"]): float(row["dn"]) for row in read("nominal_sizes")}


@functools.lru_cache(maxsize=8192)
def plain(text: str) -> str:
    """A word without blanks, dots, dashes and case: ``PN 16`` and ``pn16`` are one."""
    return re.sub(r"[\s._-]", "", str(text)).upper()


def _inches(text: str) -> float:
    """``2``, ``2.5``, ``2 1/2`` or ``2-1/2``; nan where it is none of them."""
    found = _FRACTION.fullmatch(text.strip())
    if found is None:
        return float("nan")
    whole, over, under, number = found.groups()
    return float(number.replace(",", ".")) if number else float(whole or 0) + float(over) / float(under)


def dn(size: str | float) -> float:
    """The DN number of a size as written: ``DN200``, ``DN 200``, ``200A``, ``NPS 8``, ``8 in``, ``8"``; a bare number is a DN.

    Raises
    ------
    InputError
        Where the size cannot be read, or the NPS has no DN.
    """
    text = str(size).strip()
    bare = re.fullmatch(r"(?:DN|ND|NW)?\s*(\d+(?:\.0*)?)\s*A?", text, re.I)
    if bare:
        return float(bare.group(1))
    inch = re.sub(r"(?i)^NPS|(?:inch(?:es)?|in\.?|\"|”|″)$", "", text)
    number = _inches(inch)
    if inch == text or number not in _dn_of_nps():
        raise InputError(f"size {size!r} is not a nominal size; write it as DN200, 200A, NPS 8 or 8 in")
    return _dn_of_nps()[number]


def nps(dn: npt.ArrayLike) -> np.ndarray:
    """NPS of a DN; nan where there is none."""
    by_dn = {d: n for n, d in _dn_of_nps().items()}
    sizes = np.asarray(dn, float)
    return np.array([by_dn.get(float(d), np.nan) for d in sizes.ravel()]).reshape(sizes.shape)


@functools.cache
def words(subject: str) -> dict[str, str]:
    """Every word of a subject (flange, series, pipe, rating, test), made plain, and the word of the tables."""
    return {plain(row["word"]): row["key"] for row in read("piping_words") if row["subject"] == subject}


def known(subject: str, field: str, word: str) -> str:
    """The word of the tables for a word as typed.

    Raises
    ------
    UnknownName
        Naming the field, the word and what is known.
    """
    try:
        return words(subject)[plain(word)]
    except KeyError:
        raise UnknownName(f"{field} {word!r} is not known; known are {listed(words(subject).values())}") from None


def listed(allowed: Iterable[str]) -> str:
    """Words for a sentence, each once, in the order in which they came."""
    return ", ".join(dict.fromkeys(allowed))


def class_word(function: Callable[..., R]) -> Callable[..., R]:
    """Lets a caller say ``class``, which Python keeps for itself, where the function has to say ``class_``."""

    @functools.wraps(function)
    def called(*args: object, **kwargs: object) -> R:
        if "class" in kwargs:
            kwargs["class_"] = kwargs.pop("class")
        return function(*args, **kwargs)

    return called
