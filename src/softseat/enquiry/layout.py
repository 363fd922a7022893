"""Where the tables of a sheet stand: header rows, the rows under them, and what is no item."""

import re
from dataclasses import dataclass, field

from softseat.enquiry.folding import fold, plain
from softseat.enquiry.grid import Grid
from softseat.enquiry.headings import heading, is_part_of_heading

_TITLES = 8  # rows of titles that may stand over the headings
_TRIED = 400  # rows from the top in which a first header is looked for
_NAMING = {"tag", "size", "medium", "service", "rating", "liner", "body", "flow", "p1", "p_max"}
_TOTAL = re.compile(r"^(?:sub|grand)?[ -]?(?:totals?|sums?|summe|gesamt\w*|zwischensumme|totale|somma|sous-total|total general|totaal)\b")


@dataclass(slots=True)
class Block:
    """A table: its headings by place, and its rows by their number in the sheet (from zero)."""

    headings: list[str]
    header: int
    rows: list[int] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


def blocks(grid: Grid, given: frozenset[str] = frozenset()) -> list[Block]:
    """The tables of a sheet; ``given`` are folded headings that the user has named."""
    found: list[Block] = []
    at, end = 0, len(grid.rows)
    while at < end:
        row = grid.rows[at]
        if _may_be_header(row, bool(found)) and (found or at < _TRIED) and (head := _header(grid, at, given, bool(found))):
            names, taken = head
            if not found and _better_below(grid, at + taken, given, _known(names, given)):
                at += 1
                continue
            if found and _same(names, found[-1].headings):
                found[-1].notes.append(f"row {at + 1}: the headings again")
            else:
                found.append(Block(names, at))
            at += taken
            continue
        if found and any(c.strip() for c in row):
            found[-1].rows.append(at)
        at += 1
    return [b for b in found if b.rows]


def _better_below(grid: Grid, at: int, given: frozenset[str], known: int) -> bool:
    """A row not far below that names twice as many fields: what stood above was the title of the list."""
    for row in grid.rows[at : at + _TITLES]:
        if _may_be_header(row, later=True) and _names_a_table(row, given, later=True) and _known(row, given) >= 2 * known:
            return True
    return False


def _known(row: list[str], given: frozenset[str]) -> int:
    return sum(bool(heading(" ".join(c.split())).candidates) or fold(c) in given for c in row if c.strip())


def _may_be_header(row: list[str], later: bool) -> bool:
    """Headings are words; a row of figures is none. Below the first header a row with any figure cell is data."""
    cells = [c for c in row if c.strip()]
    if len(cells) < 2:
        return False
    figures = sum(1 for c in cells if re.match(r"\s*[-+]?\d", c))
    return figures == 0 if later else figures <= len(cells) / 4


def _header(grid: Grid, at: int, given: frozenset[str], later: bool) -> tuple[list[str], int] | None:
    """The headings that begin in this row, over one to three rows; None where it is no header."""
    best = grid.rows[at]
    if not _names_a_table(best, given, later) and not _grouped(grid, at):
        return None
    taken, names = 1, _spread(grid, at) if _grouped(grid, at) else list(best)
    while taken < 3 and at + taken < len(grid.rows) and _continues(grid.rows[at + taken], names):
        below = grid.rows[at + taken]
        width = max(len(names), len(below))
        names = [" ".join(filter(None, (_cell(names, i), _cell(below, i)))) for i in range(width)]
        taken += 1
    if taken == 1:
        names = list(best)
    return (names, taken) if _names_a_table(names, given, later) else None


def _cell(row: list[str], place: int) -> str:
    return " ".join(row[place].split()) if place < len(row) else ""


def _names_a_table(row: list[str], given: frozenset[str], later: bool) -> bool:
    """Enough of the cells are headings that are known, and of fields that make an item."""
    cells = [" ".join(c.split()) for c in row if c.strip()]
    known = [heading(c).candidates for c in cells]
    fields = {k[0][0] for k in known if k} | {f"given {c}" for c in cells if fold(c) in given}
    share = (sum(bool(k) for k in known) + sum(fold(c) in given for c in cells)) / max(1, len(cells))
    naming = {f for k in known for c in k for f in c} & _NAMING or any(fold(c) in given for c in cells)
    if later:
        return bool(naming) and len(fields) >= 4 and share >= 0.7
    enough = 2 if {"tag", "size"} <= fields or len(cells) < 3 else 3
    return bool(naming) and len(fields) >= enough and share >= 0.5


def _grouped(grid: Grid, at: int) -> bool:
    """A row of group headings over a row of their parts."""
    return at + 1 < len(grid.rows) and _continues(grid.rows[at + 1], grid.rows[at]) and len([c for c in grid.rows[at] if c.strip()]) > 1


def _continues(row: list[str], above: list[str]) -> bool:
    """A second header row: every cell a unit, a role or a heading, and none of it data."""
    cells = [c for c in row if c.strip()]
    if not cells or any(re.match(r"\s*[-+]?\d", c) for c in cells):
        return False
    parts = sum(is_part_of_heading(c) for c in cells)
    if parts == len(cells):
        return True
    free = all(not _cell(above, i) or is_part_of_heading(c) for i, c in enumerate(row) if c.strip())
    return parts > 0 and free and all(is_part_of_heading(c) or heading(c).candidates for c in cells)


def _spread(grid: Grid, at: int) -> list[str]:
    """Group headings over all the columns that they span."""
    row, below = grid.rows[at], grid.rows[at + 1]
    names = list(row) + [""] * max(0, len(below) - len(row))
    for first, left, last, right in grid.merged:
        if first <= at <= last and left < len(names):
            for place in range(left, min(right + 1, len(names))):
                names[place] = _cell(grid.rows[first], left)
    for place in range(1, len(names)):
        part = _cell(below, place)
        if not names[place].strip() and part and is_part_of_heading(part) and _cell(below, place - 1):
            names[place] = names[place - 1]
    return names


def _same(one: list[str], other: list[str]) -> bool:
    """The headings of a new page."""
    pairs = [(fold(a), fold(b)) for a, b in zip(one, other, strict=False) if a.strip() or b.strip()]
    return bool(pairs) and sum(a == b for a, b in pairs) >= 0.8 * len(pairs)


def no_item(row: list[str], places: dict[str, int], mapped: set[int]) -> str:
    """Why a row under the headings is no item; "" where it is one."""
    cells = [(i, c) for i, c in enumerate(row) if c]
    if not cells:
        return "empty"
    tag, size = (_cell(row, places[f]) if f in places else "" for f in ("tag", "size"))
    if not size and any(_TOTAL.match(plain(c)) for _, c in cells[:3]):
        return "totals"
    longest = max((c for _, c in cells), key=len)
    if len(cells) == 1:
        return "" if _is_tag(tag) else f"a line of text: {longest[:60]!r}"
    if not any(i in mapped for i, _ in cells):
        return "nothing under a known heading"
    told = not tag or (len(tag) > 30 and not _is_tag(tag))
    if told and not size and len(cells) <= 2 and len(longest) > 30:
        return f"a line of text: {longest[:60]!r}"
    return ""


def _is_tag(text: str) -> bool:
    """A tag alone in its row is an item that is still to be filled in; words are the name of a section."""
    return bool(re.search(r"\d", text)) and len(text) <= 24 and not re.search(r"[^\W\d_]{4,}", text)
