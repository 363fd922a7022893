"""An enquiry as the buyer sent it becomes a Sheet of all its items."""

import gc
import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path

from softseat.enquiry.cells import cell_said
from softseat.enquiry.choices import LONGEST_DITTO, is_ditto
from softseat.enquiry.fieldtable import checked
from softseat.enquiry.folding import fold
from softseat.enquiry.gathering import Gathering
from softseat.enquiry.grid import Grid, letter
from softseat.enquiry.headings import dimensions
from softseat.enquiry.layout import Block, blocks, no_item
from softseat.enquiry.matching import assigned
from softseat.enquiry.reading import Column, Said
from softseat.enquiry.records import Enquiry, Mapped, RowRef, Unmapped, finished
from softseat.enquiry.rejoin import profile, rejoined
from softseat.enquiry.textfile import read_text
from softseat.enquiry.titles import Titles, spelled, titles, with_titles
from softseat.enquiry.workbook import is_workbook, read_workbook
from softseat.errors import InputError
from softseat.sheet import Origin
from softseat.units import find

ABOVE, BELOW, LONG_LINE = 8, 2, 30  # title rows that are listened to; cells and letters of a line of text under the headings
DITTO_AND = re.compile(r"([^\W\d_]{2,6}\.?)[,;:]\s+(\S.*)")  # "do., network supply"

__all__ = ["Enquiry", "Mapped", "RowRef", "Unmapped", "read_enquiry"]


@dataclass(slots=True)
class Table:
    """A block with its columns, and the rows that are items."""

    grid: Grid
    columns: list[Column]
    items: list[tuple[int, list[str]]]  # row of the sheet from 1, cells
    units: dict[int, int]  # column -> its unit column
    told: Titles = field(default_factory=Titles)  # what is said for all rows


def read_enquiry(path: str | Path, columns: Mapping[str, str] | None = None) -> Enquiry:
    """Read a valve schedule: workbook or delimited text, any headings.

    Parameters
    ----------
    path : str
        An .xlsx, .xls, .ods, .csv or .tsv file.
    columns : mapping
        The user's own reading: heading -> field key.

    Returns
    -------
    Enquiry
        Items in file order; every field of the enquiry is a column of the Sheet.

    Raises
    ------
    InputError
        Where the file cannot be used: says what, and what is allowed.
    """
    with _uncollected():
        return _read(Path(path), {fold(name): checked(key) for name, key in (columns or {}).items()})


