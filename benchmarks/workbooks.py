"""Workbooks, each library beside its peer in the same run: reading a schedule, writing the rows of an offer.

PYTHONPATH=src:benchmarks python benchmarks/workbooks.py [rows]
"""

import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import items
import openpyxl
import xlsxwriter
from python_calamine import CalamineWorkbook


def best(work: Callable[[], object], repeats: int = 3) -> float:
    """Seconds of processor time of the quickest run (the machine may be shared)."""
    taken = []
    for _ in range(repeats):
        start = time.process_time()
        work()
        taken.append(time.process_time() - start)
    return min(taken)


def by_xlsxwriter(path: Path, rows: list[list[str]]) -> None:
    book = xlsxwriter.Workbook(str(path), {"constant_memory": True, "strings_to_formulas": False})
    sheet = book.add_worksheet("Valves")
    for r, row in enumerate(rows):
        for c, cell in enumerate(row):
            sheet.write_string(r, c, cell)
    book.close()


def by_openpyxl(path: Path, rows: list[list[str]]) -> None:
    book = openpyxl.Workbook(write_only=True)
    sheet = book.create_sheet("Valves")
    for row in rows:
        sheet.append(row)
    book.save(path)


def with_calamine(path: Path) -> int:
    return len(CalamineWorkbook.from_path(str(path)).get_sheet_by_index(0).to_python())


def with_openpyxl(path: Path) -> int:
    book = openpyxl.load_workbook(path, read_only=True)
    return sum(1 for _ in book.active.iter_rows(values_only=True))


def compared(number: int) -> dict[str, tuple[float, float]]:
    """What is done -> seconds of ours and of its peer."""
    rows = [list(items.HEADS), *items.rows(number)]
    rows = [["".join(sign for sign in cell if sign.isprintable()) for cell in row] for row in rows]
    with tempfile.TemporaryDirectory() as folder:
        path, other = Path(folder) / "one.xlsx", Path(folder) / "two.xlsx"
        writing = best(lambda: by_xlsxwriter(path, rows)), best(lambda: by_openpyxl(other, rows))
        if with_calamine(path) != with_openpyxl(path):
            raise ValueError("the two readers do not find the same rows")
        return {
            "write (XlsxWriter, openpyxl)": writing,
            "read (calamine, openpyxl)": (best(lambda: with_calamine(path)), best(lambda: with_openpyxl(path))),
        }


def main() -> None:
    number = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    for what, (mine, peer) in compared(number).items():
        rates = f"{number / mine:10,.0f} rows/s, peer {peer:7.2f} s {number / peer:10,.0f} rows/s, {peer / mine:5.1f} times"
        print(f"{what:32}{number:8,} rows: {mine:7.2f} s {rates}")


if __name__ == "__main__":
    main()
