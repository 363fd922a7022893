"""A buyer's file as rows that can be edited, and those rows as a file again, as if the buyer had typed the edits."""

import csv
import re
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import xlsxwriter

from softseat.enquiry.grid import Figure, Grid
from softseat.enquiry.reader import Enquiry, read_enquiry
from softseat.enquiry.textfile import read_text
from softseat.enquiry.workbook import is_workbook, read_workbook
from softseat.errors import InputError

Place = tuple[str, int]
Cell = str | float
KINDS = (".xlsx", ".xlsm", ".xls", ".ods", ".csv", ".tsv", ".txt")
PHONE = "by phone"
SHEET_NAME = 31  # letters that a workbook allows


@dataclass(frozen=True, slots=True)
class Reading:
    """How this enquiry's columns are understood beyond what its headings say."""

    columns: Mapping[str, str] = field(default_factory=dict)  # heading -> field
    units: Mapping[str, str] = field(default_factory=dict)  # heading -> unit

    def plain(self) -> dict[str, dict[str, str]]:
        return {"columns": dict(self.columns), "units": dict(self.units)}


@dataclass(frozen=True, slots=True)
class Schedule:
    """The rows of an enquiry, sheet by sheet."""

    name: str
    layout: Mapping[str, Any]  # {"sheets": [{"name", "delimiter", "merged"}]}
    rows: Mapping[Place, Sequence[Cell]]
    reading: Reading = Reading()


def opened(name: str, data: bytes) -> Schedule:
    """The rows of a file.

    Raises
    ------
    InputError
        Where it is no workbook and no text table, or too large.
    """
    stem, ending = Path(name).stem[:100] or "enquiry", Path(name).suffix.lower()
    if ending not in KINDS:
        raise InputError(f"{name}: a file of this kind is not read; allowed are {', '.join(KINDS)}")
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder) / f"{_safe(stem)}{ending}"
        place.write_bytes(data)
        if not data:
            raise InputError(f"{name} is empty")
        grids = read_workbook(place) if is_workbook(place) else [read_text(place)]
    names = _names(grids)
    sheets = [{"name": n, "delimiter": g.delimiter, "merged": [list(m) for m in g.merged]} for n, g in zip(names, grids, strict=True)]
    rows = {(name, n): [_cell(c) for c in row] for name, g in zip(names, grids, strict=True) for n, row in enumerate(g.rows, start=1)}
    return Schedule(stem, {"sheets": sheets}, rows)


def pasted(text: str) -> bytes:
    """A table from the clipboard as a file: tabs between cells."""
    if "\t" not in text and "," not in text and ";" not in text:
        raise InputError("what was pasted is no table: copy the cells with their heading row")
    return text.encode("utf-8-sig")


def _names(grids: Sequence[Grid]) -> list[str]:
    """Sheet names that any workbook can bear, each once."""
    names: list[str] = []
    for grid in grids:
        name = _safe(grid.name)[:SHEET_NAME] if grid.delimiter else re.sub(r"[\[\]:*?/\\]", "_", grid.name)[:SHEET_NAME]
        names.append(name if name not in names else f"{name[: SHEET_NAME - 4]}-{len(names) + 1}")
    return names


def _cell(text: str) -> Cell:
    return float(text) if isinstance(text, Figure) else str(text).replace("\0", "")


def _safe(stem: str) -> str:
    return re.sub(r"[^\w .()+-]+", "_", stem).strip(". ") or "enquiry"


def read(schedule: Schedule, only: frozenset[Place] | None = None) -> Enquiry:
    """The enquiry as the reader understands it; ``only`` these rows where one item is looked at."""
    with tempfile.TemporaryDirectory() as folder:
        path, columns = written(schedule, Path(folder), only)
        return read_enquiry(path, columns)


def written(schedule: Schedule, folder: Path, only: frozenset[Place] | None = None) -> tuple[Path, dict[str, str]]:
    """The schedule as a file for the reader, and the columns that were chosen by hand."""
    grids = [
        Grid(s["name"], _grid(schedule, s["name"], only), [tuple(m) for m in s["merged"]], s["delimiter"])
        for s in schedule.layout["sheets"]
    ]
    columns = {_headed(h, schedule.reading): key for h, key in schedule.reading.columns.items()}
    if len(grids) == 1 and grids[0].delimiter:
        return _text_file(grids[0], folder / f"{grids[0].name}.csv"), columns
    return _workbook(grids, folder / f"{_safe(schedule.name)}.xlsx"), columns


def _grid(schedule: Schedule, sheet: str, only: frozenset[Place] | None) -> list[list[Any]]:
    """Rows in their places; left out are empty, so that the others keep their numbers."""
    numbers = [r for s, r in schedule.rows if s == sheet]
    rows: list[list[Any]] = []
    for n in range(1, max(numbers, default=0) + 1):
        cells = schedule.rows.get((sheet, n), ())
        keep = only is None or (sheet, n) in only
        rows.append([_headed(c, schedule.reading) if isinstance(c, str) else c for c in cells] if keep else [])
    return rows


def _headed(heading: str, reading: Reading) -> str:
    """A heading with the unit that was chosen for it."""
    unit = reading.units.get(" ".join(heading.split())) if heading and reading.units else None
    return f"{heading} [{unit}]" if unit else heading


def _text_file(grid: Grid, path: Path) -> Path:
    with path.open("w", encoding="utf-8-sig", newline="") as file:
        csv.writer(file, delimiter=grid.delimiter).writerows(grid.rows)
    return path


def _workbook(grids: Sequence[Grid], path: Path) -> Path:
    """Numbers as numbers, texts as texts, merged cells as they were."""
    book = xlsxwriter.Workbook(str(path), {"strings_to_numbers": False, "strings_to_formulas": False, "strings_to_urls": False})
    for grid in grids:
        sheet = book.add_worksheet(grid.name[:SHEET_NAME])
        for n, row in enumerate(grid.rows):
            for place, cell in enumerate(row):
                if isinstance(cell, float):
                    sheet.write_number(n, place, cell)
                elif cell:
                    sheet.write_string(n, place, cell)
        for first, left, last, right in grid.merged:
            text = grid.rows[first][left] if first < len(grid.rows) and left < len(grid.rows[first]) else ""
            sheet.merge_range(first, left, last, right, text)
    book.close()
    return path