@contextmanager
def _uncollected() -> Iterator[None]:
    """Millions of small objects that all stay: the collector would walk over them again and again for nothing."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


def _read(path: Path, given: Mapping[str, str]) -> Enquiry:
    notes: list[str] = []
    skipped: list[tuple[str, str]] = []
    tables: list[Table] = []
    for grid in _grids(path):
        found = blocks(grid, frozenset(given))
        if not found:
            skipped.append((grid.name, "empty" if not any(map(any, grid.rows)) else "no table of valves: its rows hold no known headings"))
        tables += [table_of(grid, block, given, notes) for block in found]
    tables = [t for t in tables if t.items]
    if not tables:
        raise InputError(
            f"{path.name}: no heading row found in {_listed([s for s, _ in skipped])}; "
            "a valve schedule has columns such as tag, size, medium, pressure, temperature, flow"
        )
    return enquiry_of(tables, skipped, notes)


def _listed(names: list[str]) -> str:
    shown = ", ".join(repr(n) for n in names[:5])
    return f"{len(names)} sheets ({shown} ...)" if len(names) > 5 else f"sheet {shown}" if names else "the file"


def _grids(path: Path) -> list[Grid]:
    """The sheets of the file, by what it holds, not by what it is called."""
    if not path.is_file():
        raise InputError(f"{path} is not a file that can be read")
    try:
        if path.stat().st_size == 0:
            raise InputError(f"{path.name} is empty")
        return read_workbook(path) if is_workbook(path) else [read_text(path)]
    except PermissionError:
        raise InputError(f"{path.name} cannot be opened: no permission") from None


def table_of(grid: Grid, block: Block, given: Mapping[str, str], notes: list[str]) -> Table:
    """Columns and items of one block."""
    rows, width = _evened(grid, block, notes)
    names = block.headings[:width] + [""] * (width - len(block.headings))
    texts = [[row[i] for _, row in rows if i < len(row)] for i in range(width)]
    told = titles(_lines(grid, block, rows))
    columns = with_titles(assigned(names, texts, given), told)
    notes += [f"{grid.name}, {note}" for note in told.notes]
    places = {c.fields[0]: c.place for c in reversed(columns) if c.fields}
    mapped = {c.place for c in columns if c.fields and not c.fields[0].startswith("_")}
    items = []
    for number, row in rows:
        why = no_item(row, places, mapped)
        if why:
            notes.append(f"{grid.name}, row {number}: left out, {why}")
        else:
            items.append((number, row))
    notes += [f"{grid.name}, {note}" for note in block.notes]
    _note_reading(grid, block, columns, notes)
    return Table(grid, columns, items, _unit_columns(columns, texts), told)


def _lines(grid: Grid, block: Block, rows: list[tuple[int, list[str]]]) -> list[str]:
    """Lines of text over and under the headings; the items of a table above are none: they fill more than half of its columns."""
    most = sum(1 for h in block.headings if h.strip()) / 2
    above = [r for r in grid.rows[max(0, block.header - ABOVE) : block.header] if sum(map(bool, r)) <= most]
    below = [r for _, r in rows if sum(map(bool, r)) <= BELOW and max(map(len, r), default=0) > LONG_LINE]
    return [" ".join(filter(None, row)) for row in (*above, *below)]


def _evened(grid: Grid, block: Block, notes: list[str]) -> tuple[list[tuple[int, list[str]]], int]:
    """The rows in one width: vertical merges filled, broken rows put together."""
    _fill_merged(grid, block)
    rows = [grid.rows[r] for r in block.rows]
    width = max((i + 1 for i, h in enumerate(block.headings) if h.strip()), default=0)
    if not grid.delimiter:
        return [(n + 1, grid.rows[n]) for n in block.rows], max([width, *map(len, rows)])
    cut = [_trimmed(r, width) for r in rows]
    expected = profile(cut, width)
    texts = [i for i, e in enumerate(expected) if e["word"] + e["empty"] > 0.9 and e["word"] > 0]
    texts = sorted({*texts, width - 1})[-1:] if texts or width else []
    even = []
    for n, row in zip(block.rows, cut, strict=True):
        whole, place = rejoined(row, width, grid.delimiter, expected, texts) if len(row) > width else (row, 0)
        if len(row) > width:
            notes.append(
                f"{grid.name}, row {n + 1}: {len(row)} cells under {width} headings; column {letter(place)} put together: {whole[place]!r}"
            )
        even.append((n + 1, [c.strip() for c in whole]))
    return even, width


def _trimmed(row: list[str], width: int) -> list[str]:
    """Without empty cells beyond the headings."""
    end = len(row)
    while end > width and not row[end - 1].strip():
        end -= 1
    return row[:end] + [""] * (width - end)


def _fill_merged(grid: Grid, block: Block) -> None:
    """A cell merged over several rows speaks for each of them."""
    last_row = block.rows[-1]
    for first, left, last, right in grid.merged:
        if last > first >= block.rows[0] and first <= last_row and left == right:
            for r in range(first + 1, min(last, last_row) + 1):
                grid.rows[r][left] = grid.rows[first][left]


def _note_reading(grid: Grid, block: Block, columns: list[Column], notes: list[str]) -> None:
    notes.append(f"{grid.name}: headings in row {block.header + 1}")
    signs = {c.decimal for c in columns if c.decimal}
    if "," in signs:
        notes.append(f"{grid.name}: decimal comma")


def _unit_columns(columns: list[Column], texts: list[list[str]]) -> dict[int, int]:
    """The value column that a unit column belongs to: the nearest to its left, else to its right, that can bear its units."""
    found = {}
    for column in columns:
        if column.fields != ("unit",):
            continue
        near = sorted((c for c in columns if c.fields and not c.unit), key=lambda c: (c.place > column.place, abs(c.place - column.place)))
        units = [t for t in texts[column.place] if t]
        bearers = [c for c in near if any(find(t, *d) for t in units if (d := dimensions(c.fields[0])))]
        if bearers:
            found[bearers[0].place] = column.place
    return found


def enquiry_of(tables: list[Table], skipped: list[tuple[str, str]], notes: list[str]) -> Enquiry:
    """One enquiry of all the tables that were found, with what was skipped and noted on the way."""
    count = sum(len(t.items) for t in tables)
    gathering = Gathering(count)
    rows: list[RowRef] = []
    mapping: list[Mapped] = []
    unmapped: list[Unmapped] = []
    for table in tables:
        start = len(rows)
        rows += [RowRef(start + i + 1, table.grid.name, number, "", (), 1) for i, (number, _) in enumerate(table.items)]
        for column in table.columns:
            _read_column(table, column, start, gathering)
            mapping.append(Mapped(table.grid.name, letter(column.place), column.heading, column.fields, column.unit, column.how))
            if column.heading and (not column.fields or column.fields[0].startswith("_")):
                kept = tuple((n, r[column.place]) for n, r in table.items if column.place < len(r) and r[column.place])
                unmapped.append(Unmapped(column.heading, table.grid.name, kept))
        for i in range(len(table.items) if table.told.said else 0):
            gathering.take(start + i, table.told.said, frozenset(), None)
        gathering.settle(frozenset(f for c in table.columns for f in c.fields))
    sheet, told = finished(gathering, rows)
    return Enquiry(sheet, told, tuple(unmapped), tuple(skipped), tuple(notes), tuple(m for m in mapping if m.heading or m.fields))


def _read_column(table: Table, column: Column, start: int, gathering: Gathering) -> None:
    """Each text of a column is read once; a unit beside it counts with it."""
    if not column.fields or column.fields[0].startswith("_"):
        return
    own = frozenset(column.fields)
    beside = table.units.get(column.place)
    read: dict[tuple[str, str], tuple[Said, ...]] = {}
    above, name, place, sheet = "", letter(column.place), column.place, table.grid.name
    for i, (number, row) in enumerate(table.items):
        text = row[place] if place < len(row) else ""
        if not text:
            continue
        typed = text
        if len(text) <= LONGEST_DITTO and is_ditto(text):
            text, typed = above, f"{text} (as above: {above})"
        elif (more := DITTO_AND.match(text)) and is_ditto(more[1]):
            text, typed = f"{above}, {more[2]}", f"{text} (as above: {above})"
        else:
            above = text
        text = spelled(text, column.fields[0], table.told)
        unit = row[beside] if beside is not None and beside < len(row) else ""
        said = read.get((text, unit))
        if said is None:
            said = read[text, unit] = cell_said(text, _with_unit(column, unit))
        if said:
            gathering.take(start + i, said, own, Origin(sheet, number, name, typed))


def _with_unit(column: Column, unit: str) -> Column:
    """The column with the unit of this row."""
    found = find(unit, *dimensions(column.fields[0])) if unit else None
    return replace(column, unit=found.name) if found else column
