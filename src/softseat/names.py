"""The one vocabulary: argument of a calculation, key in JSON, column of a sheet, heading on paper (by its label)."""

import csv
import functools
import io
from dataclasses import dataclass
from importlib.resources import files

from softseat.errors import UnknownName


@dataclass(frozen=True, slots=True)
class Name:
    name: str
    kind: str  # number, choice, text, flag
    symbol: str
    unit: str  # inside
    shown: str  # to people
    label: str
    meaning: str


@functools.cache
def names() -> dict[str, Name]:
    """Every name of the vocabulary, in file order."""
    rows = csv.DictReader(io.StringIO((files("softseat") / "names.csv").read_text(encoding="utf-8")))
    return {row["name"]: Name(**row) for row in rows}


def name(key: str) -> Name:
    """One name of the vocabulary."""
    try:
        return names()[key]
    except KeyError:
        raise UnknownName(f"{key!r} is not in the vocabulary (names.csv)") from None
