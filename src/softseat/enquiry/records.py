"""An enquiry as read: its items, where they stand in the buyer's file, and what was understood of that file."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from softseat.enquiry.gathering import Gathering
from softseat.enquiry.reading import Said
from softseat.enquiry.tags import tags
from softseat.sheet import ASSUMED, Sheet


@dataclass(frozen=True, slots=True)
class RowRef:
    """Where an item stands in the buyer's file; ``n`` counts the items from 1, ``row`` the rows of the sheet from 1."""

    n: int
    sheet: str
    row: int
    tag: str
    tags: tuple[str, ...]
    quantity: int


@dataclass(frozen=True, slots=True)
class Mapped:
    """A column of the file and the fields that it was read as."""

    sheet: str
    column: str
    heading: str
    fields: tuple[str, ...]
    unit: str
    how: str


@dataclass(frozen=True, slots=True)
class Unmapped:
    """A column that is no field of an enquiry: kept as typed, by row."""

    heading: str
    sheet: str
    cells: tuple[tuple[int, str], ...]


@dataclass(frozen=True, slots=True)
class Enquiry:
    """All items in file order, and what was understood of the file."""

    sheet: Sheet
    rows: tuple[RowRef, ...]
    unmapped: tuple[Unmapped, ...] = ()
    skipped: tuple[tuple[str, str], ...] = ()
    notes: tuple[str, ...] = ()
    mapping: tuple[Mapped, ...] = ()


def finished(gathering: Gathering, rows: Sequence[RowRef]) -> tuple[Sheet, tuple[RowRef, ...]]:
    """The Sheet, with one piece a tag where no quantity is said; and the rows with tags and pieces."""
    said = gathering.said.get("tag") or [None] * gathering.count
    spelled = [tags(str(s.value)) if s else () for s in said]
    pieces = gathering.said.get("quantity") or [None] * gathering.count
    reason = "one piece a tag taken: no quantity is given"
    gathering.fill(
        "quantity", {n: Said("quantity", float(max(1, len(spelled[n]))), ASSUMED, reason) for n, p in enumerate(pieces) if p is None}
    )
    sheet = gathering.sheet()
    tag, quantity = sheet["tag"], np.nan_to_num(sheet["quantity"], nan=1.0)
    return sheet, tuple(replace(row, tag=str(tag[n]), tags=spelled[n], quantity=int(quantity[n])) for n, row in enumerate(rows))
