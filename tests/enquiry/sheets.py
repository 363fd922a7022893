"""Enquiries to test with: the invented schedules beside this file, and sheets compared value by value."""

import csv
from pathlib import Path

import numpy as np

from softseat.enquiry.records import Enquiry

ENQUIRIES = Path(__file__).parent / "enquiries"
SEA, BREWERY, OIL = (ENQUIRIES / f"{n}.csv" for n in ("01_seawater_desalination", "02_brewery_dairy", "05_chemical_edible_oil"))


def cells(path: Path, delimiter: str) -> list[list[str]]:
    """The rows of a schedule as typed."""
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.reader(file, delimiter=delimiter))


def row_of(enquiry: Enquiry, tag: str) -> int:
    """The place of the first item with this tag."""
    return next(r.n - 1 for r in enquiry.rows if r.tag == tag)


def at(enquiry: Enquiry, tag: str, name: str) -> object:
    return enquiry.sheet[name][row_of(enquiry, tag)].item()


def differences(one: Enquiry, other: Enquiry, without: tuple[str, ...] = ()) -> list[str]:
    """Names of which values or states are not the same."""
    found = []
    for name, left in one.sheet.values.items():
        right = other.sheet[name]
        same = np.array_equal(left, right, equal_nan=left.dtype.kind == "f") and np.array_equal(
            one.sheet.state[name], other.sheet.state[name]
        )
        if name not in without and not same:
            found.append(name)
    return found
