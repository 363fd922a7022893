"""A cell of figures taken apart: numbers with their units, ranges, the words beside them.

``18-36/45`` has two slots, the first with two ends; ``6.0 / 10 (P2 = 0.3)`` three, the last aside with the word p2.
"""

import functools
import re
from dataclasses import dataclass, field

from softseat.enquiry.folding import plain
from softseat.errors import InputError
from softseat.units import NUMBER, find, number

_LONGEST = 16  # characters of the longest spelling of a unit
_TO = re.compile(r"\s*(?:\.{2,3}|…|÷|–|—|~|±|-|\bto\b|\bbis\b|\bau\b|\bal\b|\bà\b|\ba\b|\bthru\b)\s*", re.I)
_WORD = re.compile(r"[^\W\d_]+\d?\.?|<=?|>=?|≤|≥|≈|~|%")
_SLOT = re.compile(r"\s*(?:[/;|]|,\s)\s*")
_SIGNS = {"<": "max", "<=": "max", "≤": "max", ">": "min", ">=": "min", "≥": "min"}


@dataclass(frozen=True, slots=True)
class Amount:
    value: float
    unit: str  # "" where none stands beside it
    note: str = ""


@dataclass(slots=True)
class Slot:
    """One figure of a cell, or the two ends of a range, with its words (small letters, without dots)."""

    amounts: list[Amount] = field(default_factory=list)
    words: list[str] = field(default_factory=list)
    aside: bool = False  # in round brackets
    range: bool = False
    half: bool = False  # the second figure is half the width of the range


def slots(text: str, dimensions: tuple[str, ...], decimal: str = "") -> list[Slot]:
    """The slots of a cell in their order; numbers without a unit take that of the next one in the cell."""
    found = [Slot()]
    at, level, joined = 0, 0, False
    led = re.match(r"\s*[^\W\d_]", text) is not None  # words stand before their figures: "min 5 max 20"
    while at < len(text):
        slot = found[-1]
        if text[at].isspace():
            at += 1
        elif text[at] in "([":
            level, at = level + 1, at + 1
            found.append(Slot(aside=True))
        elif text[at] in ")]":
            level, at = max(0, level - 1), at + 1
            found.append(Slot(aside=level > 0))
        elif slot.amounts and not joined and (to := _TO.match(text, at)) and to.group().strip():
            slot.half = slot.half or "±" in to.group()
            joined, at = _joins(text, to.end()), to.end()
            if not joined:
                slot.words.append(plain(to.group()))
        elif amount := _amount(text, at, dimensions, decimal):
            _place(found, amount[0], joined, level > 0)
            joined, at = False, amount[1]
        elif cut := _SLOT.match(text, at):
            found.append(Slot(aside=level > 0))
            joined, at = False, cut.end()
        elif large := NUMBER.match(text, at):  # too large to be a number: its last digits are none either
            slot.words.append(large.group())
            joined, at = False, large.end()
        else:
            word = _WORD.match(text, at)
            if word and led and slot.amounts and re.match(r"\s*[=:]?\s*[+-]?\d", text[word.end() :]):
                found.append(slot := Slot(aside=level > 0))
            if word:
                slot.words.append(_SIGNS.get(word.group(), plain(word.group()).rstrip(".")))
            at = word.end() if word else at + 1
    return _united([s for s in found if s.amounts or s.words])


def _joins(text: str, at: int) -> bool:
    """A range goes on only where a number, or a word for one, follows."""
    return NUMBER.match(text, at) is not None


def _place(found: list[Slot], amount: Amount, joined: bool, aside: bool) -> None:
    slot = found[-1]
    if slot.amounts and not joined:
        found.append(slot := Slot(aside=aside))
    if joined and slot.half:
        middle = slot.amounts.pop()
        slot.amounts.append(Amount(middle.value - amount.value, middle.unit, middle.note))
        amount = Amount(middle.value + amount.value, amount.unit, amount.note)
    slot.amounts.append(amount)
    slot.range = slot.range or joined


def _amount(text: str, at: int, dimensions: tuple[str, ...], decimal: str) -> tuple[Amount, int] | None:
    """The number at this place with the longest unit behind it, and where it ends."""
    body = NUMBER.match(text, at)
    if body is None:
        return None
    try:
        value, note = number(body.group(), decimal or None)
    except InputError:
        return None
    end = body.end()
    behind = text[end : end + _LONGEST + 4]
    start = len(behind) - len(behind.lstrip())
    unit, length = leading_unit(behind[start : start + _LONGEST + 1], dimensions)
    return Amount(value, unit, note), end + start + length if length else end


@functools.lru_cache(maxsize=16384)
def leading_unit(text: str, dimensions: tuple[str, ...]) -> tuple[str, int]:
    """The longest unit that a text begins with, and its length; nothing where it begins with none."""
    for length in range(min(_LONGEST, len(text)), 0, -1):
        typed, after = text[:length], text[length : length + 1]
        if typed[-1].isspace() or (after.isalnum() and typed[-1].isalnum()):
            continue
        if unit := find(typed, *dimensions):
            return unit.name if unit.name != "-" else "", length
    return "", 0


def _united(found: list[Slot]) -> list[Slot]:
    """Numbers without a unit take the unit of the next number of the cell, else of the one before."""
    order = [(s, i) for s in found for i in range(len(s.amounts))]
    for run in (list(reversed(order)), order):
        unit = ""
        for slot, i in run:
            amount = slot.amounts[i]
            if amount.unit:
                unit = "" if slot.aside and "(a)" in amount.unit else amount.unit  # "0.02 (min 0.035 bar abs)": the first is none
            elif unit and not slot.aside:
                slot.amounts[i] = Amount(amount.value, unit, amount.note)
    return found
