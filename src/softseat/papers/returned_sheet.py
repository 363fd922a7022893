"""One sheet of a workbook as text: cells put into its rows without touching those that are there."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape

ROW = re.compile(r"<(?:\w+:)?row\b([^>]*?)(/>|>(.*?)</(?:\w+:)?row>)", re.S)
CELL = re.compile(r"<(?:\w+:)?c\b([^>]*?)(/>|>(.*?)</(?:\w+:)?c>)", re.S)
MERGED = re.compile(r"<(?:\w+:)?mergeCell\b[^>]*?\bref=\"([A-Z]+)(\d+):([A-Z]+)(\d+)\"")
ALIKE = 0.6  # share of its cells that a repeated heading has in common with the first


@dataclass(frozen=True, slots=True)
class Cell:
    column: int
    style: str
    value: str  # what it holds, as the file writes it; "" for an empty cell
    raw: str


def answered(sheet: str, headings: Sequence[str], rows: Mapping[int, Sequence[str]], widths: Sequence[float], style: int) -> str:
    """The sheet with the answers in the first columns that are free in all of these rows, headings in the rows of his headings."""
    data = re.search(r"<(\w+:)?sheetData\b[^>]*?(/>|>(.*?)</(?:\w+:)?sheetData>)", sheet, re.S)
    if not data:
        return sheet
    prefix, inside = data[1] or "", data[3] or ""
    held = dict(_rows(inside))
    heads = _headings(held, sorted(rows))
    start = max((c.column for r in (*heads, *rows) for c in held.get(r, ()) if c.value), default=0)
    start = max([start, *_merged(sheet, {*heads, *rows})]) + 1
    look = _look(held, heads)
    texts = {**dict.fromkeys(heads, (headings, look)), **{r: (said, str(style) if style else "") for r, said in rows.items()}}
    filled = _filled(inside, texts, start, prefix)
    whole = f"<{prefix}sheetData>{filled}</{prefix}sheetData>"
    before = _widened(sheet[: data.start()], start, widths, prefix)
    return _reaching(before, start + len(headings) - 1) + whole + sheet[data.end() :]


def rows_of(sheet: str) -> set[int]:
    """Numbers of the rows that the sheet holds."""
    return {number for number, _ in _rows(sheet)}


def columns_of(letters: str) -> int:
    """The number of a column: A is 1, AA is 27."""
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - 64
    return number


def letters_of(column: int) -> str:
    name = ""
    while column:
        column, rest = divmod(column - 1, 26)
        name = chr(65 + rest) + name
    return name


def _attribute(attributes: str, name: str) -> str:
    found = re.search(rf'\b{name}\s*=\s*"([^"]*)"', attributes) or re.search(rf"\b{name}\s*=\s*'([^']*)'", attributes)
    return found[1] if found else ""


def _rows(inside: str) -> Iterator[tuple[int, list[Cell]]]:
    number = 0
    for row in ROW.finditer(inside):
        number = int(_attribute(row[1], "r") or number + 1)  # a row without its number follows the one before
        yield number, _cells(row[3] or "")


def _cells(inside: str) -> list[Cell]:
    found, column = [], 0
    for cell in CELL.finditer(inside):
        place = re.match(r"[A-Z]+", _attribute(cell[1], "r"))
        column = columns_of(place[0]) if place else column + 1
        value = re.sub(r"</?(?:\w+:)?(?:v|is|t)\b[^>]*>", "", cell[3] or "")
        found.append(Cell(column, _attribute(cell[1], "s"), f"{_attribute(cell[1], 't')}:{value}" if value.strip() else "", cell[0]))
    return found


def _headings(held: Mapping[int, Sequence[Cell]], rows: Sequence[int]) -> list[int]:
    """The row of headings above the first item, and later rows that repeat it."""
    first = next((r for r in range(rows[0] - 1, 0, -1) if sum(bool(c.value) for c in held.get(r, ())) > 1), 0) if rows else 0
    if not first:
        return []
    told = {(c.column, c.value) for c in held[first] if c.value}
    items = set(rows)
    later = (r for r in held if first < r < rows[-1] and r not in items)
    return [first, *(r for r in later if len(told & {(c.column, c.value) for c in held[r]}) >= ALIKE * len(told))]


def _merged(sheet: str, rows: set[int]) -> list[int]:
    """Last columns of merged cells that reach into these rows."""
    return [columns_of(m[3]) for m in MERGED.finditer(sheet) if any(int(m[2]) <= r <= int(m[4]) for r in rows)]


def _look(held: Mapping[int, Sequence[Cell]], heads: Sequence[int]) -> str:
    """The style of his last heading: ours look the same."""
    return next((c.style for c in reversed(held[heads[0]]) if c.value), "") if heads else ""


def _filled(inside: str, texts: Mapping[int, tuple[Sequence[str], str]], start: int, prefix: str) -> str:
    number = 0

    def fill(row: re.Match[str]) -> str:
        nonlocal number
        number = int(_attribute(row[1], "r") or number + 1)
        if number not in texts:
            return row[0]
        said, style = texts[number]
        new = [Cell(start + k, style, t, _cell(number, start + k, t, style, prefix)) for k, t in enumerate(said) if t]
        ours = range(start, start + len(said))
        kept = [c for c in _cells(row[3] or "") if c.column not in ours]
        cells = "".join(c.raw for c in sorted([*kept, *new], key=lambda c: c.column))
        rest = CELL.sub("", row[3] or "").strip()
        attributes = re.sub(r"\s*\bspans\s*=\s*(\"[^\"]*\"|'[^']*')", "", row[1])  # a hint that no longer holds
        return f"<{prefix}row{attributes}>{cells}{rest}</{prefix}row>"

    return ROW.sub(fill, inside)


def _cell(row: int, column: int, said: str, style: str, prefix: str) -> str:
    """A cell that holds its text itself: never a formula, whatever it begins with."""
    look = f' s="{style}"' if style else ""
    inside = f'<{prefix}is><{prefix}t xml:space="preserve">{escape(said)}</{prefix}t></{prefix}is>'
    return f'<{prefix}c r="{letters_of(column)}{row}"{look} t="inlineStr">{inside}</{prefix}c>'


def _widened(before: str, start: int, widths: Sequence[float], prefix: str) -> str:
    """Widths for our columns, unless he has set some that reach there."""
    ours = "".join(f'<{prefix}col min="{start + k}" max="{start + k}" width="{w:g}" customWidth="1"/>' for k, w in enumerate(widths))
    found = re.search(r"<(?:\w+:)?cols\b[^>]*>(.*?)</(?:\w+:)?cols>", before, re.S)
    if not found:
        return f"{before}<{prefix}cols>{ours}</{prefix}cols>"
    last = max((int(m) for m in re.findall(r"\bmax=\"(\d+)\"", found[1])), default=0)
    return before if last >= start else before[: found.end(1)] + ours + before[found.end(1) :]


def _reaching(before: str, column: int) -> str:
    """The extent of the sheet, to our last column."""

    def reach(found: re.Match[str]) -> str:
        return found[0] if columns_of(found[3]) >= column else f"{found[1]}{found[2]}:{letters_of(column)}{found[4]}{found[5]}"

    return re.sub(r"(<(?:\w+:)?dimension\b[^>]*?\bref=\")([A-Z]+\d+):([A-Z]+)(\d+)(\")", reach, before)
