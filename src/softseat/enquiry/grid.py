"""A sheet as a grid of cells, before anything is understood of it."""

from dataclasses import dataclass, field

MOST_CELLS = 8_000_000  # what fits into a gigabyte of memory with room to spare
MOST_BYTES = 200_000_000  # of an unpacked workbook


@dataclass(slots=True)
class Grid:
    """Cells as text; ``merged`` holds (first row, first column, last row, last column) from zero."""

    name: str
    rows: list[list[str]]
    merged: list[tuple[int, int, int, int]] = field(default_factory=list)
    delimiter: str = ""  # of a text file: only there a row can be broken


class Figure(str):
    """A cell that is a number in the workbook: how it is written says nothing of the buyer's decimal sign."""

    __slots__ = ()


def letter(place: int) -> str:
    """The column letter of a spreadsheet: 0 is A, 26 is AA."""
    name = ""
    place += 1
    while place:
        place, rest = divmod(place - 1, 26)
        name = chr(65 + rest) + name
    return name
