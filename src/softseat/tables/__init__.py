"""Published figures and facts as CSV, filed in the unit the source prints; every row names its source.

A line that begins with ``#`` is a remark of the file. Cells are read as text; ``column`` gives one as numbers in SI.
"""

import csv
import functools
import io
from collections.abc import Mapping
from importlib.resources import files

import numpy as np

from softseat.errors import DataError
from softseat.units import to_si

Row = Mapping[str, str]


@functools.cache
def read(name: str) -> tuple[Row, ...]:
    """Rows of ``<name>.csv`` in file order, every cell as text.

    Raises
    ------
    DataError
        Where a line has not as many cells as the headings.
    """
    text = (files(__package__) / f"{name}.csv").read_text(encoding="utf-8-sig")
    lines = [line for line in csv.reader(io.StringIO(text)) if line and not line[0].startswith("#")]
    heads, *body = lines
    for number, cells in enumerate(body, start=2):
        if len(cells) != len(heads):
            raise DataError(f"table {name}.csv, data line {number}: {len(cells)} cells under {len(heads)} headings")
    return tuple(dict(zip(heads, cells, strict=True)) for cells in body)


@functools.cache
def index(name: str, key: str = "key") -> Mapping[str, Row]:
    """Rows of a table by one of its columns, which must be unique."""
    rows = read(name)
    by_key = {row[key]: row for row in rows}
    if len(by_key) != len(rows):
        raise DataError(f"table {name}.csv: a {key} stands twice")
    return by_key


def number(text: str, unit: str = "-") -> float:
    """A cell as a number in SI; nan where the cell holds none (empty, ``-``, a word)."""
    try:
        return float(to_si(float(text), unit))
    except ValueError:
        return float("nan")


def column(name: str, head: str, unit: str = "-") -> np.ndarray:
    """One column of a table in SI, nan where a cell holds no number. Shape (rows,)."""
    return np.array([number(row[head], unit) for row in read(name)])
