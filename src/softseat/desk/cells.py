"""Which cell says what: the columns of the enquiry as a table, and where an answer is written."""

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from softseat.desk.schedule import PHONE, Cell, Place, Schedule
from softseat.enquiry.cells import cell_said
from softseat.enquiry.fieldtable import checked, fields
from softseat.enquiry.reader import Enquiry
from softseat.enquiry.reading import Column
from softseat.enquiry.records import Mapped, RowRef
from softseat.errors import InputError, UnknownName
from softseat.names import names
from softseat.sheet import UNREADABLE
from softseat.store.records import Edit

HEADINGS = re.compile(r"^(.*): headings in row (\d+)$")


@dataclass(frozen=True, slots=True)
class Shown:
    """One column of the enquiry as it is shown: its fields joined by +, and the buyer's heading."""

    key: str
    heading: str


@dataclass(frozen=True, slots=True)
class Marked:
    """A cell that was not read as a value of its field."""

    n: int
    field: str
    text: str
    why: str


def shown_columns(read: Enquiry) -> list[Shown]:
    """Every understood column of the file once, in file order."""
    found: dict[str, Shown] = {}
    for m in read.mapping:
        if m.fields and not m.fields[0].startswith("_") and m.fields != ("unit",):
            found.setdefault("+".join(m.fields), Shown("+".join(m.fields), m.heading))
    return list(found.values())


def texts(schedule: Schedule, read: Enquiry) -> list[dict[str, str]]:
    """For each item the text of every column, as typed."""
    headers = header_rows(read)
    table = []
    for ref in read.rows:
        row = schedule.rows.get((ref.sheet, ref.row), ())
        line = {}
        for m, place in _columns(schedule, read, ref, headers):
            if place < len(row):
                line["+".join(m.fields)] = _plain(row[place])
        table.append(line)
    return table


def _plain(cell: Cell) -> str:
    return f"{cell:.12g}" if isinstance(cell, float) else cell


def not_understood(read: Enquiry) -> list[Marked]:
    """Cells that hold something which is no value of their field, in file order."""
    found = []
    for name, state in read.sheet.state.items():
        for n in (state == UNREADABLE).nonzero()[0]:
            cell = read.sheet.origin.get((int(n), name))
            why = read.sheet.why.get((int(n), name), "no value of this kind can be read here")
            found.append(Marked(int(n), name, cell.text if cell else "", why))
    return sorted(found, key=lambda m: m.n)


def answers(schedule: Schedule, read: Enquiry, wanted: Iterable[tuple[int, str, str]]) -> tuple[list[Edit], dict[str, str]]:
    """Cells to write so that items (counted from 0) say this; with the headings that had to be added.

    Raises
    ------
    InputError
        Where a cell speaks of several fields and the answer of one.
    UnknownName
        Where the field is none.
    """
    headers = header_rows(read)
    writing = _Writing(schedule, read, headers)
    for n, key, text in wanted:
        writing.put(read.rows[n], key, text)
    return list(writing.edits.values()), {h: h for h in writing.added}


def header_rows(read: Enquiry) -> Mapping[str, Sequence[int]]:
    """Rows in which headings stand, by sheet."""
    found = defaultdict(list)
    for note in read.notes:
        if told := HEADINGS.match(note):
            found[told[1]].append(int(told[2]))
    return found


def _header_of(ref: RowRef, headers: Mapping[str, Sequence[int]]) -> int:
    return max((h for h in headers.get(ref.sheet, ()) if h < ref.row), default=1)


def _columns(schedule: Schedule, read: Enquiry, ref: RowRef, headers: Mapping[str, Sequence[int]]) -> list[tuple[Mapped, int]]:
    """The understood columns of the table that this row stands in, with their place from 0."""
    head = schedule.rows.get((ref.sheet, _header_of(ref, headers)), ())
    own: dict[tuple[int, str], Mapped] = {}
    several = len(headers.get(ref.sheet, ())) > 1
    for m in read.mapping:
        if m.sheet != ref.sheet or not m.fields or m.fields[0].startswith("_") or m.fields == ("unit",):
            continue
        place = column_number(m.column)
        said = " ".join(str(head[place]).split()) if place < len(head) else ""
        if not several or m.heading.startswith(said):
            own.setdefault((place, "+".join(m.fields)), m)
    return [(m, place) for (place, _), m in own.items()]


def column_number(letters: str) -> int:
    """A is 0, AA is 26."""
    number = 0
    for c in letters:
        number = number * 26 + ord(c) - 64
    return number - 1


