"""Workbooks: checked before they are opened, then read sheet by sheet."""

import datetime
import re
import zipfile
from collections.abc import Iterator
from pathlib import Path

from python_calamine import CalamineError, CalamineSheet, CalamineWorkbook, PasswordError

from softseat.enquiry.grid import MOST_BYTES, MOST_CELLS, Figure, Grid
from softseat.errors import InputError

_OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_MOST_PARTS = 5000
_CHUNK = 1 << 20
_CELL = re.compile(rb"<c r=\"([A-Z]{1,3})(\d{1,7})\"[^>]*(?<!/)>")
_FAULT = re.compile(rb"<c r=\"([A-Z]{1,3})(\d{1,7})\"[^>]*\bt=\"e\"[^>]*>.{0,2000}?<v>(#[^<]{1,12})</v>", re.S)
_REPEATED = re.compile(rb"<table:table-cell[^>]*number-columns-repeated=\"(\d+)\"[^>]*(?<!/)>")
_SPARSE = re.compile(r"-?\d{1,3}\.\d{3}")
Faults = dict[str, dict[tuple[int, int], str]]


def is_workbook(path: Path) -> bool:
    """By its first bytes, whatever its name says."""
    with path.open("rb") as file:
        head = file.read(8)
    return head == _OLE or head[:4] == b"PK\x03\x04"


def read_workbook(path: Path) -> list[Grid]:
    """Every sheet as a grid.

    Raises
    ------
    InputError
        Where the file is protected, damaged, too large, or no workbook.
    """
    faults = _checked(path)
    try:
        book = CalamineWorkbook.from_path(str(path))
        return [_grid(book.get_sheet_by_name(name), name, faults.get(name, {}), path) for name in book.sheet_names]
    except PasswordError:
        raise InputError(f"{path.name} is protected by a password; save it without one") from None
    except (CalamineError, OSError, ValueError) as error:
        if isinstance(error, InputError):
            raise
        raise InputError(f"{path.name} cannot be read as a workbook: {str(error)[:120]}") from None


def _checked(path: Path) -> Faults:
    """Refuses what would hurt; gives the error cells of the sheets, which the reader would lose."""
    if path.stat().st_size > MOST_BYTES:
        raise InputError(f"{path.name} is larger than {MOST_BYTES // 1_000_000} MB; split the enquiry")
    with path.open("rb") as file:
        if file.read(8) == _OLE:
            if "EncryptedPackage".encode("utf-16-le") in path.read_bytes():
                raise InputError(f"{path.name} is protected by a password; save it without one")
            return {}
    try:
        with zipfile.ZipFile(path) as packed:
            return _unpacked(packed, path)
    except InputError:
        raise
    except Exception:  # a damaged archive makes the library stumble anywhere
        raise InputError(f"{path.name} is damaged or no workbook; allowed are .xlsx, .xls, .ods, .csv, .tsv") from None


def _unpacked(packed: zipfile.ZipFile, path: Path) -> Faults:
    """Walks through every part once: its real size, the extent of the sheets, the error cells."""
    parts = packed.infolist()
    names = {p.filename for p in parts}
    if not names & {"[Content_Types].xml", "mimetype", "content.xml"}:
        raise InputError(f"{path.name} is packed, but no workbook; allowed are .xlsx, .xls, .ods, .csv, .tsv")
    if len(parts) > _MOST_PARTS or sum(p.file_size for p in parts) > MOST_BYTES:
        raise InputError(f"{path.name} unpacks to more than {MOST_BYTES // 1_000_000} MB or {_MOST_PARTS} parts; it is not opened")
    sheets = _sheet_names(packed, names)
    total = 0
    faults: Faults = {}
    for part in parts:
        scan = _Scan()
        for chunk in _chunks(packed, part):
            total += len(chunk)
            if total > MOST_BYTES:
                raise InputError(f"{path.name} unpacks to more than {MOST_BYTES // 1_000_000} MB; it is not opened")
            if part.filename.endswith(".xml") and ("sheet" in part.filename or part.filename == "content.xml"):
                scan.take(chunk)
        if scan.rows * scan.columns > MOST_CELLS:
            raise InputError(f"{path.name}: a sheet reaches over {scan.rows:,} rows and {scan.columns:,} columns; delete the stray cells")
        if scan.faults and part.filename in sheets:
            faults[sheets[part.filename]] = scan.faults
    return faults


