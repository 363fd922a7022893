"""The offer as a workbook: one row an item, and the lists that follow from it. Numbers stay numbers; no formula is ever written."""

import functools
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import Any

import xlsxwriter

from softseat.errors import PaperError
from softseat.papers.figures import known
from softseat.papers.frame import Frame
from softseat.papers.order import Order
from softseat.papers.texts import clean, short, text
from softseat.papers.workbook_rows import Column, Table, tables
from softseat.selection.item import Item

CREATED = datetime(2000, 1, 1)  # a date of the day would make two runs differ
LONGEST = 32000  # a cell holds 32 767 characters
RISKY = ("=", "+", "-", "@")  # read as a formula where a sheet is saved as text and opened again
PLACES = ("0", "0.0", "0.00", "0.000")


def offer_workbook(items: Sequence[Item], path: Path, *, name: str, maker: Mapping[str, str], order: Order | None = None) -> None:
    """Write the workbook of an offer.

    Raises
    ------
    PaperError
        Where the file cannot be written.
    """
    frame = Frame(name, maker, order)
    write_tables(tables(items, frame), path, head=frame.running, foot=frame.rests, title=text("offer.title"))


def write_tables(sheets: Iterable[Table], path: Path, *, head: str, foot: str, title: str) -> None:
    """Tables as sheets of a workbook: the same bytes from the same tables."""
    try:
        with xlsxwriter.Workbook(str(path), {"strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}) as book:
            book.set_properties({"title": title, "created": CREATED})
            looks = _Looks(book)
            for table in sheets:
                _write(book, table, looks, head, foot)
    except (OSError, xlsxwriter.exceptions.XlsxWriterException) as error:
        raise PaperError(f"{path}: the workbook could not be written ({error})") from error


class _Looks:
    """Cell formats, each made once."""

    def __init__(self, book: Any) -> None:
        self.book, self.made = book, dict[tuple[str, bool], Any]()

    def of(self, kind: str, risky: bool = False) -> Any:
        if (kind, risky) not in self.made:
            self.made[kind, risky] = self.book.add_format({"valign": "top", **_look(kind), **({"quote_prefix": True} if risky else {})})
        return self.made[kind, risky]


def _look(kind: str) -> dict[str, Any]:
    if kind == "head":
        return {"bold": True, "text_wrap": True, "bottom": 1, "valign": "bottom"}
    if kind == "lead":
        return {"bold": True}
    if kind in PLACES or "%" in kind:
        return {"num_format": kind, "align": "right"}
    return {"text_wrap": True} if kind == "wrap" else {}


def _write(book: Any, table: Table, looks: _Looks, head: str, foot: str) -> None:
    sheet = book.add_worksheet(table.name)
    for k, column in enumerate(table.columns):
        sheet.set_column(k, k, column.width)
    _page(sheet, table, head, foot)
    at = 0
    for line in table.lead:
        sheet.write_string(at, 0, _fit(line), looks.of("lead"))
        at += 1
    at += 1 if table.lead else 0
    for k, column in enumerate(table.columns):
        sheet.write_string(at, k, column.heading, looks.of("head"))
    sheet.freeze_panes(at + 1, table.frozen)
    sheet.repeat_rows(at)
    last = at
    for last, row in enumerate(table.rows, start=at + 1):
        for k, (value, column) in enumerate(zip(row, table.columns, strict=True)):
            _cell(sheet, last, k, value, column, looks)
    if last > at:
        sheet.autofilter(at, 0, last, len(table.columns) - 1)


def _cell(sheet: Any, row: int, k: int, value: Any, column: Column, looks: _Looks) -> None:
    if value is None or value == "":
        return
    if not isinstance(value, str) and known(value):
        sheet.write_number(row, k, value, looks.of(places(value) if column.kind == "number" else column.kind))
    elif said := _fit(str(value)):
        sheet.write_string(row, k, said, looks.of("wrap" if column.kind == "wrap" else "text", said.startswith(RISKY)))


@functools.lru_cache(maxsize=1 << 16)  # a schedule says the same words in thousands of rows
def _fit(said: str) -> str:
    return clean(said)[:LONGEST]


def places(value: float) -> str:
    """Three figures shown and all of them held: 0.123, 1.23, 12.3, 123."""
    size = abs(float(value))
    if float(value).is_integer():
        return PLACES[0]
    return PLACES[3] if size < 1 else PLACES[2] if size < 10 else PLACES[1] if size < 1000 else PLACES[0]


def _page(sheet: Any, table: Table, head: str, foot: str) -> None:
    """A4 across, as wide as the paper, heads repeated, pages numbered; & is a command of heads and feet."""
    sheet.set_landscape()
    sheet.set_paper(9)
    sheet.set_margins(left=0.4, right=0.4, top=0.7, bottom=0.7)
    sheet.fit_to_pages(1, 0)
    sheet.hide_gridlines(1)
    sheet.set_header(f"&L{short(head, 90).replace('&', '&&')}&R{table.name.replace('&', '&&')}")
    sheet.set_footer(f"&L{short(foot, 90).replace('&', '&&')}&RPage &P of &N")
