"""The one catalogue of what the papers say; the words of items, fields and units pass through it on their way to print."""

import csv
import functools
import re
import unicodedata
from collections.abc import Mapping
from importlib.resources import files

from softseat.errors import UnknownName
from softseat.names import names

BLANKS = re.compile(r"[\t-\r\x1c-\x1f \x85\u2028\u2029]+")  # not the thin space inside a number
STRAY = {"Cc", "Cf", "Cs", "Co", "Cn"}  # controls, direction marks, halves of pairs: they turn a line round or stop a reader


@functools.cache
def catalogue() -> Mapping[str, str]:
    """Every text of the papers by its key, in file order."""
    held = (files("softseat.papers") / "texts.csv").read_text(encoding="utf-8")
    return {row["key"]: row["en"] for row in csv.DictReader(held.splitlines())}


def text(key: str, **values: object) -> str:
    """One text with its values filled in."""
    try:
        said = catalogue()[key]
    except KeyError:
        raise UnknownName(f"{key!r} is not a text of the papers (papers/texts.csv)") from None
    return said.format(**values) if values else said


def texts(prefix: str) -> list[str]:
    """All texts whose key begins so, in file order: the lines of a list."""
    return [said for key, said in catalogue().items() if key.startswith(prefix)]


def some(count: int, key: str) -> str:
    """A count with its word, in the singular or the plural: ``some(1, "item")``."""
    return text(f"count.{key}.{'one' if count == 1 else 'many'}", n=count)


def clean(said: object) -> str:
    """A text of the user on one line, without the characters that could turn it round or stop a reader."""
    flat = BLANKS.sub(" ", "" if said is None else str(said))
    if flat.isascii() and flat.isprintable():
        return flat.strip()
    kept = "".join(c for c in unicodedata.normalize("NFC", flat) if unicodedata.category(c) not in STRAY)
    return BLANKS.sub(" ", kept).strip()


def short(said: object, length: int = 48) -> str:
    """A cleaned text cut to a running head."""
    whole = clean(said)
    return whole if len(whole) <= length else whole[: length - 1].rstrip() + "…"


def label(key: str) -> str:
    """What a field is called on paper."""
    said = catalogue().get(f"label.{key}")
    known = names().get(key)
    return said or (known.label if known and known.label else clean(key).replace("_", " "))


def word(value: object) -> str:
    """What a key of the tables or a choice is called on paper; anything else as it stands."""
    said = clean(value)
    return catalogue().get(f"word.{said}") or (said.replace("_", " ") if re.fullmatch(r"[a-z]+(_[a-z]+)+", said) else said)


def unit(key: str) -> str:
    """A unit as it is printed."""
    return catalogue().get(f"unit.{key}", clean(key))


def titled(key: str) -> str:
    """A label with a capital letter, its unit not touched."""
    said = label(key)
    return said[:1].upper() + said[1:]