class _Writing:
    """Cells to be written, with columns added beyond the buyer's own."""

    def __init__(self, schedule: Schedule, read: Enquiry, headers: Mapping[str, Sequence[int]]) -> None:
        self.schedule, self.read, self.headers = schedule, read, headers
        self.edits: dict[tuple[Place, int], Edit] = {}
        self.added: list[str] = []
        self.new: dict[tuple[Place, str], int] = {}

    def put(self, ref: RowRef, key: str, text: str) -> None:
        wanted = key.split("+")
        for field in wanted:
            _known(field)
        columns = _columns(self.schedule, self.read, ref, self.headers)
        same = next((place for m, place in columns if list(m.fields) == wanted), None)
        if same is not None:
            return self._write(ref.sheet, ref.row, same, text)
        if len(wanted) > 1:
            raise InputError(f"{key}: no column of this enquiry holds these fields together; give one field")
        if key != "remarks" and text and not any(key in m.fields for m, _ in columns) and _words_only(key, text):
            return self._remark(ref, columns, text)
        for m, place in columns:
            if key in m.fields:
                return self._write(ref.sheet, ref.row, place, self._part(ref, m, place, key, text))
        self._write(ref.sheet, ref.row, self._new_column(ref, key), text)

    def _part(self, ref: RowRef, m: Mapped, place: int, key: str, text: str) -> str:
        """One part of a cell such as 2.5/6 replaced."""
        row = self.schedule.rows[ref.sheet, ref.row]
        parts = _plain(row[place]).split("/") if place < len(row) else []
        if (not parts or parts == [""]) and key == m.fields[0]:
            return text
        if len(parts) != len(m.fields):
            raise InputError(
                f"{key}: the cell under {m.heading!r} speaks of {' and '.join(m.fields)} together; give all as {'+'.join(m.fields)}"
            )
        parts[m.fields.index(key)] = text
        return "/".join(p.strip() for p in parts)

    def _remark(self, ref: RowRef, columns: list[tuple[Mapped, int]], text: str) -> None:
        """An answer in words where a figure would stand ("oil-free"): the reader understands it among the remarks."""
        place = next((place for m, place in columns if m.fields == ("remarks",)), None)
        row = self.schedule.rows[ref.sheet, ref.row]
        before = _plain(row[place]) if place is not None and place < len(row) else ""
        self.put(ref, "remarks", f"{before}; {text}" if before else text)

    def _new_column(self, ref: RowRef, key: str) -> int:
        """A column to the right of everything, with the field as its heading."""
        header = (ref.sheet, _header_of(ref, self.headers))
        if (header, key) not in self.new:
            width = max((len(c) for (s, _), c in self.schedule.rows.items() if s == ref.sheet), default=0)
            used = [place for (_, place) in ((p, e.column) for p, e in self.edits.items() if e.sheet == ref.sheet)]
            self.new[header, key] = max([width, *(u + 1 for u in used)])
            self.added.append(key)
            self._write(*header, self.new[header, key], key)
        return self.new[header, key]

    def _write(self, sheet: str, row: int, column: int, text: str) -> None:
        self.edits[(sheet, row), column] = Edit(sheet, row, column, text)


def _known(key: str) -> None:
    if key not in fields() and key not in names():
        raise UnknownName(f"field {key!r} is not known; known are {', '.join(fields())}")
    checked(key)


def _words_only(key: str, text: str) -> bool:
    """True where the text is no value of this field."""
    return any(s.name == key and s.state == UNREADABLE for s in cell_said(text, Column("", 0, (key,))))


def by_phone(schedule: Schedule, read: Enquiry, said: Enquiry) -> tuple[dict[str, object], list[tuple[Place, list[Cell]]], dict[str, str]]:
    """An item said in words as a row of a sheet of its own: the layout, the rows to write, the headings."""
    sheets = list(schedule.layout["sheets"])
    if PHONE not in [s["name"] for s in sheets]:
        sheets.append({"name": PHONE, "delimiter": "\t", "merged": []})
    head = list(schedule.rows.get((PHONE, 1), []))
    spoken = _spoken(said)
    head += [k for k in spoken if k not in head]
    last = max((r for s, r in schedule.rows if s == PHONE), default=1)
    row: list[Cell] = [spoken.get(str(k), "") for k in head]
    return {"sheets": sheets}, [((PHONE, 1), head), ((PHONE, last + 1), row)], {str(k): str(k) for k in head}


def _spoken(said: Enquiry) -> dict[str, Cell]:
    """Each phrase under the first field that it speaks of."""
    found: dict[str, Cell] = {}
    taken: set[str] = set()
    for name in fields():
        cell = said.sheet.origin.get((0, name))
        if cell is not None and cell.text not in taken:
            found[name] = cell.text
            taken.add(cell.text)
    return found