def _chunks(packed: zipfile.ZipFile, part: zipfile.ZipInfo) -> Iterator[bytes]:
    """The real content, however small the part declares itself to be."""
    part.file_size = max(part.file_size, MOST_BYTES + 2 * _CHUNK)
    with packed.open(part) as stream:
        while chunk := stream.read(_CHUNK):
            yield chunk


class _Scan:
    """Extent and error cells of a sheet's XML, chunk by chunk."""

    def __init__(self) -> None:
        self.low, self.high = [10**9, 10**9], [-1, -1]
        self.rest = b""
        self.faults: dict[tuple[int, int], str] = {}

    @property
    def rows(self) -> int:
        return max(0, self.high[0] - self.low[0] + 1)

    @property
    def columns(self) -> int:
        return max(0, self.high[1] - self.low[1] + 1)

    def take(self, chunk: bytes) -> None:
        text = self.rest + chunk
        self.rest = text[-300:]
        ends = [m.groups() for m in _CELL.finditer(text)]
        if ends:
            rows, columns = {int(e[1]) - 1 for e in ends}, {_place(c) for c in {e[0] for e in ends}}
            self.low = [min(a, *b) for a, b in ((self.low[0], rows), (self.low[1], columns))]
            self.high = [max(a, *b) for a, b in ((self.high[0], rows), (self.high[1], columns))]
        if b't="e"' in text:
            for column, row, fault in _FAULT.findall(text):
                self.faults[int(row) - 1, _place(column)] = fault.decode("ascii", "replace")
        for repeated in _REPEATED.findall(text):
            if int(repeated) > 1000:
                self.low, self.high = [0, 0], [int(repeated), MOST_CELLS]


def _place(letters: bytes) -> int:
    place = 0
    for c in letters:
        place = place * 26 + c - 64
    return place - 1


def _sheet_names(packed: zipfile.ZipFile, names: set[str]) -> dict[str, str]:
    """Sheet name by part name, from the workbook's own list."""
    if not {"xl/workbook.xml", "xl/_rels/workbook.xml.rels"} <= names:
        return {}
    book, rels = (
        b"".join(_chunks(packed, packed.getinfo(n))).decode("utf-8", "replace") for n in ("xl/workbook.xml", "xl/_rels/workbook.xml.rels")
    )
    targets = {}
    for rel in re.findall(r"<Relationship\b[^>]*>", rels):
        ident, target = re.search(r'\bId="([^"]*)"', rel), re.search(r'\bTarget="([^"]*)"', rel)
        if ident and target:
            targets[ident[1]] = "xl/" + target[1].removeprefix("/xl/").removeprefix("/")
    found = {}
    for sheet in re.findall(r"<sheet\b[^>]*>", book):
        name, ident = re.search(r'\bname="([^"]*)"', sheet), re.search(r'\br:id="([^"]*)"', sheet)
        if name and ident and ident[1] in targets:
            found[targets[ident[1]]] = name[1].replace("&amp;", "&").replace("&quot;", '"').replace("&lt;", "<").replace("&gt;", ">")
    return found


def _grid(sheet: CalamineSheet, name: str, faults: dict[tuple[int, int], str], path: Path) -> Grid:
    if sheet.total_height * sheet.total_width > MOST_CELLS:
        raise InputError(f"{path.name}, sheet {name!r}: more than {MOST_CELLS:,} cells; delete the stray ones")
    rows = [[_text(cell) for cell in row] for row in sheet.to_python(skip_empty_area=False)]
    for (row, column), fault in faults.items():
        if row < len(rows) and column < len(rows[row]):
            rows[row][column] = fault
    merged = [(*first, *last) for first, last in (sheet.merged_cell_ranges or [])]
    return Grid(name, rows, merged)


def _text(cell: object) -> str:
    """A cell as a person would read it."""
    if isinstance(cell, str):
        return cell.strip()
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float):
        text = format(cell, ".12g")
        return Figure(f"{text}0" if _SPARSE.fullmatch(text) else text)  # three decimals of a real number are never thousands
    if isinstance(cell, datetime.datetime | datetime.date | datetime.time):
        return cell.isoformat()
    return str(cell)
