"""Words of a column read by the table of cell values: operator, fail position, liner, metals, and blank words."""

import functools
import re
from collections.abc import Mapping
from dataclasses import dataclass

from softseat.enquiry.folding import fold, plain, words
from softseat.enquiry.reading import Column, Said, unreadable
from softseat.sheet import ASSUMED, GIVEN
from softseat.tables import index, read

_LEAST_STYLE = 3  # letters of a word of style inside a longer text
LONGEST_DITTO = 8  # letters of the longest word for the cell above, with its dots


@dataclass(frozen=True, slots=True)
class Match:
    """A row of the table that a text fits; an empty key where none does."""

    key: str = ""
    typed: str = ""
    meaning: str = ""
    doubt: str = ""  # why another reading is possible
    exact: bool = False


NONE = Match()


@functools.cache
def _rows(field: str) -> tuple[Match, ...]:
    """What may stand in a column of this field."""
    return tuple(
        Match(r["key"], r["typed"], r["meaning"], (r["remark"] or "another reading is possible") if r["ambiguous"] == "yes" else "")
        for r in read("cell_values")
        if r["field"] == field
    )


@functools.cache
def _exact(field: str) -> Mapping[str, Match]:
    found: dict[str, Match] = {}
    for row in _rows(field):
        found.setdefault(fold(row.typed) or row.typed.strip(), Match(row.key, row.typed, row.meaning, row.doubt, True))
    return found


@functools.lru_cache(maxsize=65536)
def matched(field: str, text: str, least: int = 2) -> Match:
    """The row that a text fits: whole, else the longest one whose words stand in it (of ``least`` letters or more)."""
    whole = _exact(field).get(fold(text) or text.strip())
    if whole:
        return whole
    typed = words(text)
    inside = [r for r in _rows(field) if len(fold(r.typed)) >= least and _contained(words(r.typed), typed)]
    return max(inside, key=lambda r: len(fold(r.typed)), default=NONE)


def _contained(few: tuple[str, ...], many: tuple[str, ...]) -> bool:
    """These words stand in the others side by side."""
    return bool(few) and any(many[i : i + len(few)] == few for i in range(len(many) - len(few) + 1))


@functools.cache
def _longest(field: str) -> int:
    """Letters of the longest words of a field; a longer text need not be compared with them."""
    return max(len(r.typed) for r in _rows(field)) + 8


def is_blank(text: str) -> bool:
    """A word for nothing: ``-``, ``n/a``, ``TBC``."""
    return len(text) <= _longest("blank") and _blank(text)


@functools.lru_cache(maxsize=4096)
def _blank(text: str) -> bool:
    return not text.strip() or (fold(text) or text.strip()) in _exact("blank") or not re.search(r"[\w\"?]", text)


def is_ditto(text: str) -> bool:
    """A word for the cell above: ``ditto``, ``do.``, ``idem``, a lone quotation mark."""
    return len(text) <= LONGEST_DITTO and _ditto(text)


@functools.lru_cache(maxsize=4096)
def _ditto(text: str) -> bool:
    row = _exact("blank").get(fold(text) or text.strip())
    return row is not None and ("ditto" in row.doubt or "cell above" in row.doubt)


def choice_said(text: str, column: Column) -> tuple[Said, ...]:
    """A word of a fixed list, as the table of cell values reads it."""
    name = column.fields[0]
    found = matched(name, text)
    if not found.key:
        return unreadable(name, f"{text!r} is not in the list of words for this field")
    if found.key == "indeterminate":
        return ()
    return (_sure(name, found, text),)


def _sure(name: str, found: Match, text: str) -> Said:
    return Said(name, found.key, ASSUMED, f"{text!r} read as {found.key}: {found.doubt}") if found.doubt else Said(name, found.key, GIVEN)


def yes_no_said(text: str, column: Column) -> tuple[Said, ...]:
    found = matched("yes_no", text, 9)
    if found.key:
        return (Said(column.fields[0], found.key),)
    return (
        (Said(column.fields[0], "yes", ASSUMED, f"{text!r} read as yes"),)
        if re.search(r"[a-z]", plain(text))
        else unreadable(column.fields[0])
    )


def liner_said(text: str, column: Column) -> tuple[Said, ...]:
    """The rubber by its ISO 1629 letters; an unknown word is kept as typed and never guessed."""
    found = matched("liner", text)
    kept = Said("liner_typed", text)
    build = matched("liner_build", text, 4)
    beside = (Said("liner_build", build.key),) if build.key else ()
    if not found.key:
        return (*unreadable("liner", f"{text!r} is no rubber that is known"), kept, *beside)
    letters = fold(found.typed).startswith(fold(found.key.partition("_")[0]))
    old = () if letters else (Said("liner_old_name", True),)
    return (_sure("liner", found, text), kept, *old, *beside)


@functools.cache
def _metals() -> Mapping[str, tuple[tuple[str, str, str], ...]]:
    """Key, parts and doubt by the name of a metal without blanks, dots and hyphens."""
    found: dict[str, list[tuple[str, str, str]]] = {}
    for row in read("steel_names"):
        doubt = (row["remark"] or "two metals bear this name") if row["ask"] == "yes" else ""
        found.setdefault(fold(row["typed"]), []).append((row["key"], row["part"], doubt))
    for key, row in index("body_class").items():
        found.setdefault(fold(key), []).append((key, row["part"], ""))
    return {name: tuple(rows) for name, rows in found.items()}


@functools.lru_cache(maxsize=16384)
def metal(text: str, part: str) -> tuple[str, str] | None:
    """Key and doubt of a metal as typed: whole, else the longest name whose words stand in the text."""
    rows = _metals().get(fold(text)) or _metal_inside(words(text))
    if not rows:
        return None
    key, _, doubt = next((r for r in rows if part in r[1]), rows[0])
    return key, doubt


def _metal_inside(typed: tuple[str, ...]) -> tuple[tuple[str, str, str], ...]:
    """The longest run of words that is a metal."""
    runs = [typed[i:j] for i in range(len(typed)) for j in range(i + 1, len(typed) + 1)]
    known = [("".join(r)) for r in runs if "".join(r) in _metals()]
    return _metals()[max(known, key=len)] if known else ()


def metal_said(text: str, column: Column) -> tuple[Said, ...]:
    name = column.fields[0]
    found = metal(text, name)
    if found is None:
        return unreadable(name, f"{text!r} is no metal that is known")
    key, doubt = found
    return (Said(name, key, ASSUMED if doubt else GIVEN, f"{text!r} read as {key}: {doubt}" if doubt else ""),)


def body_said(text: str, column: Column) -> tuple[Said, ...]:
    """The body's metal and its style: buyers write either, or both, under either heading (``DI wafer``, ``lug``)."""
    found = metal(text, "body")
    style = matched("body_style", text, _LEAST_STYLE)
    said = metal_said(text, Column(column.heading, column.place, ("body",))) if found else ()
    if style.key and style.key != "indeterminate":
        said += (_sure("body_style", style, text),)
    if said:
        return said
    return choice_said(text, column) if column.fields[0] == "body_style" else metal_said(text, column)
