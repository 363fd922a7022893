"""An enquiry cut into parts that are decided one after the other, each as it would be among all the items."""

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import TypeVar

import numpy as np

from softseat.enquiry.facts import read_facts
from softseat.selection.decide import prepare
from softseat.selection.derive import oily
from softseat.selection.identify import identify, usual_medium
from softseat.sheet import DERIVED, Sheet

PART = 40_000  # items of one part: enough to be quick, few enough to stay small
LEAST = 10_000  # fewer are not shared out: a process needs seconds before its first
FEW = 2_000  # items in which both kinds are mostly found
MANY = 20_000  # items from which on helper processes are worth their start
T = TypeVar("T")


def even(size: int, part: int, processors: int) -> int:
    """Items of a part, no more than ``part``, so that no processor has more to do than another."""
    rounds = max(-(-size // (part * processors)), 1)
    return min(part, max(-(-size // (rounds * processors)), LEAST))


def split(sheet: Sheet, part: int) -> Iterator[Sheet]:
    """Parts of a Sheet, each with its own origins and reasons."""
    origin = _by_part(sheet.origin, part)
    why = _by_part(sheet.why, part)
    for k, start in enumerate(range(0, len(sheet), part)):
        rows = slice(start, start + part)
        yield Sheet(
            {name: value[..., rows] for name, value in sheet.values.items()},
            {name: state[rows] for name, state in sheet.state.items()},
            origin.get(k, {}),
            why.get(k, {}),
        )


def _by_part(sparse: Mapping[tuple[int, str], T], part: int) -> dict[int, dict[tuple[int, str], T]]:
    found: dict[int, dict[tuple[int, str], T]] = {}
    for (n, name), told in sparse.items():
        found.setdefault(n // part, {})[n % part, name] = told
    return found


def of_schedule(sheet: Sheet, part: int = PART) -> Sheet:
    """The Sheet with what only all its items together tell, so that a part of it is decided as it would be among them all."""
    size = len(sheet)
    sheet = sheet.adding(DERIVED, usual_medium=np.full(size, usual_medium(sheet)))
    carries: set[bool] = set()
    for one in split(sheet, min(part, FEW)):
        carries |= set(oily(identify(read_facts(one))).tolist())
        if len(carries) == 2:
            break
    sheet = sheet.adding(DERIVED, oily_in_schedule=np.full(size, len(carries) == 2))
    return _with_tags(sheet, part)


def _with_tags(sheet: Sheet, part: int) -> Sheet:
    """Tags that stand more than once are compared among themselves; the others are never looked at."""
    found: dict[str, dict[int, str]] = {"tag_clash": {}, "tag_repeat": {}}
    for rows in _together(sheet["tag"], part):
        told = prepare(sheet.take(rows))
        for name, texts in found.items():
            texts.update((int(n), str(text)) for n, text in zip(rows, told[name], strict=True) if text)
    return sheet.adding(DERIVED, **{name: _filled(texts, len(sheet)) for name, texts in found.items()})


def _filled(texts: Mapping[int, str], size: int) -> np.ndarray:
    """A column of these texts, as wide as the longest: a million wide blanks would fill the memory."""
    column = np.full(size, "", dtype=f"U{max(map(len, texts.values()), default=1)}")
    for n, text in texts.items():
        column[n] = text
    return column


def _together(tags: np.ndarray, part: int) -> Iterator[np.ndarray]:
    """Rows of tags that stand more than once, those of one tag always together."""
    many = {tag for tag, count in Counter(tags.tolist()).items() if tag and count > 1}
    rows: dict[str, list[int]] = {}
    for n, tag in enumerate(tags.tolist() if many else ()):
        if tag in many:
            rows.setdefault(tag, []).append(n)
    ready: list[int] = []
    for places in rows.values():
        ready += places
        if len(ready) >= part:
            yield np.array(sorted(ready))
            ready = []
    if ready:
        yield np.array(sorted(ready))
